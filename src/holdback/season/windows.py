"""A day foretold from a day and a length."""

from __future__ import annotations

import datetime as dt

from holdback.collection.estimate import Basis, Estimate
from holdback.season.days import DayLaw
from holdback.season.intervals import Length
from holdback.season.outlook import Window

COVERAGE = 0.8
"""Share of the cases that a foretold range holds."""


def window_after(start: DayLaw | None, length: Length | None, *, today: dt.date) -> Window | None:
    """Window of what comes a length after a start and has not come before today.

    Parameters
    ----------
    start : DayLaw or None
        When it began; None where that is not known.
    length : Length or None
        How long it takes; None where that is not known.
    today : date
        Day of the outlook.

    Returns
    -------
    Window or None
        None where nothing can be said, or where it should have come long ago.
    """
    if start is None or length is None:
        return None
    return window_of(start.plus(length.law), today=today, basis=length.basis, ground=length.ground, n_own=length.n_own)


def window_of(law: DayLaw, *, today: dt.date, basis: Basis, ground: str, n_own: int) -> Window | None:
    """Window of a law of days, given that it has not come before today; None where that cannot be."""
    rest = law.after(today - dt.timedelta(days=1))
    if rest is None:
        return None
    first, last = ((day - today).days for day in rest.window(COVERAGE))
    mean = min(max(rest.mean - today.toordinal(), first), last)
    return Window(rest, Estimate(mean, first, last, "d", basis, ground, COVERAGE), n_own)


def is_late(start: DayLaw | None, length: Length | None, *, today: dt.date) -> bool:
    """Whether what comes a length after a start should have come: today lies past the range foretold at the start."""
    if start is None or length is None:
        return False
    return start.plus(length.law).window(COVERAGE)[1] < today
