"""Whether an animal can have been there on a day: after it hatched, before it died, while it was the keeper's."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from holdback.collection.event_kinds import BORROWED, DIED, LENT, RETURNED, SOLD, kind_of
from holdback.collection.model import PartialDate
from holdback.collection.status import lives
from holdback.errors import Fault
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Observation
from holdback.web.records.rules import date_faults

Day: TypeAlias = dt.date | str
"""A day, or a date written to the year, month or day."""

WHEREABOUTS = frozenset({DIED, SOLD, LENT, BORROWED, RETURNED})
"""Kinds that say where an animal is, or no longer is."""


def written(day: Day) -> str:
    """A day as the records write it."""
    return day if isinstance(day, str) else day.isoformat()


def day_faults(
    animal: Animal, day: Day, *, field: str = "on", may_be_gone: bool = False, but: uuid.UUID | None = None
) -> Iterator[Fault]:
    """Everything that speaks against something having happened to an animal on a day.

    Parameters
    ----------
    animal : Animal
        The animal.
    day : date or str
        The day, or a date to the month or year.
    field : str
        Field the day stands in.
    may_be_gone : bool
        Whether it can still happen once the animal is dead or sold, as an examination can.
    but : UUID, optional
        Key of an observation that is not looked at: the one that is being changed.

    Yields
    ------
    Fault
        REC-012, SEA-042 and SEA-043; as questions SEA-030 and SEA-034.
    """
    text = written(day)
    if faults := list(date_faults(text, field=field, animal=animal.tag, required=True)):
        yield from faults
        return
    date = PartialDate.parse(text)
    yield from future_faults(date, field=field, animal=animal.tag)
    hatched = animal.hatch_date
    if hatched and date.latest < hatched.earliest:
        yield Fault(
            "SEA-042",
            f"{animal.tag} hatched {hatched}, after {date}.",
            "Correct the day, or the day it hatched.",
            field=field,
            value=text,
            animal=animal.tag,
        )
    if not may_be_gone:
        yield from _gone_faults(animal, date, field=field, but=but)


def future_faults(date: PartialDate, *, field: str, animal: str = "") -> Iterator[Fault]:
    """SEA-030, a question, where a day is yet to come."""
    now = today()
    if date.earliest > now:
        yield Fault(
            "SEA-030",
            f"{date} is yet to come; today is {now}.",
            "Correct the day, or say that it is right.",
            field=field,
            value=str(date),
            animal=animal,
        )


def last_seen(animal: Animal, *kinds: str, but: uuid.UUID | None = None) -> Observation | None:
    """Latest observation of one of some kinds, whatever word it was written with, other than one."""
    found = seen_of(animal, *kinds, but=but)
    return found[-1] if found else None


def seen_of(animal: Animal, *kinds: str, but: uuid.UUID | None = None) -> list[Observation]:
    """Observations of some kinds, the oldest first, other than one."""
    rows = animal.observations.order_by("date", "id")
    return [seen for seen in rows if seen.pk != but and kind_of(seen.kind) in kinds]


def whereabouts(animal: Animal, *, but: uuid.UUID | None = None) -> list[Observation]:
    """All that was written of where the animal is (died, sold, lent, borrowed, returned), the oldest first."""
    return seen_of(animal, *WHEREABOUTS, but=but)


def before_on(found: Sequence[Observation], day: PartialDate) -> Observation | None:
    """The last of some observations, oldest first, that is not dated after a day."""
    return next((one for one in reversed(found) if PartialDate.parse(one.date).earliest <= day.latest), None)


def away_faults(animal: Animal, day: PartialDate, *, field: str = "on") -> Iterator[Fault]:
    """SEA-034, a question, where an animal is lent out on a day, or has gone back to whom it was borrowed of."""
    found = whereabouts(animal)
    last = before_on(found, day)
    kind = kind_of(last.kind) if last else ""
    if last is None or kind not in {LENT, RETURNED}:
        return
    if kind == LENT:
        is_over = last.until and PartialDate.parse(last.until).latest < day.earliest
        what = (
            ""
            if is_over
            else f"{animal.tag} was lent out {last.date}" + (f" until {last.until}." if last.until else ".")
        )
    else:
        left = before_on(found[: found.index(last)], day)
        what = (
            f"{animal.tag} was borrowed and went back {last.date}." if left and kind_of(left.kind) == BORROWED else ""
        )
    if what and PartialDate.parse(last.date).latest < day.earliest:
        hint = "Write down that it came back, or say that it is right."
        yield Fault("SEA-034", what, hint, field=field, value=str(day), animal=animal.tag)


def _gone_faults(animal: Animal, date: PartialDate, *, field: str, but: uuid.UUID | None) -> Iterator[Fault]:
    """Faults of a day after the animal died or was sold."""
    left = last_seen(animal, DIED, but=but) or before_on(whereabouts(animal, but=but), date)
    kind = kind_of(left.kind) if left else ""
    if left and kind == DIED:
        if date.earliest > PartialDate.parse(left.date).latest:
            yield Fault(
                "SEA-043",
                f"{animal.tag} died {left.date}, before {date}.",
                "Correct the day, choose another animal, or take its death back.",
                field=field,
                value=str(date),
                animal=animal.tag,
            )
    elif not lives(animal.status):
        yield Fault(
            "SEA-034",
            f"{animal.tag} is recorded as {animal.status!r}, without a day.",
            "Say that it lived then, or choose another animal.",
            field=field,
            value=str(date),
            animal=animal.tag,
        )
    elif left and kind == SOLD and date.earliest > PartialDate.parse(left.date).latest:
        yield Fault(
            "SEA-034",
            f"{animal.tag} was sold {left.date}, before {date}.",
            "Say that it is right, or choose another animal.",
            field=field,
            value=str(date),
            animal=animal.tag,
        )
