"""Days, spans of days and numbers of the working year in words, alike on pages, in calendars and in the terminal."""

from __future__ import annotations

import datetime as dt

from holdback.collection.collection import Collection
from holdback.errors import Fault, HoldbackError
from holdback.season.day_words import MONTHS, day_words
from holdback.season.days import DayLaw

__all__ = [
    "MONTHS",
    "day_asked",
    "day_words",
    "in_ten",
    "span_words",
    "subject_words",
    "window_words",
]


def span_words(first: dt.date, last: dt.date, *, today: dt.date | None = None) -> str:
    """From one day to another, nothing said twice.

    Examples
    --------
    >>> span_words(dt.date(2026, 6, 3), dt.date(2026, 6, 12), today=dt.date(2026, 5, 1))
    '3–12 June'
    >>> span_words(dt.date(2026, 5, 28), dt.date(2026, 6, 4))
    '28 May–4 June 2026'
    """
    end = day_words(last, today=today)
    if first >= last:
        return end
    if first.year != last.year:
        return f"{day_words(first)}–{day_words(last)}"
    if first.month != last.month:
        return f"{day_words(first, today=first)}–{end}"
    return f"{first.day}–{end}"


def window_words(law: DayLaw, *, today: dt.date | None = None, coverage: float = 0.8) -> str:
    """The window of a day that is not known yet, in words."""
    return span_words(*law.window(coverage), today=today)


def in_ten(chance: float) -> str:
    """A chance as a natural frequency in ten.

    Examples
    --------
    >>> in_ten(0.42), in_ten(0.97), in_ten(0.02)
    ('4 in 10', 'more than 9 in 10', 'fewer than 1 in 10')
    """
    if chance >= 0.95:
        return "more than 9 in 10"
    if chance < 0.05:
        return "fewer than 1 in 10"
    return f"{round(10 * chance)} in 10"


def subject_words(collection: Collection, subject: str, *, is_clutch: bool) -> str:
    """Name and id of an animal, or "clutch" and its id."""
    if is_clutch:
        return f"clutch {subject}"
    animal = collection.animals.get(subject)
    return f"{animal.name} {animal.id}".strip() if animal else subject


def day_asked(text: str) -> dt.date | None:
    """Day as typed; None for no text.

    Raises
    ------
    HoldbackError
        SEA-102 if it is no date.
    """
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError as fault:
        hint = "Write the day as in 2026-05-14."
        raise HoldbackError(Fault("SEA-102", f"{text!r} is no date.", hint, field="on", value=text)) from fault
