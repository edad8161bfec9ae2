"""Dates as keepers type them.

A date stands as far as it is known: day, month or year. Where day and month could be exchanged the order is asked of
the whole column, never guessed; ``summer 2021`` is no date and is left as text.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping

from holdback.collection.model import PartialDate
from holdback.intake.numbers import Unclear
from holdback.intake.sheets import Cell

EARLIEST_YEAR = 1950
"""Years before this are taken for a slip: no keeper has records of a living snake so old."""

_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("january", "jan"), ("february", "feb", "febr"), ("march", "mar"), ("april", "apr"), ("may",),
            ("june", "jun"), ("july", "jul"), ("august", "aug"), ("september", "sep", "sept"), ("october", "oct"),
            ("november", "nov"), ("december", "dec"),
        ),
        start=1,
    )
    for name in names
}  # fmt: skip

_YEAR_FIRST = re.compile(r"(\d{4})(?:[-/. ](\d{1,2})(?:[-/. ](\d{1,2}))?)?")
_COMPACT = re.compile(r"(19|20)(\d{2})(\d{2})(\d{2})")
_THREE = re.compile(r"(\d{1,2})([-/. ])\s*(\d{1,2})\2\s*(\d{4}|\d{2})")
_TWO = re.compile(r"(\d{1,2})[-/.](\d{4})")
_WORDS_DAY = re.compile(r"(?:(\d{1,2})(?:st|nd|rd|th)?[ .-]*(?:of )?)?([a-z]+)\.?[ ,.'’-]*(\d{4}|\d{2})")
_WORDS_MONTH = re.compile(r"([a-z]+)\.? (\d{1,2})(?:st|nd|rd|th)?,? +'?(\d{4}|\d{2})")
_WORDS_YEAR = re.compile(r"(\d{4})[ -]([a-z]+)\.?(?:[ -](\d{1,2})(?:st|nd|rd|th)?)?")
_SHORT_YEAR = re.compile(r"['’](\d{2})")
_TIME = re.compile(r"[t ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?z?$")


def figures(text: str) -> tuple[str, int, int] | None:
    """Separator and first two numbers of a date in figures with the year last, None for any other form.

    Examples
    --------
    >>> figures("7/18/22"), figures("2022-07-18")
    (('/', 7, 18), None)
    """
    match = _THREE.fullmatch(text.strip())
    return (match[2], int(match[1]), int(match[3])) if match else None


def two_figure_year(text: str) -> int | None:
    """Year as typed in two figures, None where the year has four or there is none.

    Examples
    --------
    >>> two_figure_year("7/18/22"), two_figure_year("18 July 2022")
    (22, None)
    """
    lowered = text.strip().lower()
    for pattern in (_THREE, _WORDS_MONTH, _WORDS_DAY, _SHORT_YEAR):
        match = pattern.fullmatch(lowered)
        if match:
            year = match[match.lastindex or 1]
            return int(year) if len(year) == 2 else None
    return None


def date(cell: Cell, *, orders: Mapping[str, str] | None = None, year_from: int = 0) -> PartialDate:
    """Date of a cell to the precision typed.

    Parameters
    ----------
    cell : Cell
        A typed date, a serial day number, or text.
    orders : mapping of str to str, optional
        Separator (``/``, ``-``, ``.`` or a blank) to ``dmy`` or ``mdy`` for figures with the year last; a separator
        that is not named is not known.
    year_from : int
        First year of the hundred that two-figure years stand for; 0 where it is not known.

    Returns
    -------
    PartialDate
        The date.

    Raises
    ------
    Unclear
        If it is no date, or if what is not known decides it.

    Examples
    --------
    >>> str(date(Cell("18 July 2022"))), str(date(Cell("7/18/22"), year_from=1990)), str(date(Cell("2022-07")))
    ('2022-07-18', '2022-07-18', '2022-07')
    """
    if isinstance(cell.value, dt.datetime):
        return PartialDate(cell.value.year, cell.value.month, cell.value.day)
    if isinstance(cell.value, dt.date):
        return PartialDate(cell.value.year, cell.value.month, cell.value.day)
    text = _TIME.sub("", re.sub(r"\s+", " ", cell.text.strip().lower()))
    try:
        return _plausible(_from_text(text, orders or {}, year_from))
    except Unclear:
        raise
    except ValueError as error:
        raise Unclear("no such day in the calendar") from error


def _plausible(found: PartialDate) -> PartialDate:
    """The date, if it can be one of a keeper's records."""
    if found.year < EARLIEST_YEAR or found.year > 2199:
        raise Unclear(f"the year {found.year} is no year of these records")
    return found


def _from_text(text: str, orders: Mapping[str, str], year_from: int) -> PartialDate:
    """Date of lowered text; a `ValueError` says that the calendar has no such day."""
    if match := _COMPACT.fullmatch(text):
        return PartialDate(int(match[1] + match[2]), int(match[3]), int(match[4]))
    if match := _YEAR_FIRST.fullmatch(text):
        return PartialDate(int(match[1]), *(int(part) for part in match.groups()[1:] if part))
    if re.fullmatch(r"[2-6]\d{4}(?:\.0*)?", text):
        # A day number of a spreadsheet; 30 December 1899 is its day 0 (the 1900 system).
        day = dt.date(1899, 12, 30) + dt.timedelta(days=int(float(text)))
        return PartialDate(day.year, day.month, day.day)
    if match := _THREE.fullmatch(text):
        return _ordered(int(match[1]), int(match[3]), _year(match[4], year_from), orders.get(match[2], ""))
    if match := _TWO.fullmatch(text):
        return PartialDate(int(match[2]), int(match[1]))
    if (match := _WORDS_MONTH.fullmatch(text)) and match[1] in _MONTHS:
        return PartialDate(_year(match[3], year_from), _MONTHS[match[1]], int(match[2]))
    if (match := _WORDS_DAY.fullmatch(text)) and match[2] in _MONTHS:
        return PartialDate(_year(match[3], year_from), _MONTHS[match[2]], int(match[1] or 0))
    if (match := _WORDS_YEAR.fullmatch(text)) and match[2] in _MONTHS:
        return PartialDate(int(match[1]), _MONTHS[match[2]], int(match[3] or 0))
    if match := _SHORT_YEAR.fullmatch(text):
        return PartialDate(_year(match[1], year_from))
    raise Unclear("not a date")


def _year(text: str, year_from: int) -> int:
    """Year in four figures."""
    if len(text) == 4:
        return int(text)
    if not year_from:
        raise Unclear(f"the year {text} has two figures and its century is not known")
    return year_from + (int(text) - year_from) % 100


def _ordered(first: int, second: int, year: int, order: str) -> PartialDate:
    """Date of two numbers whose order is told or decided by one being above twelve."""
    if first == second or (first > 12) != (second > 12):
        day, month = (first, second) if first > 12 else (second, first)
        if order and first != second and max(first, second) > 12 and order != ("dmy" if first > 12 else "mdy"):
            raise Unclear("it cannot be read with the " + ("day first" if order == "dmy" else "month first"))
        return PartialDate(year, month, day)
    if not order:
        raise Unclear("day and month cannot be told apart")
    day, month = (first, second) if order == "dmy" else (second, first)
    return PartialDate(year, month, day)
