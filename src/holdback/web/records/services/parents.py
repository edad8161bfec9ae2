"""Say who the parents of an animal are."""

from __future__ import annotations

import uuid

from holdback.collection.model import Sex
from holdback.errors import Fault
from holdback.web.records.models import Animal, Clutch, Parentage
from holdback.web.records.parents import (
    Sires,
    animal_named,
    clutch_named,
    loop_faults,
    parent_faults,
    sires_named,
)
from holdback.web.records.rules import refuse
from holdback.web.records.services.deed import Deed, deed


def set_parents(
    animal: Animal,
    *,
    who: str,
    dam: Animal | str | None = None,
    sires: Sires = "",
    clutch: Clutch | str | None = None,
    batch: uuid.UUID | None = None,
) -> Animal:
    """The animal with these parents; what is left out becomes unknown.

    Parameters
    ----------
    animal : Animal
        The young.
    who : str
        Who says so.
    dam : Animal or str, optional
        The dam, or her tag.
    sires : str or sequence of Candidate
        ``A7``, ``A7:0.8|B2:0.2``, ``none``, or candidates by tag. With a clutch, leave it empty to take the clutch's.
    clutch : Clutch or str, optional
        The clutch it hatched from, or its tag.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-015 to REC-018, all faults together.
    """
    with deed("set parents", who=who, batch=batch) as done:
        write_parents(done, animal, dam=dam, sires=sires, clutch=clutch)
    return animal


def write_parents(
    done: Deed, animal: Animal, *, dam: Animal | str | None, sires: Sires, clutch: Clutch | str | None
) -> None:
    """Check and write the parents within a deed."""
    mother, nest = animal_named(dam, field="dam"), clutch_named(clutch)
    fathers = sires_named(sires)
    known = [sire for sire, _ in fathers if sire]
    faults = [fault for sire in known for fault in parent_faults(animal, sire, sex=Sex.MALE, field="sires")]
    faults += loop_faults(animal, known, field="sires")
    if mother:
        faults += parent_faults(animal, mother, sex=Sex.FEMALE, field="dam")
        faults += loop_faults(animal, [mother], field="dam")
    if nest:
        faults += clutch_faults(animal, nest, dam=mother)
    refuse(faults)
    done.change(animal, dam=mother, clutch=nest)
    write_sires(done, fathers, animal=animal)


def clutch_faults(animal: Animal, clutch: Clutch, *, dam: Animal | None) -> list[Fault]:
    """Faults of an animal as a hatchling of a clutch."""
    faults = []
    if dam and clutch.dam_id and clutch.dam_id != dam.pk:
        faults.append(
            Fault(
                "REC-017",
                f"clutch {clutch.tag} was laid by another dam than {dam.tag}.",
                "Correct the dam of the animal or of the clutch.",
                field="clutch",
                value=clutch.tag,
                animal=animal.tag,
            )
        )
    sires = [row.sire for row in clutch.candidate_sires.select_related("sire") if row.sire]
    mothers = [clutch.dam] if clutch.dam and not dam else []
    for parent, sex in [*((sire, Sex.MALE) for sire in sires), *((mother, Sex.FEMALE) for mother in mothers)]:
        faults += parent_faults(animal, parent, sex=sex, field="clutch")
    faults += loop_faults(animal, [*sires, *mothers], field="clutch")
    return faults


def write_sires(
    done: Deed,
    fathers: list[tuple[Animal | None, float]],
    *,
    animal: Animal | None = None,
    clutch: Clutch | None = None,
) -> None:
    """Make these the candidate sires of an animal or a clutch; rows that are so already stay."""
    wanted = {sire.pk if sire else None: weight for sire, weight in fathers}
    stale = []
    for row in Parentage.objects.filter(animal=animal, clutch=clutch):
        if row.sire_id in wanted:
            done.change(row, weight=wanted.pop(row.sire_id))
        else:
            stale.append(row)
    done.delete(*stale)
    done.make(
        *(
            Parentage(animal=animal, clutch=clutch, sire_id=key, weight=weight, no_sire=key is None)
            for key, weight in wanted.items()
        )
    )
