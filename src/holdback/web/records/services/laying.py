"""Write down that a female has laid: clutch, eggs, sires and weights in one deed."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterator, Sequence
from typing import TypedDict, Unpack

from holdback.collection.event_kinds import KINDS, LAID
from holdback.collection.model import EggOutcome, PartialDate, Sex, Trait
from holdback.collection.status import is_here
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.clutch_rules import Day, come_faults
from holdback.web.records.likely_sires import likely_sires
from holdback.web.records.models import Animal, Clutch, Egg, Measurement, Observation, Place
from holdback.web.records.new_ids import next_clutch_id
from holdback.web.records.overlay import catalogue
from holdback.web.records.parents import Sires, animal_named
from holdback.web.records.queries import clutch_by_tag
from holdback.web.records.rules import number_faults, refuse, tag_faults
from holdback.web.records.services.clutches import write_clutch_sires
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.readings import measurement_faults

MOST_EGGS = 60
APART_DAYS = 120
"""Two clutches of one dam within so many days are asked about: she lays once a season (common practice, no source)."""
EGG_MASS_G = (20.0, 200.0)
"""Masses of an egg beyond these are asked about (from memory: 65 to 105 g are usual; a slip moves the point)."""
MASS_SLACK = 0.05
"""Part by which the eggs weighed one by one may differ from the whole clutch before that is asked about."""


class Laying(TypedDict, total=False):
    """What else is said of a clutch at laying; a field left out is not said."""

    slugs: int | Collection[str] | None
    sires: Sires
    tag: str
    masses: Sequence[float | None]
    clutch_mass_g: float | None
    dam_mass_g: float | None
    box: Place | None
    notes: str


def lay_clutch(
    *,
    who: str,
    dam: Animal | str,
    laid: Day,
    eggs: int,
    batch: uuid.UUID | None = None,
    sure: bool = False,
    **more: Unpack[Laying],
) -> Clutch:
    """A new clutch with its eggs 1, 2, ... and everything that was weighed.

    Parameters
    ----------
    who : str
        Who writes it.
    dam : Animal or str
        The dam, or her id.
    laid : date or str
        The day, or the month or year as text.
    eggs : int
        Eggs in all, slugs among them.
    batch : UUID, optional
        Batch that the change belongs to.
    sure : bool
        Whether what is asked about is meant so.
    **more
        ``slugs`` (the marks of those that are, or only how many), ``sires`` (as for `add_clutch`; by the matings of the
        dam if left out), ``tag`` (by the keeper's pattern if left out), ``masses`` (of each egg in gram, in order, None
        where it was not weighed), ``clutch_mass_g``, ``dam_mass_g`` (after laying), ``box`` (the place all lie in),
        ``notes``.

    Raises
    ------
    RecordError
        REC-010 to REC-019, SEA-002, SEA-003, all together; as questions SEA-001, SEA-004, SEA-005.
    """
    day = str(laid).strip()
    with deed("lay clutch", who=who, batch=batch) as done:
        mother = animal_named(dam, field="dam")
        faults = [*come_faults(day, field="laid"), *_number_faults(eggs, more)]
        if mother is None:
            faults.append(Fault("REC-016", "nobody is named as the dam.", "Say who laid.", field="dam"))
        elif mother.sex == Sex.MALE:
            what = f"{mother.tag} is recorded as male."
            faults.append(Fault("REC-017", what, "Correct its sex, or choose another dam.", field="dam"))
        refuse(faults)
        assert mother is not None, "refused above"
        clutch = _clutch(mother, day, eggs, more)
        judge([*_tag_faults(clutch.tag), *_questions(mother, clutch, more)], sure=sure)
        done.make(clutch)
        sires = more.get("sires")
        write_clutch_sires(done, clutch, likely_sires(mother, day) if sires is None else sires)
        done.make(*_eggs(clutch, eggs, more))
        _write_readings(done, clutch, mother, more)
    return clutch


def _clutch(dam: Animal, day: str, eggs: int, more: Laying) -> Clutch:
    """The clutch, not yet written."""
    slugs = more.get("slugs")
    return Clutch(
        tag=more.get("tag", "").strip() or next_clutch_id(PartialDate.parse(day).year, dam=dam.tag),
        dam=dam,
        laid=day,
        laid_first=PartialDate.parse(day).earliest,
        eggs=eggs,
        slugs=slugs if slugs is None or isinstance(slugs, int) else len(set(slugs)),
        notes=more.get("notes", "").strip(),
    )


def _eggs(clutch: Clutch, count: int, more: Laying) -> list[Egg]:
    """The eggs, not yet written; a slug that is marked has ended on the day it was laid."""
    slugs = more.get("slugs")
    marked = set() if slugs is None or isinstance(slugs, int) else set(slugs)
    masses = [*more.get("masses", ()), *[None] * count][:count]
    return [
        Egg(
            clutch=clutch,
            mark=str(number),
            mass_g=mass,
            box=more.get("box"),
            outcome=EggOutcome.SLUG.value if str(number) in marked else EggOutcome.UNKNOWN.value,
            ended=clutch.laid if str(number) in marked else "",
        )
        for number, mass in enumerate(masses, 1)
    ]


def _write_readings(done: Deed, clutch: Clutch, dam: Animal, more: Laying) -> None:
    """Write that she laid, with the mass of the clutch, and her own mass after it."""
    if mass := more.get("dam_mass_g"):
        reading = Measurement(
            animal=dam, date=clutch.laid, trait=Trait.MASS.value, value=mass, unit="g", condition="after laying"
        )
        refuse(measurement_faults(reading))
        done.make(reading)
    words = [LAID, *KINDS[LAID].also]
    if Observation.objects.filter(animal=dam, date=clutch.laid, kind__in=words).exists():
        return
    whole = more.get("clutch_mass_g")
    unit = "g" if whole else ""
    done.make(
        Observation(
            animal=dam, date=clutch.laid, kind=LAID, value=whole or None, unit=unit, note=f"clutch {clutch.tag}"
        )
    )


def _tag_faults(tag: str) -> Iterator[Fault]:
    """Faults of the id of a new clutch."""
    yield from tag_faults(tag)
    if clutch_by_tag(tag):
        yield Fault(
            "REC-019", f"the id {tag!r} belongs to another clutch.", "Choose another id.", field="tag", value=tag
        )


def _number_faults(eggs: int, more: Laying) -> Iterator[Fault]:
    """Faults of counts and masses."""
    yield from number_faults(eggs, 1, MOST_EGGS, field="eggs")
    slugs, masses = more.get("slugs"), more.get("masses", ())
    if isinstance(slugs, int):
        yield from number_faults(slugs, 0, eggs, field="slugs")
    elif slugs:
        marks = {str(number) for number in range(1, min(eggs, MOST_EGGS) + 1)}
        for mark in sorted(set(slugs) - marks):
            what = f"egg {mark!r} cannot be a slug of a clutch of {eggs}."
            yield Fault("SEA-003", what, f"Its eggs are 1 to {eggs}.", field="slugs", value=mark)
    if len(masses) > eggs:
        what = f"{len(masses)} masses are given for {eggs} eggs."
        yield Fault("SEA-003", what, "Count again: eggs are all that were laid, slugs among them.", field="masses")
    for mass in (*masses, more.get("clutch_mass_g"), more.get("dam_mass_g")):
        yield from number_faults(mass, 0, 1e5, field="masses", above=True)


def _questions(dam: Animal, clutch: Clutch, more: Laying) -> Iterator[Fault]:
    """What is asked about before it is written."""
    assert clutch.laid_first is not None, "a clutch that is laid has a date"
    if not is_here(dam.status):
        what = f"{dam.tag} is recorded as {dam.status}. Did she lay here?"
        yield Fault("SEA-005", what, "Choose another dam, or confirm.", field="dam", value=dam.tag)
    for other in Clutch.objects.filter(dam=dam, removed_at__isnull=True, laid_first__isnull=False):
        assert other.laid_first is not None, "asked for above"
        if abs((clutch.laid_first - other.laid_first).days) < APART_DAYS:
            what = f"{dam.tag} has clutch {other.tag}, laid {other.laid}. Did she lay another {clutch.laid}?"
            yield Fault("SEA-001", what, "Go on with that clutch, or confirm a second one.", field="dam", value=dam.tag)
    most = catalogue(dam.species).reproduction.get("clutch_size_max")
    if most and clutch.eggs and clutch.eggs > most.high:
        what = f"{clutch.eggs} eggs are more than the {most.high:g} that are known of a clutch."
        yield Fault("SEA-004", what, "Count again, or confirm.", field="eggs", value=str(clutch.eggs))
    yield from _mass_questions(clutch, more)


def _mass_questions(clutch: Clutch, more: Laying) -> Iterator[Fault]:
    """Questions about masses that are out of the ordinary or disagree."""
    low, high = EGG_MASS_G
    masses = [mass for mass in more.get("masses", ()) if mass is not None]
    for number, mass in enumerate(more.get("masses", ()), 1):
        if mass is not None and not low <= mass <= high:
            what = f"egg {number} weighs {mass:g} g. Is that right?"
            yield Fault("SEA-004", what, "Look for a slip of the point, or confirm.", field="masses", value=f"{mass:g}")
    whole, after = more.get("clutch_mass_g"), more.get("dam_mass_g")
    least = whole * (1 - MASS_SLACK) if whole and len(masses) == clutch.eggs else 0.0
    if whole and masses and not least <= sum(masses) <= whole * (1 + MASS_SLACK):
        what = f"the eggs weigh {sum(masses):g} g one by one, the clutch {whole:g} g."
        yield Fault("SEA-004", what, "Weigh again, or confirm.", field="clutch_mass_g", value=f"{whole:g}")
    laid = whole or sum(masses)
    if after and laid > after:
        what = f"she weighs {after:g} g after laying, less than her clutch, {laid:g} g."
        yield Fault("SEA-004", what, "Look for a slip, or confirm.", field="dam_mass_g", value=f"{after:g}")
