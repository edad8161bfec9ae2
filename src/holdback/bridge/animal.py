"""One animal with its parents, without loading anybody else."""

from __future__ import annotations

from dataclasses import dataclass

from holdback.bridge.cached import collection_around
from holdback.collection.model import Animal, Candidate, Measurement
from holdback.errors import Fault, RecordError
from holdback.web.records.overlay import SPECIES


@dataclass(frozen=True, slots=True)
class AnimalSnapshot:
    """An animal, its parents and its readings.

    Parameters
    ----------
    animal : Animal
        The animal.
    dam : Animal or None
        Its dam.
    sires : tuple of (Candidate, Animal or None)
        Candidate sires; None stands for no sire at all.
    measurements : tuple of Measurement
        Its readings by date.
    """

    animal: Animal
    dam: Animal | None
    sires: tuple[tuple[Candidate, Animal | None], ...]
    measurements: tuple[Measurement, ...]


def animal_snapshot(tag: str, species: str = SPECIES) -> AnimalSnapshot:
    """One animal with its parents.

    Raises
    ------
    RecordError
        REC-016 if no animal has the id.
    """
    around = collection_around([tag], species)
    animal = around.animals.get(tag)
    if animal is None:
        raise RecordError(Fault("REC-016", f"no animal has the id {tag!r}.", "Correct the id.", value=tag))
    return AnimalSnapshot(
        animal,
        around.animals.get(animal.dam) if animal.dam else None,
        tuple((one, around.animals.get(one.animal)) for one in animal.sires),
        tuple(reading for reading in around.records.measurements if reading.animal == tag),
    )
