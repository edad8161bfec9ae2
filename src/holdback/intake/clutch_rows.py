"""One row of a clutch sheet cell by cell: days, counts of eggs, where they lie and how warm."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from holdback.collection.model import PartialDate
from holdback.intake.draft import Draft, id_fault, keep_in_notes, note_typed, or_ask
from holdback.intake.drafts import date_of, keep_note, take_parent, take_parents
from holdback.intake.headings import Field
from holdback.intake.inquiry import Asking, Inquiry, unread, written
from holdback.intake.logrows import NO
from holdback.intake.mapping import ColumnPlan, Mapping
from holdback.intake.numbers import Unclear, number
from holdback.intake.preview import Choice
from holdback.intake.sheets import Cell, SheetRow

COLDEST_C, WARMEST_C = 20.0, 40.0
"""A set temperature outside is asked about; eggs are kept at about 30 to 32 °C (common practice, no source)."""


@dataclass(slots=True)
class ClutchDraft(Draft):
    """What one row of a clutch sheet says."""

    laid: PartialDate | None = None
    eggs: int | None = None
    good: int | None = None
    slugs: int | None = None
    n_hatched: int | None = None
    celsius: float | None = None


def clutch_draft(row: SheetRow, mapping: Mapping, inquiry: Inquiry) -> ClutchDraft:
    """Draft of one row; what cannot be read is asked."""
    # Parents are looked up of whoever has an id; the clutch stands in a field of its own.
    draft = ClutchDraft(row.number, id=f"row {row.number}")
    for plan in mapping.columns:
        cell = row.cells[plan.index]
        if cell.text and plan.field is not Field.LEAVE_OUT:
            note_typed(draft, plan, cell)
            _READERS[plan.field](draft, plan, cell, mapping, inquiry)
    if not draft.clutch and not inquiry.halted(draft.row):
        _ask_id(draft, "The row has no clutch id.", inquiry)
    return draft


def _ask_id(draft: ClutchDraft, what: str, inquiry: Inquiry) -> None:
    asking = Asking(f"clutch id:{draft.row}", lambda rows: what, "Every clutch needs one.", (), "Its id is")
    told = written(inquiry.answer(asking, draft.row))
    draft.clutch = told.text if told and not id_fault(told.text) else ""
    if told and not draft.clutch:
        inquiry.waits.setdefault(draft.row, []).append(asking.id)


def _take_clutch(draft: ClutchDraft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    fault = id_fault(cell.text)
    if fault:
        _ask_id(draft, f"The id “{cell.text[:40]}” {fault}.", inquiry)
    elif not isinstance(cell.value, (str, float)):
        _ask_id(draft, f"The spreadsheet made a date of the id: {cell.text}.", inquiry)
    else:
        draft.clutch = cell.text


def _take_day(draft: ClutchDraft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    if cell.text.strip().casefold() in NO:
        return
    found = date_of(draft, plan, cell, mapping, inquiry)
    if plan.field is Field.LAID:
        draft.laid = found
    else:
        draft.hatched = found


_PARTED = re.compile(r"(\d+)\s*(?:good|fertile|eggs?)?\s*(?:\+|,|and|&)\s*(\d+)\s*(?:slugs?|duds?|bad)?", re.IGNORECASE)


def _take_count(draft: ClutchDraft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """A count; ``6 + 1`` eggs are six good ones and a slug."""
    name = {Field.EGGS: "eggs", Field.GOOD: "good", Field.SLUGS: "slugs"}.get(plan.field, "n_hatched")
    if cell.text.strip() in ("-", "–", "?"):
        return
    parted = _PARTED.fullmatch(cell.text.strip())
    if parted and plan.field in (Field.EGGS, Field.GOOD):
        draft.good, draft.slugs = int(parted[1]), int(parted[2])
        draft.remarks.append(f"“{cell.text}” is taken as {parted[1]} good and {parted[2]} slugs.")
        return
    try:
        setattr(draft, name, _count(cell))
        return
    except Unclear as error:
        fault = error
    asking = Asking(
        f"{plan.field.value} {plan.index}:{draft.row}",
        lambda rows: f"{plan.title} {unread(cell.text, fault)}",
        "The row lands without it if you keep it as text.",
        [Choice("notes", "Keep the text in the note")],
        "It is",
    )
    found = or_ask(_count, cell, draft, asking, inquiry)
    if isinstance(found, int):
        setattr(draft, name, found)
    elif found == "notes":
        keep_in_notes(draft, plan.title, cell.text)


_COUNTED = re.compile(r"(\d{1,3})(?:\.0)?(?:\s*(?:of|/)\s*\d{1,3})?(?:\s*(?:eggs?|slugs?|babies|good))?")


def _count(cell: Cell) -> int:
    """A number of eggs; ``5 of 7`` is five."""
    match = _COUNTED.fullmatch(cell.text.strip())
    if match is None:
        raise Unclear("not a count")
    return int(match[1])


def _take_warmth(draft: ClutchDraft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """A set temperature in Celsius or Fahrenheit."""

    def read(each: Cell) -> float:
        return _celsius(each.text, plan.title)

    found: float | str | None
    try:
        found = read(cell)
    except Unclear as error:
        fault = error
        asking = Asking(
            f"{plan.field.value} {plan.index}:{draft.row}",
            lambda rows: f"{plan.title} {unread(cell.text, fault)}",
            "Eggs are kept at about 30 to 32 °C (86 to 90 °F; common practice, no source).",
            [Choice("notes", "Keep the text in the note")],
            "It is",
        )
        found = or_ask(read, cell, draft, asking, inquiry)
    if isinstance(found, float):
        draft.celsius = found
    elif found == "notes":
        keep_in_notes(draft, plan.title, cell.text)


def _celsius(text: str, title: str) -> float:
    """Degrees Celsius; a number without a sign is Fahrenheit where it can be nothing else."""
    match = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*°?\s*([CF])?", text.strip(), re.IGNORECASE)
    if match is None:
        raise Unclear("not one temperature")
    value = number(match[1].replace(",", "."), decimal=".")
    named = re.search(r"(?:\b|°)([CF])\b", title)
    sign = (match[2] or (named[1] if named else "") or ("F" if value > WARMEST_C else "C")).upper()
    celsius = round((value - 32) / 1.8, 2) if sign == "F" else value
    if not COLDEST_C <= celsius <= WARMEST_C:
        raise Unclear(f"{celsius:g} °C is no warmth for eggs")
    return celsius


def _take_text(draft: ClutchDraft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    if plan.field is Field.PLACE:
        draft.place = cell.text
    else:
        draft.within = cell.text


_READERS: dict[Field, Callable[[ClutchDraft, ColumnPlan, Cell, Mapping, Inquiry], None]] = {
    Field.CLUTCH: _take_clutch,
    Field.DAM: take_parent,
    Field.SIRE: take_parent,
    Field.PARENTS: take_parents,
    Field.LAID: _take_day,
    Field.HATCHED: _take_day,
    Field.EGGS: _take_count,
    Field.GOOD: _take_count,
    Field.SLUGS: _take_count,
    Field.NUMBER_HATCHED: _take_count,
    Field.TEMPERATURE: _take_warmth,
    Field.PLACE: _take_text,
    Field.WITHIN: _take_text,
    Field.NOTES: keep_note,
}
