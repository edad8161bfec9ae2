"""Readings out of the text of a temperature logger: any table with a column of times and a column of degrees."""

from __future__ import annotations

import csv
import datetime as dt
import re
from collections import Counter
from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from holdback.errors import Fault, RecordError

MOST_ROWS = 20_000
FAHRENHEIT_FROM = 50.0
"""Where nobody says the unit, readings of a place for eggs whose middle lies from here on are degrees Fahrenheit."""

_DATE = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})")
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?", re.IGNORECASE)
_NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(?:°\s*)?([cf])?", re.IGNORECASE)
_WARM_HEAD = re.compile(r"temp|°|celsius|fahrenheit|\bdeg", re.IGNORECASE)
_MOIST_HEAD = re.compile(r"humid|moist|%|\brh\b", re.IGNORECASE)
_F_HEAD = re.compile(r"°\s*f|fahrenheit|\(f\)|\bf\b|_f\b", re.IGNORECASE)
_C_HEAD = re.compile(r"°\s*c|celsius|\(c\)|\bc\b|_c\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LoggerText:
    """What a text holds.

    Parameters
    ----------
    readings : tuple of (date, time or None, float)
        Day, time of day, and degrees Celsius, in the order of the text.
    unit : str
        Unit that the text was in, C or F.
    is_unit_said : bool
        Whether the text or the keeper said so; else it was told by the size of the numbers.
    unread : tuple of Fault
        SEA-023 for each row that could not be read.
    """

    readings: tuple[tuple[dt.date, dt.time | None, float], ...]
    unit: str
    is_unit_said: bool
    unread: tuple[Fault, ...]


def celsius_of(value: float, unit: str) -> float:
    """Degrees Celsius of a value in C or F, to two decimals."""
    return round(value if unit == "C" else (value - 32) * 5 / 9, 2)


def number_of(text: str) -> float | None:
    """Number in a cell, with a point or a comma, degrees behind it or not; None where there is none.

    Examples
    --------
    >>> number_of("31,5"), number_of("88.2 °F"), number_of("warm")
    (31.5, 88.2, None)
    """
    found = _NUMBER.fullmatch(text.strip())
    return float(found[1].replace(",", ".")) if found else None


def read_logger(text: str, *, unit: str = "", day_first: bool | None = None) -> LoggerText:
    """Readings of a table pasted or uploaded.

    Parameters
    ----------
    text : str
        Rows; columns stand between tabs, semicolons or commas.
    unit : str
        C or F where the keeper says so; else the head of the column tells, else the size of the numbers.
    day_first : bool, optional
        Whether 3/4/2026 is 3 April; where it is left out, some day above 12 has to tell.

    Raises
    ------
    RecordError
        SEA-022 where no column of times or of degrees is found, where day and month cannot be told apart, or where
        there are too many rows.
    """
    rows = _rows(text)
    if len(rows) > MOST_ROWS:
        raise _unreadable(f"the text has {len(rows):,} rows.", f"Paste at most {MOST_ROWS:,} at a time.")
    day_column = _column(rows, lambda cell: bool(_DATE.match(cell)))
    if day_column is None:
        raise _unreadable(
            "no column of days is found.", "Keep the column with date and time, such as 2026-04-02 08:00."
        )
    first = next(index for index, (_, cells) in enumerate(rows) if _DATE.match(_cell(cells, day_column)))
    head = rows[first - 1][1] if first else []
    data = rows[first:]
    time_column = _column(data, lambda cell: bool(_TIME.fullmatch(cell)), besides={day_column}, share=0.5)
    warm_column = _warm_column(data, head, {day_column, time_column})
    if warm_column is None:
        raise _unreadable("no column of degrees is found.", "Keep the column of temperatures beside the one of times.")
    is_day_first = _is_day_first([_cell(cells, day_column) for _, cells in data], day_first)
    found, unread = [], []
    for line, cells in data:
        when = _when(_cell(cells, day_column), _cell(cells, time_column), is_day_first)
        value = number_of(_cell(cells, warm_column))
        if when is None or value is None:
            what = f"line {line} cannot be read: {', '.join(cells)[:60]!r}."
            unread.append(Fault("SEA-023", what, "It is left out.", line=line, field="text"))
        else:
            found.append((*when, value))
    said = unit or _said_unit(_cell(head, warm_column), [_cell(cells, warm_column) for _, cells in data[:20]])
    if not found:
        raise _unreadable("no row has a time and a number of degrees.", "Look at the columns.")
    counted = said or ("F" if median(value for *_, value in found) >= FAHRENHEIT_FROM else "C")
    readings = tuple((day, time, celsius_of(value, counted)) for day, time, value in found)
    return LoggerText(readings, counted, bool(said), tuple(unread))


def _unreadable(what: str, hint: str) -> RecordError:
    """SEA-022."""
    return RecordError(Fault("SEA-022", what, hint, field="text"))


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Rows that are not empty, with their line, cut where most rows can be cut."""
    lines = [(number, line) for number, line in enumerate(text.lstrip("\ufeff").splitlines(), 1) if line.strip()]
    cuts = {mark: sum(mark in line for _, line in lines) for mark in "\t;,"}
    mark = next((mark for mark in "\t;," if cuts[mark] * 2 > len(lines)), ",")
    return [(number, [cell.strip() for cell in next(csv.reader([line], delimiter=mark))]) for number, line in lines]


def _cell(cells: Sequence[str], column: int | None) -> str:
    """Cell of a column; empty where the row is too short."""
    return cells[column] if column is not None and column < len(cells) else ""


def _column(
    rows: Sequence[tuple[int, list[str]]],
    fits: Callable[[str], bool],
    *,
    besides: Set[int | None] = frozenset(),
    share: float = 0.0,
) -> int | None:
    """Column that fits in most rows, the first of several; None where none fits in more than a share of them."""
    counts: Counter[int] = Counter()
    for _, cells in rows:
        counts.update(index for index, cell in enumerate(cells) if index not in besides and fits(cell))
    best = min(counts, key=lambda index: (-counts[index], index), default=None)
    return best if best is not None and counts[best] > share * len(rows) else None


def _warm_column(rows: Sequence[tuple[int, list[str]]], head: Sequence[str], besides: Set[int | None]) -> int | None:
    """Column of degrees: the one whose head or cells say so, else the first of numbers; None where there is none."""
    values: dict[int, list[str]] = {}
    for column in range(max(len(cells) for _, cells in rows)):
        cells = [cell for _, row in rows if number_of(cell := _cell(row, column)) is not None]
        if column not in besides and len(cells) * 2 > len(rows):
            values[column] = cells

    def rank(column: int) -> tuple[bool, bool, bool, int]:
        name = _cell(head, column)
        is_marked = any(cell[-1:].isalpha() for cell in values[column][:20])
        return not _WARM_HEAD.search(name), not is_marked, _is_other(name, values[column]), column

    return min(values, key=rank, default=None)


def _is_other(name: str, cells: Sequence[str]) -> bool:
    """Whether a column of numbers is that of moisture, or only counts the rows."""
    numbers = [number_of(cell) or 0.0 for cell in cells]
    is_counting = len(numbers) > 1 and all(after - before == 1 for before, after in pairwise(numbers))
    return is_counting or bool(_MOIST_HEAD.search(name))


def _said_unit(head: str, cells: Sequence[str]) -> str:
    """Unit that the head of a column or its cells say; empty where neither does."""
    if _F_HEAD.search(head):
        return "F"
    if _C_HEAD.search(head):
        return "C"
    marks = {found[2].upper() for cell in cells if (found := _NUMBER.fullmatch(cell)) and found[2]}
    return marks.pop() if len(marks) == 1 else ""


def _is_day_first(cells: Sequence[str], said: bool | None) -> bool:
    """Whether the day stands before the month, where the year stands last.

    Raises
    ------
    RecordError
        SEA-022 where neither a point between them, nor a day above 12, nor the keeper tells.
    """
    parts = [found for cell in cells if (found := _DATE.match(cell)) and len(found[1]) < 3 and found[2] != "."]
    if said is not None or not parts:
        return said is not False
    if any(int(found[1]) > 12 for found in parts):
        return True
    if any(int(found[3]) > 12 for found in parts):
        return False
    what = f"{parts[0][0]} may be read in two ways: the day first, or the month."
    raise _unreadable(what, "Say which of the two stands first.")


def _when(day: str, time: str, is_day_first: bool) -> tuple[dt.date, dt.time | None] | None:
    """Day and time of a row; None where it cannot be read."""
    found = _DATE.match(day)
    if not found:
        return None
    clock = _TIME.search(time or day[found.end() :])
    first, second, third = int(found[1]), int(found[3]), int(found[4])
    if len(found[1]) == 4:
        year, month, number = first, second, third
    elif is_day_first or found[2] == ".":
        year, month, number = third, second, first
    else:
        year, month, number = third, first, second
    try:
        date = dt.date(year + 2000 if year < 100 else year, month, number)
        return date, _time(clock) if clock else None
    except ValueError:
        return None


def _time(found: re.Match[str]) -> dt.time:
    """Time of day, of 12 or of 24 hours."""
    hour = int(found[1])
    if found[4]:
        hour = hour % 12 + (12 if found[4][0].lower() == "p" else 0)
    return dt.time(hour, int(found[2]), int(found[3] or 0))
