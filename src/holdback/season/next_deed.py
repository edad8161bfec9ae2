"""The next thing to do with a female, what is late, and what is for a vet."""

from __future__ import annotations

import datetime as dt

from holdback.collection.collection import Collection
from holdback.season.day_words import day_words, days_words
from holdback.season.days import DayLaw
from holdback.season.intervals import Intervals, Span
from holdback.season.outlook import Cycle, Step, Window
from holdback.season.signs import SEEN, VET_NOW, is_grave, open_sign, sign_words, vet_since
from holdback.season.windows import is_late
from holdback.species.catalogue import Catalogue

LOOK_AGAIN_DAYS = ((20.0, 21), (30.0, 14), (float("inf"), 7))
"""Days to the next ultrasound, by the largest follicle below a size in mm (common practice, no source)."""

FIRST_LOOK_DAYS = 28
"""Days after the last day with a male by which to look for follicles (common practice, no source)."""


LOOK_TOLD_DAYS = 120
"""So long after its day a look is asked for no more: nobody looks by ultrasound here (an assumption)."""


def look_again_by(cycle: Cycle, step: Step, today: dt.date) -> dt.date | None:
    """Day by which to look for follicles again; None once she has ovulated, or long after that day."""
    if step not in (Step.PAIRED, Step.GROWING):
        return None
    if cycle.follicles:
        last = cycle.follicles[-1]
        wait = next(days for below, days in LOOK_AGAIN_DAYS if last.largest_mm < below)
        return _not_forgotten(last.day + dt.timedelta(days=wait), today)
    days = [day for one in cycle.together for day in (one.first, one.last, *one.lock_days) if day is not None]
    return _not_forgotten(max(days, default=today) + dt.timedelta(days=FIRST_LOOK_DAYS), today)


def _not_forgotten(day: dt.date, today: dt.date) -> dt.date | None:
    return day if (today - day).days <= LOOK_TOLD_DAYS else None


def is_overdue(cycle: Cycle, *, today: dt.date, intervals: Intervals) -> bool:
    """Whether what the last sign foretold has not come within its window."""
    if cycle.has_laid:
        started, span = cycle.laid, Span.LAYING_TO_HATCHING
    elif cycle.shed is not None:
        started, span = cycle.shed, Span.SHED_TO_LAYING
    else:
        started, span = cycle.ovulated, Span.OVULATION_TO_LAYING
    law = DayLaw.on(started) if started is not None else None
    return is_late(law, intervals.length(span, dam=cycle.dam), today=today)


def caution_of(collection: Collection, cycle: Cycle, step: Step, *, today: dt.date, catalogue: Catalogue) -> str:
    """Sentence that sends her to a vet; empty where nothing does. After a visit it says so.

    Parameters
    ----------
    collection : Collection
        For the signs on record.
    cycle : Cycle
        Her season.
    step : Step
        How far she has come.
    today : date
        Signs of later days are not known yet.
    catalogue : Catalogue
        For the days after the shed before laying past which she must be seen.
    """
    events = [one for one in collection.events_of(cycle.dam) if one.date.earliest <= today]
    sign = open_sign(events, today)
    if sign is not None and is_grave(sign):
        return sign_words(sign, today)
    late = _without_eggs(cycle, step, today, catalogue)
    if late is None:
        return sign_words(sign, today) if sign is not None else ""
    told, from_day = late
    visit = vet_since(events, from_day)
    if visit is None or sign is not None:
        return f"{told}. {VET_NOW}"
    return f"{told}; a vet saw her on {day_words(visit, today)}. {SEEN}."


def _without_eggs(cycle: Cycle, step: Step, today: dt.date, catalogue: Catalogue) -> tuple[str, dt.date] | None:
    """That she should have laid long ago, in words, and from which day on a vet is asked about it; else None."""
    watch = catalogue.reproduction.get("egg_binding_watch_days")
    until_shed = catalogue.reproduction.get("prelay_shed_after_ovulation_days")
    if watch is None:
        return None
    if step is Step.SHED and cycle.shed is not None:
        what, start, ahead = "the shed before laying", cycle.shed, 0.0
    elif step is Step.OVULATED and cycle.ovulated is not None and until_shed is not None:
        what, start, ahead = "ovulation", cycle.ovulated, until_shed.high
    else:
        return None
    since = (today - start).days
    if since <= watch.value + ahead:
        return None
    return f"{days_words(since)} since {what}, and no eggs", start + dt.timedelta(days=round(watch.low + ahead))


def advice_of(
    cycle: Cycle,
    step: Step,
    *,
    today: dt.date,
    laying: Window | None = None,
    shedding: Window | None = None,
    hatching: Window | None = None,
    ready: Window | None = None,
    look_by: dt.date | None = None,
) -> str:
    """The next thing to do, in a sentence or two; empty where nothing is."""
    if step is Step.SHED and cycle.shed is not None:
        box = "Nest box in." if cycle.nest_box is None else f"The nest box is in since {_day(cycle.nest_box, today)}."
        return f"Pre-lay shed {_day(cycle.shed, today)}. {box}" + _span(" Lays", laying, today)
    if step is Step.OVULATED and cycle.ovulated is not None:
        return f"Ovulated {_day(cycle.ovulated, today)}." + _span(" Watch for the pre-lay shed", shedding, today)
    if look_by is not None:
        said = f"Largest follicle {cycle.follicles[-1].largest_mm:g} mm. Look again" if cycle.follicles else "Look"
        what = "" if cycle.follicles else " for follicles"
        return f"{said}{what} {'now' if look_by < today else f'by {_day(look_by, today)}'}."
    if step is Step.LAID:
        return _span("Hatches", hatching, today)
    if step is Step.HATCHED:
        return _span("Young ready for sale", ready, today)
    return ""


def _day(day: dt.date, today: dt.date) -> str:
    return day_words(day, today)


def _span(head: str, window: Window | None, today: dt.date) -> str:
    """A window in words after a head; empty where there is none."""
    if window is None:
        return ""
    first, last = (_day(day, today) for day in window.law.window())
    return f"{head} {first}." if first == last else f"{head} {first} to {last}."
