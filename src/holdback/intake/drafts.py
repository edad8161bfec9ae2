"""One row cell by cell: what each column gives, before rows are compared with each other."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable

from holdback.collection.model import Origin, PartialDate, Sex
from holdback.intake import cellwords
from holdback.intake.cellwords import ParentWords
from holdback.intake.dates import date, figures, two_figure_year
from holdback.intake.draft import Draft, id_fault, keep_in_notes, open_writing, or_ask
from holdback.intake.headings import MEASURES, Field, field_of
from holdback.intake.inquiry import Asking, Inquiry, unread, written
from holdback.intake.mapping import ColumnPlan, Mapping
from holdback.intake.measures import join_lines, take_measure, take_share
from holdback.intake.numbers import Unclear
from holdback.intake.preview import Choice
from holdback.intake.sheets import Cell, SheetRow


def draft_of(row: SheetRow, mapping: Mapping, inquiry: Inquiry) -> Draft:
    """Draft of one row; what cannot be read is asked."""
    draft = Draft(row.number)
    for plan in mapping.columns:
        cell = row.cells[plan.index]
        if not cell.text or plan.field is Field.LEAVE_OUT:
            continue
        draft.typed[plan.field.value] = cell.text
        _COLUMN_READERS[plan.field](draft, plan, cell, mapping, inquiry)
    days = {
        plan.index: _day(draft, plan, row.cells[plan.index], mapping, inquiry)
        for plan in mapping.of(Field.MEASURED)
        if row.cells[plan.index].text
    }
    for reading in draft.readings:
        reading.date = reading.plan.date or days.get(reading.plan.dated_by) or mapping.writing.weighed_on
    join_lines(draft, mapping, row)
    return draft


def take_id(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Id as text; one that the spreadsheet turned into a day is asked."""
    if isinstance(cell.value, dt.date):
        asking = Asking(
            f"id:{draft.row}",
            lambda rows: f"The spreadsheet made a date of the id: {cell.text}.",
            "Say what it was.",
            [Choice(f"write:{text}", f"It was {text}") for text in _before_date(cell.value)],
            "It was",
        )
        told = written(inquiry.answer(asking, draft.row))
        draft.id = told.text if told else ""
        return
    draft.exact_id = cell.exact
    fault = id_fault(cell.text)
    if not fault:
        draft.id = cell.text
        return
    asking = Asking(f"id:{draft.row}", lambda rows: f"The id “{cell.text[:40]}” {fault}.", "", (), "Its id is")
    told = written(inquiry.answer(asking, draft.row))
    draft.id = told.text if told and not id_fault(told.text) else ""
    if told and not draft.id:
        inquiry.waits.setdefault(draft.row, []).append(asking.id)


def _before_date(value: dt.date) -> tuple[str, ...]:
    """Ids that a spreadsheet turns into this day."""
    if value.day == 1:
        return (f"{value.year % 100:02d}-{value.month:02d}", f"{value.month}-{value.year % 100:02d}")
    return (f"{value.month}-{value.day}", f"{value.day}-{value.month}")


def _take_sex(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    try:
        draft.sex = cellwords.sex(cell.text)
        return
    except Unclear:
        doubted = cellwords.doubted_sex(cell.text)
    if doubted is not Sex.UNKNOWN:
        asking = Asking(
            f"sex:{cell.text.casefold()}",
            lambda rows: f"Sex written “{cell.text}”: {doubted.value}, but not sure.",
            "An unsure sex is kept as unknown, with your text in the notes, unless you say otherwise.",
            [
                Choice("unknown", "Unknown, keep the text in the notes"),
                Choice(doubted.value, f"Take as {doubted.value}"),
            ],
        )
    else:
        asking = Asking(
            f"sex:{cell.text.casefold()}",
            lambda rows: f"“{cell.text[:40]}” is no sex that can be read.",
            "",
            [
                Choice("male", "Male"),
                Choice("female", "Female"),
                Choice("unknown", "Unknown, keep the text in the notes"),
            ],
        )
    answer = inquiry.answer(asking, draft.row)
    if answer:
        draft.sex = Sex(answer)
        if draft.sex is Sex.UNKNOWN:
            keep_in_notes(draft, plan.title, cell.text)


def date_of(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> PartialDate | None:
    """Date of a cell; what is not told yet about the writing is asked once for all rows."""
    writing = mapping.writing

    def read(each: Cell) -> PartialDate:
        return date(each, orders=writing.orders, year_from=writing.year_from)

    try:
        return read(cell)
    except Unclear as error:
        fault = error
    parts = figures(cell.text)
    if two_figure_year(cell.text) is not None and not writing.year_from:
        inquiry.answer(open_writing("year_from", mapping), draft.row)
        return None
    if parts and not writing.orders.get(parts[0]) and parts[1] <= 12 and parts[2] <= 12:
        inquiry.answer(open_writing(f"dates {parts[0]}".strip(), mapping), draft.row)
        return None
    key = "hatched" if plan.field is Field.HATCHED else f"day {plan.index}"
    choices = [Choice("unknown", "Unknown, keep the text in the notes")]
    if plan.field is Field.DAY:
        choices = []  # a row of a log without a day tells nothing
    elif year := _one_year(cell.text):
        choices.insert(0, Choice(f"write:{year}", f"Only the year, {year}"))
    asking = Asking(
        f"{key}:{draft.row}",
        lambda rows: f"{plan.title} {unread(cell.text, fault)}",
        "It stays as text until you say the date.",
        choices,
        "The date is",
    )
    found = or_ask(read, cell, draft, asking, inquiry)
    if isinstance(found, PartialDate):
        return found
    if found == "unknown":
        keep_in_notes(draft, plan.title, cell.text)
    return None


def _one_year(text: str) -> str:
    """The only year that a text names, empty if none or more than one."""
    years = set(re.findall(r"\b(?:19|20)\d{2}\b", text))
    return years.pop() if len(years) == 1 else ""


def _take_hatched(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    draft.hatched = date_of(draft, plan, cell, mapping, inquiry)


def _day(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> PartialDate | None:
    return date_of(draft, plan, cell, mapping, inquiry)


def _take_origin(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    try:
        draft.origin = cellwords.origin(cell.text)
        return
    except Unclear:
        pass
    asking = Asking(
        f"origin:{cell.text.casefold()}",
        lambda rows: f"“{cell.text[:40]}” is no origin that can be read.",
        "CB, CH, FB and WC are read, and the same in words.",
        [Choice("unknown", "Unknown, keep the text in the notes")]
        + [Choice(origin.value, origin.value.capitalize()) for origin in Origin if origin is not Origin.UNKNOWN],
    )
    answer = inquiry.answer(asking, draft.row)
    if answer:
        draft.origin = Origin(answer)
        if draft.origin is Origin.UNKNOWN:
            keep_in_notes(draft, plan.title, cell.text)


def take_parent(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Candidates of a parent column."""
    which = "sire" if plan.field is Field.SIRE else "dam"
    setattr(draft, which, _candidates(draft, plan, cell, which, inquiry))


def _candidates(draft: Draft, plan: ColumnPlan, cell: Cell, which: str, inquiry: Inquiry) -> ParentWords | None:
    """Candidates of a cell, None while it cannot be read."""
    if cell.exact:
        return ParentWords((cell.text,), exact=True)
    try:
        return cellwords.parent_words(cell.text)
    except Unclear as error:
        fault = error
    asking = Asking(
        f"{which}:{draft.row}",
        lambda rows: f"{plan.title} {unread(cell.text, fault)}",
        "",
        [Choice("unknown", f"{which.capitalize()} unknown, keep the text in the notes")],
        f"The {which} is",
    )
    found = or_ask(lambda each: cellwords.parent_words(each.text), cell, draft, asking, inquiry)
    if found == "unknown":
        keep_in_notes(draft, plan.title, cell.text)
    return found if isinstance(found, ParentWords) else None


def take_parents(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Sire and dam out of one cell."""
    if cell.text.strip().lower() in ("?", "-", "unknown", "n/a"):
        return
    pair = cellwords.parents_of_pair(cell.text)
    if pair is None:
        asking = Asking(
            f"parents:{draft.row}",
            lambda rows: f"{plan.title} “{cell.text[:60]}” names no pair.",
            "A pair is written as sire x dam.",
            [Choice("unknown", "Parents unknown, keep the text in the notes")],
            "The parents are",
        )
        answer = inquiry.answer(asking, draft.row)
        told = written(answer)
        pair = cellwords.parents_of_pair(told.text) if told else None
        if answer == "unknown":
            keep_in_notes(draft, plan.title, cell.text)
        if told and pair is None:
            inquiry.waits.setdefault(draft.row, []).append(asking.id)
        if pair is None:
            return
    draft.sire = _candidates(draft, plan, Cell(pair[0], pair[0]), "sire", inquiry)
    draft.dam = _candidates(draft, plan, Cell(pair[1], pair[1]), "dam", inquiry)


def _take_text(name: str) -> Callable[[Draft, ColumnPlan, Cell, Mapping, Inquiry], None]:
    """Reader of a column that is kept as text."""

    def take(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
        setattr(draft, name, cell.text)

    return take


def _take_status(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    if len(cell.text) <= 60:
        draft.status = cell.text
        return
    draft.remarks.append(f"{plan.title} is longer than a status; kept in the notes.")
    keep_in_notes(draft, plan.title, cell.text)


def _take_name(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    if len(cell.text) <= 120:
        draft.name = cell.text
        return
    draft.remarks.append(f"{plan.title} is longer than a name; kept in the notes.")
    keep_in_notes(draft, plan.title, cell.text)


def keep_note(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Text of a column of notes; one of another heading carries its heading."""
    if field_of(plan.title.rpartition(": ")[2])[0] is Field.NOTES:
        draft.notes.append(cell.text)
    else:
        keep_in_notes(draft, plan.title, cell.text)


def _take_nothing(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """Read elsewhere: dates with what they date, lines with their shares."""


_Taker = Callable[[Draft, ColumnPlan, Cell, Mapping, Inquiry], None]

_COLUMN_READERS: dict[Field, _Taker] = {
    Field.ID: take_id,
    Field.NAME: _take_name,
    Field.SEX: _take_sex,
    Field.HATCHED: _take_hatched,
    Field.ORIGIN: _take_origin,
    Field.SIRE: take_parent,
    Field.DAM: take_parent,
    Field.PARENTS: take_parents,
    Field.CLUTCH: _take_text("clutch"),
    Field.GENES: _take_text("genes"),
    Field.STATUS: _take_status,
    Field.NOTES: keep_note,
    Field.MEASURED: _take_nothing,
    Field.LINE: _take_nothing,
    Field.SHARE: take_share,
    Field.PLACE: _take_text("place"),
    Field.WITHIN: _take_text("within"),
    **dict.fromkeys(MEASURES, take_measure),
}
