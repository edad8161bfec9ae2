"""Columns of a log, a pairing sheet or a clutch sheet: by the heading first, then by the cells."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from holdback.intake.dates import date, figures, two_figure_year
from holdback.intake.happenings import said
from holdback.intake.headings import MEASURES, SEVERAL, Field, heading_unit
from holdback.intake.mapping import ColumnPlan, units_of
from holdback.intake.numbers import Unclear
from holdback.intake.sheet_kinds import SheetKind, field_in, told_column
from holdback.intake.sheets import Cell
from holdback.intake.tables import Column, Table
from holdback.intake.writing import Placed, cells_of

_DAYS = frozenset({Field.DAY, Field.UNTIL, Field.TOGETHER, Field.APART, Field.LAID, Field.HATCHED})


def plans_of(table: Table, sheet: SheetKind) -> list[ColumnPlan]:
    """Plans for the columns of a sheet that is not a list of animals.

    Parameters
    ----------
    table : Table
        The sheet.
    sheet : SheetKind
        What its rows are.

    Returns
    -------
    list of ColumnPlan
        One a column; those that are not known are kept in the notes.
    """
    plans = [_plan(table, column, sheet) for column in table.columns]
    if sheet is SheetKind.LOG and not {Field.EVENT, Field.HEADED} & {plan.field for plan in plans}:
        told = told_column(table)
        plans = [
            replace(plan, field=Field.EVENT, reason="its cells say what happened", confidence=0.7)
            if plan.index == told
            else plan
            for plan in plans
        ]
    return [with_detail(plan) for plan in _one_each(plans)]


def with_detail(plan: ColumnPlan) -> ColumnPlan:
    """The plan with the unit that its heading names."""
    named = heading_unit(plan.title)
    unit = plan.unit or (named if named in units_of(plan.field) else "")
    return replace(plan, unit=unit, detail="")


def _plan(table: Table, column: Column, sheet: SheetKind) -> ColumnPlan:
    """Plan of one column seen alone."""
    cells = cells_of(table, column.index)[:400]
    base = ColumnPlan(column.index, column.title, Field.NOTES, example=cells[0].cell.text if cells else "")
    if not cells:
        return replace(base, field=Field.LEAVE_OUT, reason="empty", confidence=1.0)
    found, sure = field_in(sheet, column.heading)
    if found is Field.HATCHED and _share(cells, _is_count) > 0.5:
        found = Field.NUMBER_HATCHED
    if found is None:
        return replace(base, reason="not known; kept with its heading in the notes", confidence=0.2)
    if found in _DAYS and _share(cells, _is_day) < 0.4:
        return replace(base, reason=f"headed as {found.value}, but the cells do not fit", confidence=0.3)
    if found is Field.HEADED:
        return replace(base, field=found, reason=_headed_reason(column.heading), confidence=sure)
    if found is Field.EGGS:
        reason = "all that were laid, slugs among them; choose good eggs if they are not"
        return replace(base, field=found, reason=reason, confidence=sure)
    return replace(base, field=found, reason=_reason(found, cells), confidence=sure)


def _headed_reason(heading: str) -> str:
    """What an entry under a heading says."""
    words = said(heading)
    return f"an entry under it is a {words[0].kind}" if words else "an entry under it is a meal"


def _reason(field: Field, cells: Sequence[Placed]) -> str:
    """Why a headed column is taken for its field."""
    if field in _DAYS:
        return f"{sum(_is_day(placed.cell) for placed in cells)} of {len(cells)} are a day"
    if field is Field.EVENT:
        count = sum(bool(said(placed.cell.text)) for placed in cells)
        return f"{count} of {len(cells)} can be read"
    if field in (Field.ID, Field.NAME, Field.DAM, Field.SIRE):
        return "matched by id or name"
    if field in MEASURES:
        return "weights and sizes of the day"
    return "by its heading"


def _one_each(plans: Sequence[ColumnPlan]) -> list[ColumnPlan]:
    """Plans in which a field that takes one column has its surest, the leftmost of equals."""
    best: dict[Field, ColumnPlan] = {}
    for plan in plans:
        if plan.field not in best or plan.confidence > best[plan.field].confidence:
            best[plan.field] = plan
    return [
        plan
        if plan.field in SEVERAL or best[plan.field] is plan
        else replace(
            plan,
            field=Field.NOTES,
            reason=f"{best[plan.field].title} is the {plan.field.value} already; kept in the notes",
            confidence=0.4,
        )
        for plan in plans
    ]


def _share(cells: Sequence[Placed], test: Callable[[Cell], bool]) -> float:
    return sum(test(placed.cell) for placed in cells) / len(cells)


def _is_count(cell: Cell) -> bool:
    return re.fullmatch(r"\d{1,2}(?:\.0)?|\d{1,2} ?(?:of|/) ?\d{1,2}", cell.text) is not None


def _is_day(cell: Cell) -> bool:
    try:
        date(cell)
    except Unclear:
        return bool(figures(cell.text)) or two_figure_year(cell.text) is not None
    return True
