"""Days in words, as sentences of the working year give them."""

from __future__ import annotations

import datetime as dt

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def day_words(day: dt.date, today: dt.date | None = None) -> str:
    """Day and month, with the year where it is not that of today.

    Examples
    --------
    >>> day_words(dt.date(2026, 5, 9), dt.date(2026, 5, 14)), day_words(dt.date(2025, 5, 9), dt.date(2026, 5, 14))
    ('9 May', '9 May 2025')
    >>> day_words(dt.date(2026, 5, 9))
    '9 May 2026'
    """
    year = "" if today is not None and day.year == today.year else f" {day.year}"
    return f"{day.day} {MONTHS[day.month - 1]}{year}"


def days_words(count: int) -> str:
    """A number of days.

    Examples
    --------
    >>> days_words(1), days_words(12)
    ('1 day', '12 days')
    """
    return f"{count} day" if count == 1 else f"{count} days"
