"""Rows that are no animals as they end: entries that land, rows that wait, rows left out."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from holdback.intake.draft import Draft
from holdback.intake.inquiry import Inquiry
from holdback.intake.preview import Entry, Listed, Preview
from holdback.intake.sheet_kinds import SheetKind
from holdback.intake.tables import Table

EntryOf = Callable[[Draft], Entry | str]
"""The entry of a row, or why there is none."""


def entries_preview(
    table: Table, drafts: Sequence[Draft], inquiry: Inquiry, entry_of: EntryOf, *, sheet: SheetKind
) -> Preview:
    """All rows of a sheet that is no list of animals.

    Parameters
    ----------
    table : Table
        The sheet.
    drafts : sequence of Draft
        Its rows, with all that was asked.
    inquiry : Inquiry
        Answers and open questions.
    entry_of : callable
        Makes the entry of a row that nothing holds; a text says why the row is left out.
    sheet : SheetKind
        What the rows are.

    Returns
    -------
    Preview
        Each row as an entry, as waiting or as left out.
    """
    note_hollow(table, drafts)
    entries, waiting, left_out, held = [], [], [], []
    for draft in drafts:
        text = " · ".join(draft.typed.values())[:200]
        if draft.row in inquiry.left_out:
            left_out.append(Listed(draft.row, inquiry.left_out[draft.row], text))
        elif draft.row in inquiry.waits:
            waiting.append(Listed(draft.row, why_waiting(draft, inquiry), text, tuple(inquiry.waits[draft.row])))
        elif isinstance(entry := entry_of(draft), str):
            # A row of nothing but a number that waits for its unit waits with it.
            asked = tuple(dict.fromkeys(key for part in draft.held for key in part.questions))
            reason = draft.held[0].reason if asked else entry
            (waiting if asked else left_out).append(Listed(draft.row, reason, text, asked))
        else:
            entries.append(entry)
            held += draft.held
    left_out += [Listed(aside.row, aside.reason, aside.text) for aside in table.aside]
    return Preview(
        landings=(),
        questions=inquiry.questions(),
        waiting=tuple(waiting),
        left_out=tuple(sorted(left_out, key=lambda listed: listed.row)),
        held=tuple(held),
        n_rows=table.n_rows,
        notes=table.sheet.notes,
        entries=tuple(entries),
        sheet=sheet,
    )


def why_waiting(draft: Draft, inquiry: Inquiry) -> str:
    """What a row waits for, in words."""
    waits = inquiry.waits[draft.row]
    parents = [key.removeprefix("row:") for key in waits if key.startswith("row:")]
    if len(parents) == len(waits):
        return f"waits for its parent in row {' and '.join(parents)}"
    asked = {question.id: question.what for question in inquiry.questions()} if len(waits) < 4 else {}
    named = [asked[key] for key in waits if key in asked]
    return " ".join(named) or "waits for your answer"


def note_hollow(table: Table, drafts: Sequence[Draft]) -> None:
    """Say where a formula came without its value."""
    titles = {column.index: column.title for column in table.columns}
    by_row = {draft.row: draft for draft in drafts}
    for row, column in table.sheet.hollow:
        draft = by_row.get(row)
        if draft is not None and column in titles:
            reason = f"{titles[column]} is a formula without a stored value; save the file in a spreadsheet once"
            draft.held.append(Listed(row, reason))
