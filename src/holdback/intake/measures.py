"""Numbers of a row: measurements with their units, shares of a line."""

from __future__ import annotations

import re

from holdback.collection.model import LineClaim
from holdback.intake.draft import Draft, Reading, keep_in_notes, open_writing, or_ask
from holdback.intake.headings import Field
from holdback.intake.inquiry import Asking, Inquiry, unread
from holdback.intake.mapping import ColumnPlan, Mapping
from holdback.intake.numbers import Quantity, Unclear, quantity
from holdback.intake.preview import Choice, Listed
from holdback.intake.sheets import Cell, SheetRow


def take_measure(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Number and unit; the unit of the column where the cell has none."""
    if cell.text.strip().lower() in ("-", "–", "--", "?", "n/a", "na", "none", "x"):
        return
    decimal = mapping.writing.decimal

    def read(each: Cell) -> Quantity:
        found = quantity(each, decimal=decimal)
        if found.value <= 0:
            raise Unclear("it is not more than 0")
        return found

    try:
        found: Quantity | str | None = read(cell)
    except Unclear as error:
        if not decimal and "decimal comma" in str(error):
            _hold_measure(draft, plan, cell, "decimal", mapping=mapping, inquiry=inquiry)
            return
        what = unread(cell.text, error)
        asking = Asking(
            f"{plan.field.value} {plan.index}:{draft.row}",
            lambda rows: f"{plan.title} {what}",
            "The row lands without it if you keep it as text.",
            [Choice("notes", "Keep the text in the notes")],
            "It is",
        )
        found = or_ask(read, cell, draft, asking, inquiry)
    if found == "notes":
        keep_in_notes(draft, plan.title, cell.text)
    if not isinstance(found, Quantity):
        return
    unit = found.unit or plan.unit
    if not unit:
        _hold_measure(draft, plan, cell, f"unit {plan.index}", mapping=mapping, inquiry=inquiry)
        return
    if found.about:
        draft.remarks.append(f"{plan.title} “{cell.text}” is taken as {found.value:g} {unit}.")
        keep_in_notes(draft, plan.title, cell.text)
    draft.readings.append(Reading(plan, cell.text, found.value, unit, bool(found.unit), None))


def _hold_measure(draft: Draft, plan: ColumnPlan, cell: Cell, key: str, *, mapping: Mapping, inquiry: Inquiry) -> None:
    """Let the row land without a number whose unit or decimal sign is open, and list the number."""
    asking = open_writing(key, mapping, holds_rows=False)
    inquiry.answer(asking, draft.row)
    reason = f"{plan.title} waits until you say {'the decimal sign' if key == 'decimal' else 'the unit'}"
    draft.held.append(Listed(draft.row, reason, cell.text, (asking.id,)))


def take_share(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Share of a line as percent, fraction or range; the line's name comes from its own column or the heading."""
    bounds = _share(cell, mapping.writing.decimal)
    if bounds is None:
        draft.held.append(Listed(draft.row, f"{plan.title}: no share of 0 to 100 %; kept in the notes", cell.text))
        keep_in_notes(draft, plan.title, cell.text)
        return
    draft.lines.append(LineClaim("", plan.detail, bounds[0], bounds[1], f"column {plan.title}: {cell.text}"))


_RANGE = re.compile(r"([\d.,/]+)\s*%?\s*(?:-|–|to)\s*([\d.,/]+)\s*%?")


def _share(cell: Cell, decimal: str) -> tuple[float, float] | None:
    """Bounds of a share in [0, 1], None if the cell names none."""
    match = _RANGE.fullmatch(cell.text.strip())
    parts = [match[1], match[2]] if match else [cell.text.strip().rstrip("%").strip()]
    percent = "%" in cell.text
    values = []
    for part in parts:
        top, slash, bottom = part.partition("/")
        try:
            value = quantity(Cell(top), decimal=decimal or ".").value
            value = value / quantity(Cell(bottom)).value if slash else value
        except (Unclear, ZeroDivisionError):
            return None
        values.append(value / 100 if percent or (value > 1 and not slash) else value)
    low, high = min(values), max(values)
    return (low, high) if 0 <= low <= high <= 1 else None


def join_lines(draft: Draft, mapping: Mapping, row: SheetRow) -> None:
    """Give shares without a name the line of its own column; a line without a share is a remark in the notes."""
    named = [row.cells[plan.index].text for plan in mapping.of(Field.LINE) if row.cells[plan.index].text]
    line = named[0] if named else ""
    kept = []
    for claim in draft.lines:
        name = line or claim.line
        if name:
            kept.append(LineClaim("", name, claim.share_low, claim.share_high, claim.ground))
        else:
            draft.held.append(Listed(draft.row, "a share of which line is not said; kept in the notes", claim.ground))
            draft.notes.append(claim.ground)
    if line and not draft.lines:
        kept.append(LineClaim("", line, 0.0, 1.0, "named in the sheet, share not said"))
    draft.lines = kept
