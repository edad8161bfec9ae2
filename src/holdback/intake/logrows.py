"""One row of a log cell by cell: the day, and everything that happened on it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from difflib import get_close_matches

from holdback.collection.event_kinds import KINDS, LOCK, MEAL
from holdback.intake.draft import Draft, Reading, note_typed, open_writing, or_ask
from holdback.intake.drafts import date_of, keep_note, take_id
from holdback.intake.happenings import CONDITIONS, NOTE, WEIGHT, Said, said, said_of
from holdback.intake.headings import MEASURES, Field, heading_words
from holdback.intake.inquiry import Asking, Inquiry, written
from holdback.intake.known import fold
from holdback.intake.mapping import ColumnPlan, Mapping
from holdback.intake.measures import take_measure
from holdback.intake.numbers import GRAMS, Quantity, Unclear, quantity, unit_of
from holdback.intake.preview import Choice
from holdback.intake.sheets import Cell, SheetRow

YES = frozenset({"x", "xx", "y", "yes", "✓", "✔", "ok", "1", "true", "ja", "taken", "ate", "eaten", "all", "done"})
"""Words and signs that say yes."""

NO = frozenset({"n", "no", "-", "–", "--", "0", "none", "false", "n/a", "na"})
"""Words and signs that say no."""

_REFUSED = re.compile(r"^(?:n|no|ref\b.*|refus\w*|not .*|left.*|0|false|nope)$")


def log_draft(row: SheetRow, mapping: Mapping, inquiry: Inquiry) -> Draft:
    """Draft of one row of a log; what cannot be read is asked."""
    draft = Draft(row.number)
    taken, amounts, unit = "", [], ""
    for plan in mapping.columns:
        cell = row.cells[plan.index]
        if not cell.text or plan.field is Field.LEAVE_OUT:
            continue
        note_typed(draft, plan, cell)
        if plan.field is Field.TAKEN:
            taken = cell.text
        elif plan.field is Field.AMOUNT:
            amounts.append((plan, cell))
        elif plan.field is Field.UNIT:
            unit = cell.text
        else:
            _READERS[plan.field](draft, plan, cell, mapping, inquiry)
    for plan, cell in amounts:
        _take_amount(draft, plan, cell, unit, mapping=mapping, inquiry=inquiry)
    if taken:
        _take_taken(draft, taken)
    _settle(draft, mapping, inquiry)
    return draft


def _take_day(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    found = date_of(draft, plan, cell, mapping, inquiry)
    if plan.field is Field.DAY:
        draft.day = found
    else:
        draft.until = found


def _take_name(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    draft.name = cell.text


def _take_event(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """What the cell says happened; words that are not known are asked about once."""
    found = said(cell.text, decimal=mapping.writing.decimal)
    if not found:
        found = _asked_event(draft, cell.text, mapping, inquiry)
    draft.said += found
    for one in found:
        if one.kind == WEIGHT and (one.figures or one.value is not None):
            _take_weight(draft, plan, one, mapping=mapping, inquiry=inquiry)


def _asked_event(draft: Draft, text: str, mapping: Mapping, inquiry: Inquiry) -> tuple[Said, ...]:
    """What a text that cannot be read says, by the keeper's word."""
    near = get_close_matches(fold(text), list(KINDS), 2, 0.7)
    choices = [Choice(f"write:{word}", f"It is {word}") for word in near]
    choices.append(Choice("note", "Keep it as a note of the day"))
    asking = Asking(
        f"what:{fold(text)}",
        lambda rows: f"“{text[:80]}” does not say what happened in words that are known.",
        "Meal, refused, shed, weight, ovulation, lock and the like are read. From a note nothing follows.",
        choices,
        "It is",
    )
    answer = inquiry.answer(asking, draft.row)
    told = written(answer)
    if answer == "note":
        return (Said(NOTE, text),)
    if told is None:
        return ()
    found = said(told.text, decimal=mapping.writing.decimal)
    if not found:
        draft.remarks.append(f"Your answer “{told.text}” is none of the words that are known.")
        inquiry.waits.setdefault(draft.row, []).append(asking.id)
    return found


def _take_headed(draft: Draft, plan: ColumnPlan, cell: Cell, mapping: Mapping, inquiry: Inquiry) -> None:
    """An entry under a heading that says what happened."""
    text = cell.text.strip()
    if fold(text) in NO:
        return
    lead = (said(heading_words(plan.title)) or said(plan.title) or (Said(MEAL),))[0]
    if fold(text) in YES:
        draft.said.append(lead)
        return
    own = said(text, decimal=mapping.writing.decimal)
    if own and own[0].kind == lead.kind:
        draft.said += own
    else:
        draft.said.append(said_of(lead, text, decimal=mapping.writing.decimal))


def _take_weight(draft: Draft, plan: ColumnPlan, one: Said, *, mapping: Mapping, inquiry: Inquiry) -> None:
    """A weight told in words, or in a column of numbers."""
    decimal = mapping.writing.decimal

    def read(each: Cell) -> Quantity:
        found = quantity(each, decimal=decimal)
        if found.value <= 0 or (found.unit and found.unit not in GRAMS):
            raise Unclear("it is no weight")
        return found

    found: Quantity | str | None
    try:
        found = read(Cell(one.figures))
    except Unclear as error:
        fault = error
        if not decimal and "decimal comma" in str(error):
            inquiry.answer(open_writing("decimal", mapping), draft.row)
            return
        asking = Asking(
            f"weight:{draft.row}",
            lambda rows: f"Weight “{one.figures[:60]}”: {fault}.",
            "",
            [Choice("note", "Keep it as a note of the day")],
            "It is",
        )
        found = or_ask(read, Cell(one.figures), draft, asking, inquiry)
    if found == "note":
        draft.said.append(Said(NOTE, f"weight {one.figures}"))
    if not isinstance(found, Quantity):
        return
    unit = found.unit or one.unit or plan.unit
    if not unit:
        inquiry.answer(open_writing(f"unit {plan.index}", mapping), draft.row)
        return
    if found.about:
        draft.remarks.append(f"Weight “{one.figures}” is taken as {found.value:g} {unit}.")
    if one.note in CONDITIONS:
        draft.condition = one.note
    as_mass = replace(plan, field=Field.MASS)
    draft.readings.append(Reading(as_mass, one.figures, found.value, unit, bool(found.unit or one.unit), None))


def _take_amount(draft: Draft, plan: ColumnPlan, cell: Cell, unit: str, *, mapping: Mapping, inquiry: Inquiry) -> None:
    """A number beside what happened: of a weight, of a meal in gram, of a follicle in millimetres; else in the note."""
    own = unit_of(unit)
    if any(one.kind == WEIGHT for one in draft.said) and not draft.readings:
        weight = Said(WEIGHT, unit=own if own in GRAMS else "", figures=cell.text)
        _take_weight(draft, plan, weight, mapping=mapping, inquiry=inquiry)
        return
    for at, one in enumerate(draft.said):
        if one.kind == WEIGHT or one.value is not None:
            continue
        text = f"{cell.text} {unit}".strip()
        told = said_of(Said(one.kind), text, decimal=mapping.writing.decimal)
        rest = "" if told.value is not None and told.note in ("", text) else text
        note = ", ".join(part for part in (one.note, rest) if part)
        draft.said[at] = replace(one, value=told.value, unit=told.unit, note=note)
        return
    draft.said.append(Said(NOTE, f"{plan.title}: {cell.text} {unit}".strip()))


def _take_taken(draft: Draft, text: str) -> None:
    """Whether a meal was taken; a row that tells of nothing else tells of a meal."""
    if not any(one.kind == MEAL for one in draft.said):
        draft.said.append(Said(MEAL))
    word = fold(text)
    if word in YES:
        return
    told = "refused" if _REFUSED.match(word) else text
    for at, one in enumerate(draft.said):
        if one.kind == MEAL and told not in one.note:
            draft.said[at] = replace(one, note=": ".join(part for part in (told, one.note) if part))


def _settle(draft: Draft, mapping: Mapping, inquiry: Inquiry) -> None:
    """Put notes to what they are of, weights and readings on the day of the row."""
    told = any(one.kind == WEIGHT for one in draft.said)
    if told and not draft.readings and not inquiry.halted(draft.row):
        others = [one for one in draft.said if one.kind not in (WEIGHT, NOTE)]
        if not others and not any(one.kind == NOTE for one in draft.said):
            draft.remarks.append("It says that it was weighed, and no weight.")
    draft.said = [one for one in draft.said if one.kind != WEIGHT]
    for reading in draft.readings:
        reading.date = draft.day
    notes = "; ".join(draft.notes)
    draft.notes.clear()
    if draft.readings and not draft.said and fold(notes) in CONDITIONS:
        draft.condition, notes = fold(notes), ""
    if not notes:
        return
    at = next((at for at, one in enumerate(draft.said) if one.kind != LOCK or not one.note), -1)
    if at < 0:
        draft.said.append(Said(NOTE, notes))
    else:
        one = draft.said[at]
        again = said_of(Said(one.kind), notes, decimal=mapping.writing.decimal) if one.value is None else one
        value, unit = (again.value, again.unit) if again.value is not None else (one.value, one.unit)
        draft.said[at] = replace(
            one, note="; ".join(part for part in (one.note, notes) if part), value=value, unit=unit
        )


_Taker = Callable[[Draft, ColumnPlan, Cell, Mapping, Inquiry], None]

_READERS: dict[Field, _Taker] = {
    Field.ID: take_id,
    Field.NAME: _take_name,
    Field.DAY: _take_day,
    Field.UNTIL: _take_day,
    Field.EVENT: _take_event,
    Field.HEADED: _take_headed,
    Field.NOTES: keep_note,
    **dict.fromkeys(MEASURES, take_measure),
}
