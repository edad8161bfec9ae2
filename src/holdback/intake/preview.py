"""What will come of a sheet: rows that land, questions, rows set aside. Nothing here changes anything."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from holdback.collection.model import Animal, LineClaim, Measurement, Records
from holdback.intake.sheet_kinds import SheetKind


class Kind(StrEnum):
    """What landing a row does."""

    CREATED = "created"
    CHANGED = "changed"
    UNCHANGED = "unchanged"


@dataclass(frozen=True, slots=True)
class Choice:
    """One deed that answers a question: the value kept as the answer, and the words on the button."""

    key: str
    deed: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something only the keeper can say.

    Parameters
    ----------
    id : str
        Stable name, also used in a file of answers.
    rows : tuple of int
        Rows that wait for it.
    what : str
        What is the matter, in one sentence.
    why : str
        Why it matters or what can be done.
    choices : tuple of Choice
        Deeds to choose from.
    takes_text : str
        Label of a free answer (given as ``write:TEXT``); empty where none makes sense.
    gene : str
        Word that is not in the almanac, where the question is about one.
    holds : bool
        Whether the rows wait; where not, they land without the value in question.
    """

    id: str
    rows: tuple[int, ...]
    what: str
    why: str
    choices: tuple[Choice, ...]
    takes_text: str = ""
    gene: str = ""
    holds: bool = True


@dataclass(frozen=True, slots=True)
class Changed:
    """One field before and after, as text."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Landing:
    """A row that lands.

    Parameters
    ----------
    row : int
        Number in the file; 0 for an animal that only a parent column names.
    animal : Animal
        The animal as it will stand.
    kind : Kind
        Whether it is new, changed or as it was.
    changes : tuple of Changed
        Fields that change, with before and after; empty for a new animal.
    measurements, lines : tuple
        What is added to the animal.
    place : str
        Where it is kept, where a column says so.
    typed : mapping of str to str
        Field to text as typed.
    genes_read : str
        The genes in words, as read.
    remarks : tuple of str
        What is worth a look but holds nothing back.
    """

    row: int
    animal: Animal
    kind: Kind
    changes: tuple[Changed, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    lines: tuple[LineClaim, ...] = ()
    place: str = ""
    typed: Mapping[str, str] = field(default_factory=dict)
    genes_read: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of a log, of pairings or of clutches that lands.

    Parameters
    ----------
    row : int
        Number in the file.
    about : str
        Whom or which clutch it is about.
    said : tuple of str
        What is written down, a phrase for each thing.
    records : Records
        What it adds or fills in.
    kind : Kind
        Whether something of it is new, changes what is on record, or all of it is there.
    typed : mapping of str to str
        Field to text as typed.
    remarks : tuple of str
        What is worth a look but holds nothing back.
    """

    row: int
    about: str
    said: tuple[str, ...]
    records: Records
    kind: Kind
    typed: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Listed:
    """A row, or a part of one, that does not land, with the text as typed and the reason.

    Parameters
    ----------
    row : int
        Number in the file.
    reason : str
        Why, in words.
    text : str
        What stood there.
    questions : tuple of str
        Ids of the questions it waits for; empty if nothing would bring it in.
    """

    row: int
    reason: str
    text: str = ""
    questions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Preview:
    """All of a sheet: every row lands or is listed.

    Parameters
    ----------
    landings : tuple of Landing
        Rows that land, in file order; animals named only as parents come first.
    questions : tuple of Question
        What waits for an answer.
    waiting : tuple of Listed
        Rows that wait for an answer, or for a row that waits.
    left_out : tuple of Listed
        Rows that do not land: no animals, the same as another row, or left out by the keeper.
    held : tuple of Listed
        Parts of landing rows that do not land, such as a mass without a day.
    n_rows : int
        Filled rows under the heading; equals landing, waiting and left out rows together.
    notes : tuple of str
        What of the file is in no row.
    entries : tuple of Entry
        Rows that land of a sheet that is no list of animals.
    sheet : SheetKind
        What the rows are.
    """

    landings: tuple[Landing, ...]
    questions: tuple[Question, ...]
    waiting: tuple[Listed, ...]
    left_out: tuple[Listed, ...]
    held: tuple[Listed, ...]
    n_rows: int
    notes: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()
    sheet: SheetKind = SheetKind.ANIMALS

    @cached_property
    def landing_rows(self) -> tuple[Landing, ...]:
        """Landings that stand for a row of the file."""
        return tuple(landing for landing in self.landings if landing.row)

    @property
    def n_landing(self) -> int:
        """Rows of the file that land."""
        return len(self.landing_rows) + len(self.entries)

    def count(self, kind: Kind) -> int:
        """Number of animals, or of rows that are no animals, that are created, changed or unchanged."""
        if self.sheet is not SheetKind.ANIMALS:
            return sum(1 for entry in self.entries if entry.kind is kind)
        seen: dict[str, Kind] = {}
        for landing in self.landings:
            before = seen.get(landing.animal.id)
            if before is not Kind.CREATED and not (before is Kind.CHANGED and landing.kind is Kind.UNCHANGED):
                seen[landing.animal.id] = landing.kind
        return sum(1 for each in seen.values() if each is kind)

    @property
    def n_measurements(self) -> int:
        """Measurements that land."""
        told = sum(len(entry.records.measurements) for entry in self.entries)
        return told + sum(len(landing.measurements) for landing in self.landings)
