"""Parents as a person names them, and what makes a pair of parents impossible."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

from holdback.collection.cells import CellError, cell_value
from holdback.collection.model import NO_SIRE, Candidate, PartialDate, Sex
from holdback.collection.table import Column, Kind
from holdback.errors import Fault, RecordError
from holdback.web.records.models import Animal, Clutch, Parentage
from holdback.web.records.queries import animal_by_tag, clutch_by_tag

Sires: TypeAlias = str | Sequence[Candidate]
"""``A7``, ``A7:0.8|B2:0.2``, ``none``, empty for unknown; or the candidates themselves, by tag."""

_SIRES = Column("sires", Kind.SIRES, "", absent=())


def candidates(sires: Sires) -> tuple[Candidate, ...]:
    """Candidate sires out of their written form.

    Raises
    ------
    RecordError
        REC-015 where it cannot be read.

    Examples
    --------
    >>> candidates("A7:0.8|B2:0.2")[1]
    Candidate(animal='B2', weight=0.2)
    >>> candidates("A7|B2")[0].weight
    0.5
    """
    if not isinstance(sires, str):
        return tuple(sires)
    try:
        return tuple(cell_value(_SIRES, sires.strip()))
    except CellError as fault:
        raise RecordError(Fault("REC-015", str(fault), fault.hint, field="sires", value=sires)) from None


def weight_faults(found: Sequence[Candidate], *, animal: str = "") -> Iterator[Fault]:
    """REC-015 where weights are out of range, sum to more than 1, or name a sire twice."""
    hint = "Weights lie above 0 and up to 1, and sum to at most 1; what is missing is an unknown sire."
    for one in found:
        if not 0 < one.weight <= 1:
            yield Fault(
                "REC-015", f"the weight {one.weight:g} of {one.animal} cannot be.", hint, field="sires", animal=animal
            )
    total = sum(one.weight for one in found)
    if total > 1 + 1e-9:
        yield Fault("REC-015", f"the weights sum to {total:g}.", hint, field="sires", animal=animal)
    if len({one.animal for one in found}) < len(found):
        yield Fault("REC-015", "a sire is named twice.", "Name each once.", field="sires", animal=animal)


def animal_named(name: Animal | str | None, *, field: str) -> Animal | None:
    """The animal meant by a tag; None for no tag.

    Raises
    ------
    RecordError
        REC-016 if no animal has the tag.
    """
    if name is None or isinstance(name, Animal):
        return name
    if not name.strip():
        return None
    if found := animal_by_tag(name.strip()):
        return found
    raise RecordError(
        Fault("REC-016", f"no animal has the id {name!r}.", "Add it first, or correct the id.", field=field, value=name)
    )


def clutch_named(name: Clutch | str | None, *, field: str = "clutch") -> Clutch | None:
    """The clutch meant by a tag; None for no tag.

    Raises
    ------
    RecordError
        REC-016 if no clutch has the tag.
    """
    if name is None or isinstance(name, Clutch):
        return name
    if not name.strip():
        return None
    if found := clutch_by_tag(name.strip()):
        return found
    raise RecordError(
        Fault("REC-016", f"no clutch has the id {name!r}.", "Add it first, or correct it.", field=field, value=name)
    )


def sires_named(sires: Sires) -> list[tuple[Animal | None, float]]:
    """Candidate sires as animals with their weights; None stands for no sire at all.

    Raises
    ------
    RecordError
        REC-015 or REC-016, all faults together.
    """
    found = candidates(sires)
    faults = list(weight_faults(found))
    pairs: list[tuple[Animal | None, float]] = []
    for one in found:
        try:
            pairs.append((None if one.animal == NO_SIRE else animal_named(one.animal, field="sires"), one.weight))
        except RecordError as fault:
            faults.extend(fault.faults)
    if faults:
        raise RecordError(faults)
    return pairs


def parent_faults(
    child: Animal, parent: Animal, *, sex: Sex, field: str, hatched: PartialDate | None = None
) -> Iterator[Fault]:
    """REC-017 where a parent has the other sex, another species, or hatched after its young.

    Parameters
    ----------
    child, parent : Animal
        The two.
    sex : Sex
        Sex that the parent must have, or not be known.
    field : str
        "dam" or "sires".
    hatched : PartialDate, optional
        Hatch date of the child if it is not the one on record.
    """
    if parent.sex not in {sex.value, Sex.UNKNOWN.value}:
        yield Fault(
            "REC-017",
            f"{parent.tag} is recorded as {parent.sex}.",
            f"Correct its sex, or choose another {'dam' if sex is Sex.FEMALE else 'sire'}.",
            field=field,
            value=parent.tag,
            animal=child.tag,
        )
    if parent.species != child.species:
        yield Fault(
            "REC-017",
            f"{parent.tag} is {parent.species}, {child.tag} is {child.species}.",
            "Parents and young are of one species.",
            field=field,
            value=parent.tag,
            animal=child.tag,
        )
    date, own = parent.hatch_date, hatched or child.hatch_date
    if date and own and date.earliest >= own.latest:
        yield Fault(
            "REC-017",
            f"{parent.tag} hatched {date}, after {child.tag} ({own}).",
            "Correct one date, or set the parent to unknown.",
            field=field,
            value=parent.tag,
            animal=child.tag,
        )


def parent_keys(children: Iterable[uuid.UUID]) -> set[uuid.UUID]:
    """Keys of all animals that are a parent, or may be, of any of the children."""
    keys = list(children)
    rows = Animal.objects.filter(pk__in=keys).values_list("dam_id", "clutch_id", "clutch__dam_id")
    found: set[uuid.UUID | None] = {key for dam, _, clutch_dam in rows for key in (dam, clutch_dam)}
    clutches = {clutch for _, clutch, _ in rows}
    for own in (Parentage.objects.filter(animal__in=keys), Parentage.objects.filter(clutch__in=clutches)):
        found.update(own.values_list("sire_id", flat=True))
    return {key for key in found if key is not None}


def loop_faults(child: Animal, parents: Iterable[Animal], *, field: str) -> Iterator[Fault]:
    """REC-018 where the child is an ancestor of one of its parents, or is its own."""
    for parent in parents:
        seen: set[uuid.UUID] = set()
        level = {parent.pk}
        while level and child.pk not in level:
            seen |= level
            level = parent_keys(level) - seen
        if child.pk in level:
            yield Fault(
                "REC-018",
                f"{child.tag} would be its own ancestor through {parent.tag}.",
                "Correct one of the parents on the way.",
                field=field,
                value=parent.tag,
                animal=child.tag,
            )
