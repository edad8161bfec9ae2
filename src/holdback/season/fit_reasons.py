"""Reasons that hold for both sexes: mass, age, loss, signs, treatment and quarantine."""

from __future__ import annotations

from collections.abc import Iterator

from holdback.collection.event_kinds import QUARANTINE, TREATMENT, kind_of
from holdback.collection.model import Event
from holdback.season.day_words import day_words
from holdback.season.keeping import Keeping
from holdback.season.outlook import Reason, Verdict
from holdback.season.signs import open_sign, seen_sign, sign_words
from holdback.species.model import Value

OLD_DAYS = 270
"""A last weight older than this says too little of today (an assumption)."""

OPEN_DAYS = 30
"""A treatment without a last day is taken to go on so long (an assumption)."""

MONTHS_TOLD = 36
"""Under this age months are told, from it on years."""

QUARANTINE_DAYS = 90
"""A quarantine without a last day is taken to go on so long (common practice, no source)."""


def mass_reason(animal: str, least: Value | None, keeping: Keeping) -> Reason:
    """Mass now against the least to breed from."""
    trend = keeping.trend(animal)
    if least is None:
        return Reason("mass", "The least mass to breed from is not known for this species.", Verdict.ASK)
    wanted = f"{least.low:,.0f} g" if least.low == least.high else f"{least.low:,.0f} to {least.high:,.0f} g"
    wanted = f"{wanted} are asked for ({least.mark})"
    if trend is None:
        return Reason("mass", f"No weight that counts: weigh it empty. {wanted}.", Verdict.ASK)
    now = f"{trend.mass_g.mean:,.0f} g on {day_words(trend.last, keeping.today)}"
    if trend.question:
        return Reason("mass", f"{trend.question} Weigh it again. By the weight before: {now}; {wanted}.", Verdict.ASK)
    if (keeping.today - trend.last).days > OLD_DAYS:
        return Reason("mass", f"{now} is too long ago: weigh it empty. {wanted}.", Verdict.ASK)
    if trend.mass_g.mean < least.low:
        return Reason("mass", f"{now}; {wanted}.", Verdict.NOT_YET)
    many = f" Many wait for {least.high:,.0f} g." if trend.mass_g.mean < least.high else ""
    return Reason("mass", f"{now}; {wanted}.{many}", Verdict.MAY)


def age_reason(animal: str, least: Value | None, keeping: Keeping, *, months_in_unit: float, unit: str) -> Reason:
    """Age against the least to breed from, in months or years."""
    if least is None:
        return Reason("age", "The least age to breed from is not known for this species.", Verdict.ASK)
    span = keeping.age_months(animal)
    wanted = f"{least.low:g} to {least.high:g} {unit} are asked for ({least.mark})"
    if span is None:
        told = "Its age is not known: write the year it hatched, or when it came"
        return Reason("age", f"{told}. {wanted}.", Verdict.ASK)
    low, high = span[0] / months_in_unit, span[1] / months_in_unit
    told = f"{_age_words(span[0])} old" if span[1] - span[0] < 1.5 else f"At least {_age_words(span[0])} old"
    if low >= least.low:
        return Reason("age", f"{told}; {wanted}.", Verdict.MAY)
    if high < least.low:
        return Reason("age", f"{_age_words(span[1])} old at most; {wanted}.", Verdict.NOT_YET)
    return Reason("age", f"{told}, and how much older is not known: write when it hatched. {wanted}.", Verdict.ASK)


def _age_words(months: float) -> str:
    return f"{months:.0f} months" if months < MONTHS_TOLD else f"{months / 12:.1f} years"


def health_reasons(animal: str, keeping: Keeping) -> Iterator[Reason]:
    """Signs, treatment and quarantine."""
    events = keeping.events(animal)
    sign, seen = open_sign(events, keeping.today), seen_sign(events, keeping.today)
    if sign is not None:
        yield Reason("sign", sign_words(sign, keeping.today), Verdict.STOP)
    elif seen is not None:
        visit = day_words(seen[1].date.earliest, keeping.today)
        what = seen[0].note.strip() or "a sign"
        yield Reason("sign", f"Seen by a vet on {visit} ({what}): ask the vet whether it may breed.", Verdict.ASK)
    if (one := _going_on(events, TREATMENT, OPEN_DAYS, keeping)) is not None:
        yield Reason("sign", f"Under treatment{_until(one, keeping)}.", Verdict.STOP)
    if (one := _going_on(events, QUARANTINE, QUARANTINE_DAYS, keeping)) is not None:
        yield Reason("sign", f"In quarantine{_until(one, keeping)}: keep it apart.", Verdict.NOT_YET)


def _going_on(events: tuple[Event, ...], kind: str, most_days: int, keeping: Keeping) -> Event | None:
    """Last event of a kind that goes on today."""
    found = None
    for one in events:
        if kind_of(one.kind) != kind:
            continue
        end = one.until.latest if one.until else None
        is_on = end >= keeping.today if end else (keeping.today - one.date.latest).days <= most_days
        found = one if is_on else None
    return found


def _until(one: Event, keeping: Keeping) -> str:
    if one.until is None:
        return f" since {day_words(one.date.earliest, keeping.today)}, without a last day"
    return f" until {day_words(one.until.latest, keeping.today)}"
