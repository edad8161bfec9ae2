"""Correct what the records said of who an animal is: its sex, its id, its parents."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TypedDict, Unpack

from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.models import Animal, Clutch, Mating, SexDetermination
from holdback.web.records.parents import Sires
from holdback.web.records.services.animals import set_sex, write_fields
from holdback.web.records.services.deed import deed
from holdback.web.records.services.matings import remove_mating
from holdback.web.records.services.parents import write_parents

SHOWN = 5


def correct_sex(
    animal: Animal,
    *,
    who: str,
    sex: str,
    method: str = "",
    on: dt.date | None = None,
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> SexDetermination:
    """The finding that counts from now on; matings that were none by it are taken out.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who found it.
    sex : str
        male, female or unknown.
    method : str
        "probed", "popped", "by offspring".
    on : date, optional
        When.
    sure : bool
        Whether the matings in which it stood as the other sex may be taken out, with their locks.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-012, REC-013, or REC-017 where the animal is a parent of the other sex; as a question SEA-060.
    """
    with deed("correct sex", who=who, batch=batch) as done:
        unfit = unfit_matings(animal, sex)
        if unfit:
            judge([_unfit_fault(animal, sex, unfit)], sure=sure)
        for mating in unfit:
            remove_mating(mating, who=who, batch=done.batch)
        day = on.isoformat() if on else ""
        return set_sex(animal, who=who, sex=sex, method=method, date=day, found_by=who, batch=done.batch)


def unfit_matings(animal: Animal, sex: str) -> list[Mating]:
    """Matings in which an animal stands on the side that it cannot be on if it is of a sex."""
    rows = Mating.objects.select_related("dam", "sire")
    if sex == Sex.MALE.value:
        return list(rows.filter(dam=animal))
    return list(rows.filter(sire=animal)) if sex == Sex.FEMALE.value else []


def correct_tag(animal: Animal, *, who: str, tag: str, batch: uuid.UUID | None = None) -> Animal:
    """The animal under another id; all that is on record of it goes along.

    Raises
    ------
    RecordError
        REC-010, or REC-019 where another living animal has the id.
    """
    with deed("correct id", who=who, batch=batch) as done:
        write_fields(done, animal, {"tag": tag.strip()})
    return animal


class ParentsChange(TypedDict, total=False):
    """Parents as far as they are corrected; what is left out stays as it is."""

    dam: Animal | str | None
    sires: Sires
    clutch: Clutch | str | None


def correct_parents(
    animal: Animal, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[ParentsChange]
) -> Animal:
    """The animal with some of its parents corrected.

    Parameters
    ----------
    animal : Animal
        The young.
    who : str
        Who says so.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``dam``, ``sires`` and ``clutch`` as for `set_parents`; what is left out stays as it is.

    Raises
    ------
    RecordError
        REC-015 to REC-018, all faults together.
    """
    with deed("correct parents", who=who, batch=batch) as done:
        write_parents(
            done,
            animal,
            dam=fields.get("dam", animal.dam),
            sires=fields.get("sires", _present_sires(animal)),
            clutch=fields.get("clutch", animal.clutch),
        )
    return animal


def _present_sires(animal: Animal) -> tuple[Candidate, ...]:
    """Candidate sires of an animal's own; the key tells apart those whose id was given twice."""
    rows = animal.candidate_sires.select_related("sire")
    return tuple(
        Candidate(f"{row.sire.tag} ({str(row.sire.pk)[:8]})" if row.sire else NO_SIRE, row.weight) for row in rows
    )


def _unfit_fault(animal: Animal, sex: str, unfit: list[Mating]) -> Fault:
    others = [mating.sire.tag if mating.dam_id == animal.pk else mating.dam.tag for mating in unfit]
    told = ", ".join(dict.fromkeys(others[:SHOWN])) + (", …" if len(others) > SHOWN else "")
    other = "female" if sex == Sex.MALE else "male"
    return Fault(
        "SEA-060",
        f"{len(unfit)} matings of {animal.tag} as {other} are on record (with {told}).",
        "If it is right, they are taken out, with their locks.",
        field="sex",
        value=sex,
        animal=animal.tag,
    )
