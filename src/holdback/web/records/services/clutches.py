"""Add and change clutches and their eggs."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from typing import Any, TypedDict, Unpack

from holdback.collection.model import EggOutcome, Sex
from holdback.errors import Fault
from holdback.web.records.models import Animal, Clutch, Egg, Place
from holdback.web.records.parents import Sires, animal_named, loop_faults, parent_faults, sires_named
from holdback.web.records.queries import clutch_by_tag
from holdback.web.records.rules import date_faults, length_faults, number_faults, refuse, tag_faults, word_faults
from holdback.web.records.services.deed import deed
from holdback.web.records.services.parents import write_sires


class ClutchFields(TypedDict, total=False):
    """What is said of a clutch; a field left out is not said."""

    tag: str
    dam: Animal | str | None
    sires: Sires
    laid: str
    hatched: str
    eggs: int | None
    slugs: int | None
    notes: str


class EggFields(TypedDict, total=False):
    """What is said of an egg."""

    mark: str
    mass_g: float | None
    candling: str
    outcome: str
    animal: Animal | str | None
    box: Place | None
    ended: str
    cause: str


def add_clutch(*, who: str, batch: uuid.UUID | None = None, **fields: Unpack[ClutchFields]) -> Clutch:
    """A new clutch.

    Parameters
    ----------
    who : str
        Who adds it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``tag`` (needed), ``dam``, ``sires``, ``laid``, ``hatched``, ``eggs`` (in all), ``slugs`` (of them), ``notes``.

    Raises
    ------
    RecordError
        REC-010 to REC-019, all faults together.
    """
    clutch = Clutch()
    with deed("add clutch", who=who, batch=batch) as done:
        values = _columns({"tag": "", **fields})
        refuse(_clutch_faults(clutch, values))
        for name, value in values.items():
            setattr(clutch, name, value)
        done.make(clutch)
        write_clutch_sires(done, clutch, fields.get("sires", ""))
    return clutch


def change_clutch(
    clutch: Clutch, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[ClutchFields]
) -> Clutch:
    """The clutch with some fields changed; see `add_clutch`."""
    with deed("change clutch", who=who, batch=batch) as done:
        values = _columns(dict(fields))
        refuse(_clutch_faults(clutch, values))
        done.change(clutch, **values)
        if "sires" in fields:
            write_clutch_sires(done, clutch, fields["sires"])
        refuse(_hatchling_faults(clutch))
    return clutch


def _columns(fields: dict[str, Any]) -> dict[str, Any]:
    """Columns of a clutch, the dam found by her tag."""
    values = {name: value.strip() if isinstance(value, str) else value for name, value in fields.items()}
    values.pop("sires", None)
    if "dam" in values:
        values["dam"] = animal_named(values["dam"], field="dam")
    return values


def _clutch_faults(clutch: Clutch, values: dict[str, Any]) -> Iterator[Fault]:
    """Faults of a clutch's values."""
    if "tag" in values:
        yield from tag_faults(values["tag"])
        other = clutch_by_tag(values["tag"])
        if other and other.pk != clutch.pk:
            yield Fault(
                "REC-019",
                f"the id {values['tag']!r} belongs to another clutch.",
                "Choose another id, or change that clutch.",
                field="tag",
                value=values["tag"],
            )
    for name in ("laid", "hatched"):
        yield from date_faults(values.get(name, ""), field=name)
    eggs, slugs = values.get("eggs", clutch.eggs), values.get("slugs", clutch.slugs)
    yield from number_faults(eggs, 0, 60, field="eggs")
    yield from number_faults(slugs, 0, 60 if eggs is None else eggs, field="slugs")
    dam: Animal | None = values.get("dam")
    if dam and dam.sex == Sex.MALE:
        hint = "Correct its sex, or choose another dam."
        yield Fault("REC-017", f"{dam.tag} is recorded as male.", hint, field="dam", value=dam.tag)


def write_clutch_sires(done: Any, clutch: Clutch, sires: Sires) -> None:
    """Check and write the candidate sires of a clutch."""
    fathers = sires_named(sires)
    refuse(
        Fault(
            "REC-017",
            f"{sire.tag} is recorded as female.",
            "Correct its sex, or choose another sire.",
            field="sires",
            value=sire.tag,
        )
        for sire, _ in fathers
        if sire and sire.sex == Sex.FEMALE
    )
    write_sires(done, fathers, clutch=clutch)


def _hatchling_faults(clutch: Clutch) -> Iterator[Fault]:
    """Faults of the clutch's parents against its hatchlings."""
    sires = [row.sire for row in clutch.candidate_sires.select_related("sire") if row.sire]
    dams = [clutch.dam] if clutch.dam else []
    for young in clutch.hatchlings.all():
        for parent, sex in [*((dam, Sex.FEMALE) for dam in dams), *((sire, Sex.MALE) for sire in sires)]:
            yield from parent_faults(young, parent, sex=sex, field="clutch")
        yield from loop_faults(young, [*dams, *sires], field="clutch")


def add_egg(clutch: Clutch, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[EggFields]) -> Egg:
    """A new egg of a clutch.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    who : str
        Who adds it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``mark`` (needed), ``mass_g``, ``candling``, ``outcome`` (hatched, slug, died, unknown), ``animal``, ``box``,
        ``ended``, ``cause``.

    Raises
    ------
    RecordError
        REC-010 to REC-019, all faults together.
    """
    with deed("add egg", who=who, batch=batch) as done:
        values = _egg_columns(dict(fields))
        egg = Egg(clutch=clutch, **values)
        refuse(_egg_faults(egg))
        done.make(egg)
    return egg


def change_egg(egg: Egg, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[EggFields]) -> Egg:
    """The egg with some fields changed; see `add_egg`."""
    with deed("change egg", who=who, batch=batch) as done:
        done.change(egg, **_egg_columns(dict(fields)))
        refuse(_egg_faults(egg))
    return egg


def _egg_columns(fields: dict[str, Any]) -> dict[str, Any]:
    """Columns of an egg, the hatchling found by its tag."""
    values = {name: value.strip() if isinstance(value, str) else value for name, value in fields.items()}
    if "animal" in values:
        values["animal"] = animal_named(values["animal"], field="animal")
    return values


def _egg_faults(egg: Egg) -> Iterator[Fault]:
    """Faults of an egg."""
    if not egg.mark:
        yield Fault("REC-010", "the egg has no mark.", "Give it a number or a letter.", field="mark")
    yield from length_faults(egg.mark, 30, field="mark")
    yield from length_faults(egg.candling, 120, field="candling")
    yield from length_faults(egg.cause, 120, field="cause")
    yield from date_faults(egg.ended, field="ended")
    yield from number_faults(egg.mass_g, 0, 1000, field="mass_g", above=True)
    yield from word_faults(egg.outcome, EggOutcome, field="outcome")
    if Egg.objects.filter(clutch=egg.clutch, mark=egg.mark).exclude(pk=egg.pk).exists():
        yield Fault("REC-019", f"egg {egg.mark} of this clutch is there already.", "Use another mark.", field="mark")
    if egg.animal and Egg.objects.filter(animal=egg.animal).exclude(pk=egg.pk).exists():
        yield Fault("REC-019", f"{egg.animal.tag} hatched from another egg.", "Correct one of the two.", field="animal")
    if egg.animal and not _may_have_young(egg):
        yield Fault(
            "REC-013",
            f"the egg is recorded as {egg.outcome} and has a hatchling.",
            "Set the outcome to hatched, or take the animal off.",
            field="outcome",
        )


def _may_have_young(egg: Egg) -> bool:
    """Whether the outcome of an egg goes with a young on record: one that died in it does not live."""
    assert egg.animal is not None, "asked of an egg with a young"
    lost = egg.outcome == EggOutcome.DIED and not egg.animal.living and not egg.animal.hatched
    return lost or egg.outcome in {EggOutcome.HATCHED, EggOutcome.UNKNOWN}
