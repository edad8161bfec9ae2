"""What one row says before rows are compared with each other, and how a cell that cannot be read is asked about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from holdback.collection.model import LineClaim, Origin, PartialDate, Sex
from holdback.intake.cellwords import ParentWords
from holdback.intake.happenings import Said
from holdback.intake.inquiry import Asking, Inquiry, unread, written
from holdback.intake.mapping import ColumnPlan, Mapping
from holdback.intake.numbers import Unclear
from holdback.intake.preview import Choice, Listed
from holdback.intake.sheets import Cell

T = TypeVar("T")


@dataclass(slots=True)
class Reading:
    """One measurement before its unit and size are checked."""

    plan: ColumnPlan
    text: str
    value: float
    unit: str
    own_unit: bool
    date: PartialDate | None


@dataclass(slots=True)
class Draft:
    """What one row says, as far as it can be read by itself."""

    row: int
    typed: dict[str, str] = field(default_factory=dict)
    id: str = ""
    exact_id: bool = False
    name: str = ""
    sex: Sex | None = None
    hatched: PartialDate | None = None
    origin: Origin | None = None
    sire: ParentWords | None = None
    dam: ParentWords | None = None
    sire_candidates: tuple[tuple[str, float], ...] = ()
    dam_id: str = ""
    clutch: str = ""
    genes: str = ""
    genes_read: str = ""
    status: str = ""
    notes: list[str] = field(default_factory=list)
    place: str = ""
    readings: list[Reading] = field(default_factory=list)
    lines: list[LineClaim] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    held: list[Listed] = field(default_factory=list)
    same_as: int = 0
    within: str = ""
    day: PartialDate | None = None
    until: PartialDate | None = None
    said: list[Said] = field(default_factory=list)
    condition: str = ""


def or_ask(read: Callable[[Cell], T], cell: Cell, draft: Draft, asking: Asking, inquiry: Inquiry) -> T | str | None:
    """What a cell says; where it cannot be read, the answer to the question, or None while that is open."""
    answer = inquiry.answer(asking, draft.row)
    told = written(answer)
    if told is None:
        return answer or None
    try:
        return read(told)
    except Unclear as error:
        draft.remarks.append(f"Your answer {unread(told.text, error)}")
        inquiry.waits.setdefault(draft.row, []).append(asking.id)
        return None


def note_typed(draft: Draft, plan: ColumnPlan, cell: Cell) -> None:
    """Keep the text of a cell by its field, and by its heading too where several columns go there."""
    key = plan.field.value
    draft.typed[f"{key}: {plan.title}" if key in draft.typed else key] = cell.text


def keep_in_notes(draft: Draft, title: str, text: str) -> None:
    """Add a text to the notes under its heading."""
    draft.notes.append(f"{title}: {text}")


def open_writing(key: str, mapping: Mapping, *, holds_rows: bool = True) -> Asking:
    """Question about how cells are written; its answer is part of the mapping."""
    evidence = next((item for item in mapping.evidence if item.key == key), None)
    question = evidence.question if evidence else key
    choices = [Choice(value, label) for value, label in evidence.choices] if evidence else []
    return Asking(
        f"writing:{key}",
        lambda rows: f"{question}: not decided.",
        (evidence.why if evidence else "") + " Say it under “How it is written”.",
        choices,
        "" if choices else "First year",
        holds_rows=holds_rows,
    )


def id_fault(text: str) -> str:
    """Why a text cannot be an id, empty if it can.

    Examples
    --------
    >>> id_fault("22-11"), id_fault("none")
    ('', 'means that there was no sire')
    """
    if text.casefold() == "none":
        return "means that there was no sire"
    if len(text) > 64:
        return "is longer than 64 characters"
    if "|" in text or ":" in text or not text.isprintable():
        return "holds a character that ids cannot hold (| : or a line break)"
    return ""
