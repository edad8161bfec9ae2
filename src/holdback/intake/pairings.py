"""A pairing sheet as matings and locks: one female and one male a row, by id or name."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from holdback.collection.event_kinds import LOCK
from holdback.collection.model import Event, Mating, PartialDate, Records
from holdback.intake.dates import date
from holdback.intake.draft import Draft, note_typed
from holdback.intake.drafts import date_of, keep_note, take_parent, take_parents
from holdback.intake.entries import entries_preview
from holdback.intake.happenings import NOTE
from holdback.intake.headings import Field
from holdback.intake.inquiry import Asking, Inquiry
from holdback.intake.known import Known
from holdback.intake.logrows import NO, YES
from holdback.intake.mapping import ColumnPlan
from holdback.intake.mapping import Mapping as ColumnMapping
from holdback.intake.numbers import Unclear
from holdback.intake.parents import Household, household, resolve_parents
from holdback.intake.preview import Choice, Entry, Kind, Listed, Preview
from holdback.intake.sheet_kinds import SheetKind
from holdback.intake.sheets import Cell, SheetRow
from holdback.intake.tables import Table


@dataclass(slots=True)
class PairDraft(Draft):
    """What one row of a pairing sheet says."""

    locks: int | None = None
    lock_days: list[PartialDate] = field(default_factory=list)

    @property
    def male(self) -> str:
        """Id of the male, empty where none is named."""
        return self.sire_candidates[0][0] if self.sire_candidates else ""

    @property
    def key(self) -> tuple[str, str, str]:
        """What tells one pairing from another: the two animals and the first day."""
        return (self.dam_id, self.male, str(self.day or ""))


def read_pairings(table: Table, mapping: ColumnMapping, known: Known, inquiry: Inquiry) -> Preview:
    """What will come of a pairing sheet.

    Parameters
    ----------
    table : Table
        The sheet.
    mapping : Mapping
        Confirmed columns and writing.
    known : Known
        What is on record.
    inquiry : Inquiry
        Answers given; takes the questions.

    Returns
    -------
    Preview
        Each row as an entry, as waiting or as left out.
    """
    drafts = [_draft(row, mapping, inquiry) for row in table.rows]
    home = household((), known)
    resolve_parents(drafts, home, inquiry)
    for draft in drafts:
        _one_male(draft, home, inquiry)
        _days_in_order(draft, inquiry)
    _twice(drafts, inquiry)
    return entries_preview(
        table,
        drafts,
        inquiry,
        lambda draft: _entry(draft, home) if isinstance(draft, PairDraft) else "",
        sheet=SheetKind.PAIRINGS,
    )


def _draft(row: SheetRow, mapping: ColumnMapping, inquiry: Inquiry) -> PairDraft:
    """Draft of one row."""
    # Parents are looked up of whoever has an id; a pairing has none of its own.
    draft = PairDraft(row.number, id=f"row {row.number}")
    for plan in mapping.columns:
        cell = row.cells[plan.index]
        if cell.text and plan.field is not Field.LEAVE_OUT:
            note_typed(draft, plan, cell)
            _READERS[plan.field](draft, plan, cell, mapping, inquiry)
    return draft


def _take_day(draft: PairDraft, plan: ColumnPlan, cell: Cell, mapping: ColumnMapping, inquiry: Inquiry) -> None:
    found = date_of(draft, plan, cell, mapping, inquiry)
    if plan.field is Field.TOGETHER:
        draft.day = found
    else:
        draft.until = found


def _take_locks(draft: PairDraft, plan: ColumnPlan, cell: Cell, mapping: ColumnMapping, inquiry: Inquiry) -> None:
    """A number of locks, yes or no, or the days on which locks were seen."""
    text = cell.text.strip().casefold().removesuffix(".0")
    if re.fullmatch(r"\d{1,2}", text):
        draft.locks = (draft.locks or 0) + int(text)
        return
    if text in YES or text in NO:
        draft.locks = max(draft.locks or 0, int(text in YES))
        return
    parts = [Cell(part.strip(), part.strip()) for part in re.split(r"[,;&+]|\band\b", cell.text) if part.strip()]
    if len(parts) > 1 and all(_is_date(part, mapping) for part in parts):
        draft.lock_days += [_read_date(part, mapping) for part in parts]
    elif (day := date_of(draft, plan, cell, mapping, inquiry)) is not None:
        draft.lock_days.append(day)


def _read_date(cell: Cell, mapping: ColumnMapping) -> PartialDate:
    return date(cell, orders=mapping.writing.orders, year_from=mapping.writing.year_from)


def _is_date(cell: Cell, mapping: ColumnMapping) -> bool:
    try:
        _read_date(cell, mapping)
    except Unclear:
        return False
    return True


_READERS: dict[Field, Callable[[PairDraft, ColumnPlan, Cell, ColumnMapping, Inquiry], None]] = {
    Field.DAM: take_parent,
    Field.SIRE: take_parent,
    Field.PARENTS: take_parents,
    Field.TOGETHER: _take_day,
    Field.APART: _take_day,
    Field.LOCKS: _take_locks,
    Field.NOTES: keep_note,
}


def _one_male(draft: PairDraft, home: Household, inquiry: Inquiry) -> None:
    """Ask which of two males it was."""
    males = [each for each, _ in draft.sire_candidates]
    if len(males) < 2:
        return
    asking = Asking(
        f"males:{draft.row}",
        lambda rows: f"{len(males)} males are named: {' and '.join(home.label(each) for each in males)}.",
        "A pairing is of one male; write the other in a row of its own.",
        [Choice(f"is:{each}", f"It is {home.label(each)}") for each in males],
    )
    answer = inquiry.answer(asking, draft.row)
    draft.sire_candidates = ((answer.removeprefix("is:"), 1.0),) if answer else ()


def _days_in_order(draft: PairDraft, inquiry: Inquiry) -> None:
    """Ask where the last day comes before the first."""
    if draft.day is None or draft.until is None or draft.until.latest >= draft.day.earliest:
        return
    asking = Asking(
        f"order:{draft.row}",
        lambda rows: f"Taken apart {draft.until}, before they were put together {draft.day}.",
        "One of the days is wrong, or they stand in each other's column.",
        [Choice("exchange", "Exchange the two days"), Choice("unknown", "Last day unknown, keep it as a note")],
    )
    answer = inquiry.answer(asking, draft.row)
    if answer == "exchange":
        draft.day, draft.until = draft.until, draft.day
    elif answer == "unknown":
        draft.notes.append(f"taken apart: {draft.until}")
        draft.until = None


def _twice(drafts: Sequence[PairDraft], inquiry: Inquiry) -> None:
    """Leave out rows that say the same; ask about those that say something else of one pairing."""
    first: dict[tuple[str, str, str], PairDraft] = {}
    for draft in drafts:
        if inquiry.halted(draft.row) or not draft.dam_id or not draft.male:
            continue
        before = first.setdefault(draft.key, draft)
        if before is draft:
            continue
        if before.typed == draft.typed:
            inquiry.left_out[draft.row] = f"says the same as row {before.row}"
            continue
        row = before.row
        asking = Asking(
            f"pair twice:{draft.row}",
            lambda rows, row=row: f"The two were put together on this day in row {row} already.",  # type: ignore[misc]  # bound early
            "",
            [Choice("same", "The same pairing: what this row says holds")],
        )
        inquiry.answer(asking, draft.row)


def _entry(draft: PairDraft, home: Household) -> Entry | str:
    """Entry of a row, or why it is left out."""
    if not draft.dam_id or not draft.male:
        return f"names no {'male' if draft.dam_id else 'female'}"
    mating = Mating(draft.dam_id, draft.male, draft.day, draft.until, max(draft.locks or 0, len(draft.lock_days)))
    known = home.known
    events = [Event(mating.dam, day, LOCK, note=mating.sire) for day in draft.lock_days]
    if draft.notes and draft.day is not None:
        note = f"with {mating.sire}: {'; '.join(draft.notes)}"
        events.append(Event(mating.dam, draft.day, NOTE, note=note))
    elif draft.notes:
        draft.held.append(Listed(draft.row, "a note without a day; write it on the female", "; ".join(draft.notes)))
    new = tuple(event for event in events if event not in known.events)
    before = [one for one in known.matings.get((mating.dam, mating.sire), ()) if one.together == mating.together]
    changes = bool(before) and _kind(mating, before, False) is Kind.CHANGED
    return Entry(
        row=draft.row,
        about=f"{home.label(mating.dam)} and {home.label(mating.sire)}",
        said=(_words(mating), *(f"{event.kind}: {event.note}, {event.date}" for event in events)),
        records=Records(
            animals=tuple(home.added[each] for each in (mating.dam, mating.sire) if each in home.added),
            matings=(mating,),
            events=new,
        ),
        kind=_kind(mating, before, bool(new)),
        typed=draft.typed,
        remarks=(*dict.fromkeys(draft.remarks), *([f"On record: {_words(before[0])}."] if changes else [])),
    )


def _kind(mating: Mating, before: Sequence[Mating], new_events: bool) -> Kind:
    """What landing a pairing does."""
    if not before:
        return Kind.CREATED
    same = mating.apart in (None, before[0].apart) and mating.locks in (0, before[0].locks)
    return Kind.UNCHANGED if same and not new_events else Kind.CHANGED


def _words(mating: Mating) -> str:
    """One pairing in words."""
    apart = f" to {mating.apart}" if mating.apart else ""
    days = f"together {mating.together}{apart}" if mating.together else f"together{apart}, first day not known"
    return f"{days}, {mating.locks} lock{'' if mating.locks == 1 else 's'}" if mating.locks else days
