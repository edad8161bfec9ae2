"""What wants a vet: signs on record, and mass lost fast. It is told, and nothing more: no remedy is named."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from holdback.collection.event_kinds import MEAL, SIGN, VET, came_up, kind_of
from holdback.collection.model import Event
from holdback.season.day_words import day_words, days_words
from holdback.season.keeping import Keeping
from holdback.season.trend import FAST_DAYS, Trend

SIGN_DAYS = 90
"""A sign older than this is not told of any more (an assumption)."""

GRAVE = re.compile(
    r"strain\w*|prolaps\w*|retain\w*|egg[ -]?bound|stuck egg|"
    r"(?:open|gaping)[ -]?mouth\w*|gap(?:es|ing)\b|wheez\w*|bubbl\w*|blood\w*|seizure\w*|convuls\w*|paraly\w*"
)
"""Words of signs that cannot wait."""

WEIGH_AGAIN = "by one weight alone. Weigh it again; if that holds, see a reptile vet."
"""What is said of a loss that no second weight bears out."""

SEEN = "Keep to what the vet said"
"""What follows what a vet has seen already."""

VET_NOW = "A reptile vet now; no home remedies."
"""What follows a grave sign."""


def open_sign(events: Sequence[Event], today: dt.date) -> Event | None:
    """Last sign of the last `SIGN_DAYS` that no visit to a vet followed; None without one."""
    found = None
    for one in events:
        kind = kind_of(one.kind)
        if kind == SIGN and (today - one.date.latest).days <= SIGN_DAYS:
            found = one
        elif kind == VET:
            found = None
    return found


def seen_sign(events: Sequence[Event], today: dt.date) -> tuple[Event, Event] | None:
    """Last sign of the last `SIGN_DAYS` and the visit to a vet that followed it; None where there is no such pair."""
    sign = visit = None
    for one in events:
        kind = kind_of(one.kind)
        if kind == SIGN and (today - one.date.latest).days <= SIGN_DAYS:
            sign, visit = one, None
        elif kind == VET and sign is not None:
            visit = one
    return (sign, visit) if sign and visit else None


def vet_since(events: Sequence[Event], day: dt.date) -> dt.date | None:
    """Last visit to a vet on a day or later; None without one."""
    days = [one.date.earliest for one in events if kind_of(one.kind) == VET and one.date.earliest >= day]
    return max(days, default=None)


def is_grave(sign: Event) -> bool:
    """Whether a sign is of those that cannot wait."""
    return bool(GRAVE.search(sign.note.casefold()))


def sign_words(sign: Event, today: dt.date) -> str:
    """A sign in a sentence, with what to do."""
    what = sign.note.strip().rstrip(".") or "a sign of illness"
    head = f"{what[:1].upper()}{what[1:]} on {day_words(sign.date.earliest, today)}"
    return f"{head}. {VET_NOW}" if is_grave(sign) else f"{head}, and no vet since. Have a reptile vet look at it."


def loss_words(trend: Trend | None, alarm_percent: float, today: dt.date, events: Sequence[Event] = ()) -> str:
    """Sentence on mass lost past the alarm; empty where it is not past it.

    Parameters
    ----------
    trend : Trend or None
        Mass and its change.
    alarm_percent : float
        Loss in percent from which it is told.
    today : date
        Today.
    events : sequence of Event, optional
        Of the animal: a visit to a vet since the last weight is told in place of one to come.
    """
    if trend is None or trend.high_on is None:
        return ""
    loss, fast = trend.loss_percent or 0.0, trend.fast_loss_percent
    if max(loss, fast) <= alarm_percent:
        return ""
    if trend.is_single:
        return f"{loss:.0f} % under its weight of {day_words(trend.high_on, today)}, {WEIGH_AGAIN}"
    visit = vet_since(events, trend.last)
    if visit is not None:
        worst = max(loss, fast)
        seen = f"a vet saw it on {day_words(visit, today)}. {SEEN}, and weigh it again."
        return f"{worst:.0f} % lost by the last weight; {seen}"
    if fast > alarm_percent:
        return f"{fast:.0f} % lost within {FAST_DAYS} days. Have a reptile vet look at it."
    since = (today - trend.high_on).days
    return (
        f"{loss:.0f} % lost since {day_words(trend.high_on, today)} ({days_words(since)}). "
        f"Have a reptile vet look at it."
    )


def feeding_caution(animal: str, keeping: Keeping, vomited: dt.date | None) -> str:
    """What wants a vet of an animal that is to be fed: a sign, a loss, or meals that came up twice; else empty.

    Parameters
    ----------
    animal : str
        Id.
    keeping : Keeping
        Records up to the day.
    vomited : date or None
        Day a meal last came up.
    """
    events = keeping.events(animal)
    sign = open_sign(events, keeping.today)
    if sign is not None:
        return sign_words(sign, keeping.today)
    alarm = keeping.catalogue.reproduction.get("mass_loss_alarm")
    if alarm is not None and (told := loss_words(keeping.trend(animal), 100 * alarm.value, keeping.today, events)):
        return told
    if vomited is None or (keeping.today - vomited).days > SIGN_DAYS or vet_since(events, vomited):
        return ""
    times = sum(
        kind_of(one.kind) == MEAL and came_up(one) and (vomited - one.date.earliest).days <= SIGN_DAYS
        for one in events
    )  # fmt: skip
    return f"{times} meals came up within {SIGN_DAYS} days. Have a reptile vet look at it." if times > 1 else ""
