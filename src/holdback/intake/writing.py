"""How cells are written, decided by the cells themselves: order of day and month, decimal sign, century, unit.

Each question carries its evidence with counts. Where the cells do not decide, the question stays open; nothing is
taken by habit alone.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import PartialDate
from holdback.intake.dates import date, figures, two_figure_year
from holdback.intake.happenings import WEIGHT, said
from holdback.intake.headings import DATED, MEASURES, WEIGHTS, Field
from holdback.intake.mapping import ColumnPlan, Evidence
from holdback.intake.numbers import GRAMS, Unclear, number, quantity
from holdback.intake.sheet_kinds import SheetKind
from holdback.intake.sheets import Cell
from holdback.intake.tables import Table

LIGHTEST_G, HEAVIEST_G = 20.0, 8_500.0
"""Bounds of a believable mass of a ball python in gram: below the lightest wild hatchling (25 g, Gorzula et al. 1997,
Survey of the status and management of the royal python in Ghana) and above what is told of large lines (over 7,000 g,
common practice, no source)."""

_COMMON_G = 300.0
"""A column whose middle value is above this cannot be ounces of one species of this size: 300 oz is 8.5 kg."""

_LABELS = {"dmy": "day, month, year", "mdy": "month, day, year"}


@dataclass(frozen=True, slots=True)
class Placed:
    """A cell with the row it stands in."""

    row: int
    cell: Cell


def cells_of(table: Table, index: int) -> list[Placed]:
    """Filled cells of one column, top to bottom."""
    return [Placed(row.number, row.cells[index]) for row in table.rows if row.cells[index].text]


def writing_evidence(
    table: Table, columns: Sequence[ColumnPlan], *, this_year: int, sheet: SheetKind = SheetKind.ANIMALS
) -> tuple[Evidence, ...]:
    """Everything that is asked about the writing of a sheet.

    Parameters
    ----------
    table : Table
        The sheet.
    columns : sequence of ColumnPlan
        What the columns are taken for.
    this_year : int
        Year in which the sheet is brought in; no animal hatched after it.
    sheet : SheetKind
        What the rows are.

    Returns
    -------
    tuple of Evidence
        Decided and open, in reading order.
    """
    dated = [p for c in columns if c.field in DATED for p in cells_of(table, c.index)]
    measured = {c.index: cells_of(table, c.index) for c in columns if c.field in MEASURES}
    if sheet is SheetKind.LOG:
        measured |= _told_weights(table, columns)
    found = [*_date_orders(dated), *_century(dated, this_year)]
    units = {column.index: _unit(column, measured[column.index]) for column in columns if column.index in measured}
    found += _decimal(measured, {index: unit for index, (unit, _) in units.items()})
    found += [evidence for _, evidence in units.values() if evidence]
    undated = [c for c in columns if c.field in MEASURES and c.date is None and c.dated_by < 0]
    if undated and sheet is SheetKind.ANIMALS:
        found.append(_weighed_on(table, undated))
    return tuple(item for item in found if item.rows)


def _told_weights(table: Table, columns: Sequence[ColumnPlan]) -> dict[int, list[Placed]]:
    """Weights that a log tells in words or in its column of numbers, as cells of their own."""
    events = [column for column in columns if column.field is Field.EVENT]
    found: dict[int, list[Placed]] = {column.index: [] for column in columns if column.field in WEIGHTS - MEASURES}
    for row in table.rows:
        for column in events:
            weights = [one for one in said(row.cells[column.index].text, decimal=".") if one.kind == WEIGHT]
            found[column.index] += [
                Placed(row.number, Cell(one.figures, one.figures)) for one in weights if one.figures
            ]
            if not any(one.value for one in weights) and weights:
                amounts = [c for c in columns if c.field is Field.AMOUNT and row.cells[c.index].text]
                for each in amounts:
                    found[each.index].append(Placed(row.number, row.cells[each.index]))
    return found


def _date_orders(dated: Sequence[Placed]) -> list[Evidence]:
    """For each separator: is the day first or the month?"""
    first_is_day: dict[str, list[int]] = defaultdict(list)
    second_is_day: dict[str, list[int]] = defaultdict(list)
    either: dict[str, list[int]] = defaultdict(list)
    for placed in dated:
        found = figures(placed.cell.text) if isinstance(placed.cell.value, str) else None
        if not found:
            continue
        mark, first, second = found
        if first > 12 >= second:
            first_is_day[mark].append(placed.row)
        elif second > 12 >= first:
            second_is_day[mark].append(placed.row)
        elif first <= 12 and second <= 12:
            either[mark].append(placed.row)
    return [
        _date_order(mark, first_is_day[mark], second_is_day[mark], either[mark])
        for mark in sorted({*first_is_day, *second_is_day, *either})
    ]


def _date_order(mark: str, day_first: list[int], month_first: list[int], either: list[int]) -> Evidence:
    """Order of one separator."""
    if day_first and not month_first:
        proposed, why = "dmy", f"{_rows(len(day_first))} decide{_s(day_first)} it, none speak against."
    elif month_first and not day_first:
        proposed, why = "mdy", f"{_rows(len(month_first))} decide{_s(month_first)} it, none speak against."
    elif not day_first:
        proposed, why = "", f"Nothing decides it: {_rows(len(either))} can be read both ways."
    else:
        proposed = ""
        why = f"{_rows(len(day_first))} can only be day first, {len(month_first)} only month first."
    shown = "a blank" if mark == " " else mark
    return Evidence(
        key=f"dates {mark.strip()}".strip(),
        question=f"Dates with {shown} are written",
        choices=tuple(_LABELS.items()),
        proposed=proposed,
        why=why,
        rows=tuple(sorted({*day_first, *month_first, *either})),
    )


def _century(dated: Sequence[Placed], this_year: int) -> list[Evidence]:
    """Which hundred years two-figure years stand for."""
    years: dict[int, int] = {}
    for placed in dated:
        year = two_figure_year(placed.cell.text) if isinstance(placed.cell.value, str) else None
        if year is not None:
            years[placed.row] = year
    if not years:
        return []
    pivot = this_year - 60
    late = sorted(year for year in set(years.values()) if pivot + (year - pivot) % 100 > this_year)
    why = f"{_rows(len(years))} have two figures; read as {pivot} to {pivot + 99}."
    if late:
        why = f"{_figures(late)} would lie ahead of {this_year}."
    return [
        Evidence(
            key="year_from",
            question="Two-figure years from",
            choices=(),
            proposed="" if late else str(pivot),
            why=why,
            rows=tuple(sorted(years)),
        )
    ]


def _unit(column: ColumnPlan, cells: Sequence[Placed]) -> tuple[str, Evidence | None]:
    """Unit of a column as far as it is known, and the evidence where its heading does not name it."""
    if column.unit:
        return column.unit, None
    evidence = _mass_unit(column, cells) if column.field in WEIGHTS else _length_unit(column, cells)
    return evidence.proposed, evidence


def _decimal(measured: dict[int, list[Placed]], units: Mapping[int, str]) -> list[Evidence]:
    """Is the comma a decimal comma or a thousands mark?"""
    commas: list[int] = []
    decimal_comma: list[int] = []
    thousands: list[int] = []
    for index, cells in measured.items():
        for placed in cells:
            text = placed.cell.text
            if not isinstance(placed.cell.value, str) or not re.search(r"\d[.,]\d", text):
                continue
            if re.search(r"\d,\d{1,2}(?!\d)|\d\.\d{3},", text):
                decimal_comma.append(placed.row)
            elif re.search(r"\d\.\d{1,2}(?!\d)|\d,\d{3}[.,]", text):
                thousands.append(placed.row)
            elif re.search(r"\d,\d{3}(?!\d)", text):
                commas.append(placed.row)
                if _only_as_thousands(text, units[index]):
                    thousands.append(placed.row)
    rows = tuple(sorted({*commas, *decimal_comma}))
    if not rows:
        return []
    if decimal_comma and not thousands:
        proposed, why = ",", f"{_rows(len(decimal_comma))} can only be read with a decimal comma, none speak against."
    elif thousands and not decimal_comma:
        proposed, why = ".", f"{_rows(len(set(thousands)))} can only be read with a decimal point, none speak against."
    elif thousands:
        proposed, why = "", f"{len(decimal_comma)} speak for the comma, {len(set(thousands))} for the point."
    else:
        proposed, why = "", f"Nothing decides it: {_rows(len(commas))} can be read both ways."
    choices = ((".", "point: 3,010 is three thousand and ten"), (",", "comma: 3,010 is three and a bit"))
    return [Evidence("decimal", "The decimal sign is the", choices, proposed, why, rows)]


def _only_as_thousands(text: str, unit: str) -> bool:
    """Whether the number with a decimal comma would be no snake: less than the lightest in gram."""
    try:
        as_point, as_comma = quantity(Cell(text), decimal="."), quantity(Cell(text), decimal=",")
    except Unclear:
        return False
    unit = as_point.unit or unit
    return unit in GRAMS and as_comma.value * GRAMS[unit] < LIGHTEST_G <= as_point.value * GRAMS[unit] <= HEAVIEST_G


def _mass_unit(column: ColumnPlan, cells: Sequence[Placed]) -> Evidence:
    """Gram, ounces or pounds, by the size of the numbers."""
    values: dict[int, float] = {}
    written = 0
    for placed in cells:
        try:
            found = quantity(placed.cell, decimal=".")
        except Unclear:
            continue
        if found.unit:
            written += 1
        else:
            values[placed.row] = found.value
    rows = tuple(values)
    fits = {unit: sum(1 for value in values.values() if _fits(value, unit)) for unit in ("g", "oz", "lb")}
    as_grams = sum(1 for value in values.values() if not _fits(value, "oz") and _fits(value, "g"))
    as_ounces = sum(1 for value in values.values() if not _fits(value, "g") and _fits(value, "oz"))
    fractions = sum(1 for value in values.values() if value != int(value))
    proposed, why = "", f"{fits['g']} of {len(values)} fit as grams, {fits['oz']} as ounces, {fits['lb']} as pounds."
    ordered = sorted(values.values())
    middle = ordered[len(ordered) // 2] if ordered else 0.0
    if as_grams > 4 * as_ounces and as_grams * 2 > len(values):
        proposed, why = "g", f"{as_grams} of {len(values)} can only be grams by size{_but(as_ounces, 'ounces')}."
    elif fractions * 2 > len(values) and middle <= _COMMON_G and fits["oz"] * 10 >= fits["g"] * 9 and fits["oz"]:
        others = len(values) - fits["oz"]
        why = f"{fits['oz']} of {len(values)} are ounces by size and by their fractions{_but(others, 'grams')}."
        proposed = "oz"
    if written:
        why += f" {written} carr{'ies its' if written == 1 else 'y their'} own unit."
    what = "Numbers" if column.field is Field.MASS else "Weights"
    choices = (("g", "grams"), ("oz", "ounces"), ("lb", "pounds"), ("kg", "kilograms"))
    return Evidence(f"unit {column.index}", f"{what} in {column.title} are", choices, proposed, why, rows)


def _fits(value: float, unit: str) -> bool:
    """Whether a number is a believable mass in a unit."""
    return LIGHTEST_G <= value * GRAMS[unit] <= HEAVIEST_G


def _but(count: int, unit: str) -> str:
    return f"; {count} look{'s' if count == 1 else ''} like {unit}" if count else ""


def _length_unit(column: ColumnPlan, cells: Sequence[Placed]) -> Evidence:
    """Unit of lengths, always asked: the same number can be inches or centimetres."""
    rows = []
    for placed in cells:
        try:
            if not quantity(placed.cell, decimal=".").unit:
                rows.append(placed.row)
        except Unclear:
            continue
    choices = (("cm", "centimetres"), ("mm", "millimetres"), ("in", "inches"))
    why = f"{_rows(len(rows))} have no unit, and size does not decide it."
    return Evidence(f"unit {column.index}", f"Numbers in {column.title} are", choices, "", why, tuple(rows))


def _weighed_on(table: Table, undated: Sequence[ColumnPlan]) -> Evidence:
    """Day of measurements that no column dates; a date in the title over the list is proposed."""
    rows = tuple(row.number for row in table.rows if any(row.cells[column.index].text for column in undated))
    titles = ", ".join(column.title for column in undated)
    for title in table.above:
        if title.reason == "a title" and (day := date_in(title.text)):
            why = f"The title says “{title.text}”."
            return Evidence("weighed_on", f"{titles}: taken on", (), str(day), why, rows)
    why = f"No column says when. {_rows(len(rows))} land without it until you say a day."
    return Evidence("weighed_on", f"{titles}: taken on", (), "", why, rows)


_IN_TEXT = re.compile(
    r"\d{4}-\d{2}-\d{2}|\d{1,2}[./]\d{1,2}[./]\d{4}|(?:\d{1,2}(?:st|nd|rd|th)? )?[A-Za-z]{3,9}\.? (?:\d{1,2}, )?\d{4}"
)


def date_in(text: str) -> PartialDate | None:
    """Day or month named inside a text, None if none or if it can be read in two ways.

    Examples
    --------
    >>> str(date_in("Weights, 3 March 2026"))
    '2026-03-03'
    """
    for match in _IN_TEXT.finditer(text):
        try:
            return date(Cell(match[0]))
        except Unclear:
            continue
    return None


def _rows(count: int) -> str:
    return f"{count} row" if count == 1 else f"{count} rows"


def _s(rows: Sequence[int]) -> str:
    return "s" if len(rows) == 1 else ""


def _figures(years: Iterable[int]) -> str:
    return ", ".join(f"{year:02d}" for year in years)


def is_number(cell: Cell) -> bool:
    """Whether a cell is a plain number, whatever its decimal sign."""
    if isinstance(cell.value, float):
        return True
    try:
        number(cell.text, decimal=".")
    except Unclear:
        return False
    return True
