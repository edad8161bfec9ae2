"""What has to hold for each kind of event before it is written, and what is asked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from holdback.collection.event_kinds import (
    BORROWED,
    CO_OWNED,
    DEFECT,
    DIED,
    KINDS,
    LAID,
    LENT,
    LOCK,
    MEAL,
    NEST_BOX,
    OVULATION,
    PRELAY_SHED,
    QUARANTINE,
    READY,
    RESTS,
    RETURNED,
    SHED,
    SOLD,
    SWAB,
    ULTRASOUND,
    VET,
    kind_of,
)
from holdback.collection.model import PartialDate, Sex
from holdback.errors import Fault
from holdback.web.records.lifetimes import before_on, day_faults, last_seen, whereabouts
from holdback.web.records.models import Animal, Observation
from holdback.web.records.rules import date_faults, length_faults, number_faults
from holdback.web.records.weights import last_weight

OF_FEMALES = frozenset({OVULATION, PRELAY_SHED, ULTRASOUND, LAID, NEST_BOX, LOCK})
AFTER_DEATH = frozenset({VET, SWAB, DEFECT})
"""What can still be found when a dead animal is opened."""

ONCE_A_DAY = frozenset(
    {MEAL, SHED, PRELAY_SHED, OVULATION, ULTRASOUND, LAID, NEST_BOX, RESTS, READY, QUARANTINE, LENT, BORROWED, SOLD}
)  # fmt: skip
BEFORE_LAYING = frozenset({OVULATION, PRELAY_SHED, NEST_BOX})
AFTER_LAYING_DAYS = 120
"""Signs of a laying this soon after one are asked about: no dam lays twice in it (common practice, no source)."""
LARGEST_FOLLICLE_MM = 80.0
"""Above what any follicle or egg measures across (common practice, no source)."""
MOST_PREY = 0.5
"""Share of her mass above which a meal is asked about; plans stay below a sixth (common practice, no source)."""


def happening_faults(seen: Observation) -> list[Fault]:
    """Everything that speaks against an event, questions among it.

    Returns
    -------
    list of Fault
        REC-010 to REC-012 and REC-014, SEA-042 to SEA-047, SEA-051, SEA-052; as questions SEA-030, SEA-033 to SEA-036,
        SEA-039.
    """
    animal, kind = seen.animal, seen.kind
    faults = [
        *length_faults(kind, 40, field="kind", animal=animal.tag),
        *length_faults(seen.unit, 12, field="unit", animal=animal.tag),
        *day_faults(animal, seen.date, may_be_gone=kind in {*AFTER_DEATH, DIED, RETURNED}, but=seen.pk),
        *_until_faults(seen),
    ]
    if not kind:
        faults.append(Fault("REC-010", "the event has no kind.", "Say what happened.", field="kind", animal=animal.tag))
    if any(fault.field in {"on", "until"} and fault.code == "REC-012" for fault in faults):
        return faults
    faults += _sex_faults(animal, kind)
    faults += _value_faults(seen)
    faults += _twice_faults(seen)
    faults += _order_faults(seen)
    faults += _whereabouts_faults(seen)
    return faults


def _until_faults(seen: Observation) -> Iterator[Fault]:
    """REC-012 or SEA-046 where the last day cannot be."""
    tag = seen.animal.tag
    if faults := list(date_faults(seen.until, field="until", animal=tag)):
        yield from faults
        return
    if not seen.until:
        return
    known = KINDS.get(seen.kind)
    if known and not known.lasts:
        what, hint = f"a {seen.kind} is of one day and has no last day.", "Leave the last day out."
        yield Fault("SEA-046", what, hint, field="until", value=seen.until, animal=tag)
    elif not list(date_faults(seen.date, field="on")) and (
        PartialDate.parse(seen.until).latest < PartialDate.parse(seen.date).earliest
    ):
        what = f"the last day {seen.until} comes before the first, {seen.date}."
        yield Fault("SEA-046", what, "Correct one of the days.", field="until", value=seen.until, animal=tag)


def _sex_faults(animal: Animal, kind: str) -> Iterator[Fault]:
    """SEA-044 for a male, and SEA-039, a question, for an animal of unknown sex, of what only females do."""
    if kind not in OF_FEMALES:
        return
    if animal.sex == Sex.MALE.value:
        what = f"{animal.tag} is recorded as male; {kind} is written of females."
        yield Fault(
            "SEA-044", what, "Choose the female, or correct its sex.", field="kind", value=kind, animal=animal.tag
        )
    elif animal.sex == Sex.UNKNOWN.value:
        what = f"the sex of {animal.tag} is not recorded; {kind} is written of females."
        yield Fault(
            "SEA-039", what, "Set its sex, or say that it is right.", field="kind", value=kind, animal=animal.tag
        )


def _value_faults(seen: Observation) -> Iterator[Fault]:
    """Faults of the number that belongs to an event, by its kind."""
    tag, value = seen.animal.tag, seen.value
    known = KINDS.get(seen.kind)
    if value is not None and known and known.unit and seen.unit != known.unit:
        what = f"{seen.kind} is counted in {known.unit}, not in {seen.unit!r}."
        yield Fault("SEA-045", what, f"Give it in {known.unit}.", field="unit", value=seen.unit, animal=tag)
        return
    if seen.kind == ULTRASOUND:
        if value is None:
            what, hint = "an ultrasound without a number.", "Give the largest follicle in mm; 0 where none was seen."
            yield Fault("SEA-045", what, hint, field="value", animal=tag)
        yield from number_faults(value, 0, LARGEST_FOLLICLE_MM, field="value", animal=tag)
    elif seen.kind == CO_OWNED:
        if faults := list(number_faults(value, 0, 100, field="value", above=True, animal=tag)):
            yield from faults
        else:
            yield from _shares_faults(seen)
    elif seen.kind == MEAL:
        yield from number_faults(value, 0, 20_000, field="value", above=True, animal=tag)
        yield from _prey_faults(seen)
    else:
        yield from number_faults(value, -1e9, 1e9, field="value", animal=tag)


def _prey_faults(seen: Observation) -> Iterator[Fault]:
    """SEA-035, a question, where the prey weighs more than half of the animal."""
    last = last_weight(seen.animal, PartialDate.parse(seen.date))
    if last and seen.value and seen.value > MOST_PREY * last.grams:
        yield Fault(
            "SEA-035",
            f"prey of {seen.value:,g} g for {seen.animal.tag}, who weighs {last.grams:,.0f} g by the last weight.",
            "Correct the mass of the prey, or say that it is right.",
            field="value",
            value=f"{seen.value:g}",
            animal=seen.animal.tag,
        )


def _shares_faults(seen: Observation) -> Iterator[Fault]:
    """SEA-047 where the owners of an animal would own more than all of it."""
    others = sum(one.value or 0.0 for one in shares_on(seen.animal, PartialDate.parse(seen.date), but=seen.note))
    if seen.value and others + seen.value > 100:
        yield Fault(
            "SEA-047",
            f"{seen.value:g} % of {seen.animal.tag}, of which others own {others:g} % already.",
            "Correct a share, or end an older one.",
            field="value",
            value=f"{seen.value:g}",
            animal=seen.animal.tag,
        )


def shares_on(animal: Animal, day: PartialDate, *, but: str = "", of: str = "") -> list[Observation]:
    """Shares of others in an animal that hold on a day: of all owners but one, or of one alone."""
    found = [one for one in animal.observations.all() if kind_of(one.kind) == CO_OWNED]
    return [
        one
        for one in found
        if (not one.until or PartialDate.parse(one.until).latest >= day.earliest)
        and (one.note == of if of else one.note != but)
    ]


def _twice_faults(seen: Observation) -> Iterator[Fault]:
    """SEA-033, a question, where the same kind of thing is written for that day already."""
    if seen.kind not in ONCE_A_DAY:
        return
    same = seen.animal.observations.filter(date=seen.date).exclude(pk=seen.pk)
    for one in same:
        if kind_of(one.kind) == seen.kind:
            number = f"{one.value:g} {one.unit}".strip() if one.value is not None else ""
            told = ", ".join(part for part in (number, one.note) if part)
            what = f"{seen.kind} of {seen.animal.tag} is written for {seen.date} already" + (
                f": {told}." if told else "."
            )
            yield Fault("SEA-033", what, "Is this another one?", field="kind", value=seen.kind, animal=seen.animal.tag)
            return


def _order_faults(seen: Observation) -> Iterator[Fault]:
    """SEA-036, a question, where something else is written that should come later, or earlier."""
    animal, day = seen.animal, PartialDate.parse(seen.date)
    later = ""
    if seen.kind in BEFORE_LAYING:
        later = _laid_before(animal, day)
        shed = last_seen(animal, PRELAY_SHED)
        if not later and seen.kind == OVULATION and shed and _soon_after(PartialDate.parse(shed.date), day):
            later = f"the shed before laying of {animal.tag} was {shed.date}, before this ovulation."
    elif seen.kind in {DIED, SOLD}:
        later = _seen_after(seen, day)
    if later:
        hint = "Correct one of the days, or say that it is right."
        yield Fault("SEA-036", later, hint, field="on", value=seen.date, animal=animal.tag)


def _soon_after(first: PartialDate, second: PartialDate) -> bool:
    """Whether the second day comes after the first, and so soon that both are of one laying."""
    return first.latest < second.earliest <= first.latest + dt.timedelta(days=AFTER_LAYING_DAYS)


def _laid_before(animal: Animal, day: PartialDate) -> str:
    """What to say where she laid shortly before a day."""
    for clutch in animal.clutches.filter(removed_at__isnull=True).exclude(laid="").order_by("-laid_first"):
        if _soon_after(PartialDate.parse(clutch.laid), day):
            return f"{animal.tag} laid clutch {clutch.tag} on {clutch.laid}, before {day}."
    return ""


def _seen_after(left: Observation, day: PartialDate) -> str:
    """What to say where an animal was seen after the day on which it died or was sold."""
    animal = left.animal
    dates = [
        *animal.observations.exclude(pk=left.pk).values_list("date", flat=True),
        *animal.measurements.values_list("date", flat=True),
        *(str(since) for since in animal.stays.values_list("since", flat=True)),
    ]
    last = max(dates, default="")
    if last and PartialDate.parse(last).earliest > day.latest:
        word = "was sold" if left.kind == SOLD else "died"
        return f"something is written of {animal.tag} for {last}, after it {word} on {day}."
    return ""


_AWAY = frozenset({SOLD, LENT, BORROWED})


def _whereabouts_faults(seen: Observation) -> Iterator[Fault]:
    """SEA-051 where it left already, SEA-052 where it comes back and never left, SEA-046 for the order of the days."""
    if seen.kind not in {*_AWAY, DIED, RETURNED}:
        return
    tag, day = seen.animal.tag, PartialDate.parse(seen.date)
    others = whereabouts(seen.animal, but=seen.pk)
    dead = next((one for one in others if kind_of(one.kind) == DIED), None) if seen.kind == DIED else None
    last = dead or before_on(others, day)
    before = kind_of(last.kind) if last else ""
    if last and before == seen.kind != RETURNED:
        what = f"{tag} is written as {before} for {last.date} already."
        yield Fault("SEA-051", what, "Change that record if it is wrong.", field="kind", value=seen.kind, animal=tag)
    elif seen.kind == RETURNED and before not in _AWAY:
        later = next((one for one in others if kind_of(one.kind) in _AWAY), None)
        if later and last is None:
            what = f"{tag} was {later.kind} on {later.date}, after {seen.date}."
            yield Fault("SEA-046", what, "Correct one of the days.", field="on", value=seen.date, animal=tag)
        else:
            what = f"{tag} was neither lent nor borrowed nor sold."
            hint = "Write down first that it was, or choose another animal."
            yield Fault("SEA-052", what, hint, field="kind", value=seen.kind, animal=tag)
