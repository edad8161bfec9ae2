"""The twelve tables of a collection folder: their columns, in order, and what each takes.

Reader, writer, digest, Data Package descriptor and reference page all go by this list.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from holdback.collection.housing import Place
from holdback.collection.model import (
    Animal,
    Clutch,
    Egg,
    EggLook,
    EggOutcome,
    EggState,
    Event,
    GeneStatement,
    LineClaim,
    Mating,
    Measurement,
    Origin,
    Sex,
    StatementKind,
    Temperature,
    Trait,
)
from holdback.collection.origins import PlaceOfOrigin, Precision


class Kind(StrEnum):
    """What a cell holds."""

    ID = "id"
    TEXT = "text"
    WORD = "word"
    DATE = "date"
    NUMBER = "number"
    COUNT = "count"
    SIRES = "sires"
    PLACE = "place"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    name : str
        Header as written in the file.
    kind : Kind
        What its cells hold.
    about : str
        One sentence for the reference and the descriptor.
    required : bool
        Whether every row must fill it.
    refers : str
        Table whose ids it names ("animals", "clutches"); empty for none.
    words : type of StrEnum or None
        Closed choice, for `Kind.WORD`.
    absent : object
        Value of an empty cell.
    attribute : str
        Field of the record where it is not called like the column.
    positive : bool
        Whether a number must be more than 0.
    is_late : bool
        Whether the column came after folders were in use: an empty cell of it leaves the digest as it was.
    """

    name: str
    kind: Kind
    about: str
    required: bool = False
    refers: str = ""
    words: type[StrEnum] | None = None
    absent: Any = None
    attribute: str = ""
    positive: bool = False
    is_late: bool = False

    @property
    def field(self) -> str:
        """Name of the field of the record."""
        return self.attribute or self.name


@dataclass(frozen=True, slots=True)
class Table:
    """One file of the folder.

    Parameters
    ----------
    name : str
        Name without ``.csv``; also the field of `Records`.
    about : str
        One sentence.
    record : callable
        Class of its rows.
    columns : tuple of Column
        In the order they are written.
    key : tuple of str
        Columns that together name one row; empty where rows may repeat.
    is_late : bool
        Whether the table came after folders were in use: while it is empty it leaves the digest as it was.
    """

    name: str
    about: str
    record: Callable[..., Any]
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    is_late: bool = False

    @property
    def file(self) -> str:
        """File name in the folder."""
        return f"{self.name}.csv"


def _text(name: str, about: str) -> Column:
    return Column(name, Kind.TEXT, about, absent="")


def _late(name: str, about: str) -> Column:
    return Column(name, Kind.TEXT, about, absent="", is_late=True)


def _animal(name: str, about: str, *, required: bool = True) -> Column:
    return Column(name, Kind.ID, about, required=required, refers="animals")


_SIRES = "Candidate sires with weights, as in A7:0.8|B2:0.2; none is no sire; empty is unknown."
_PATH = "Place, the largest first, as in incubator 1 / box 3."

TABLES: tuple[Table, ...] = (
    Table(
        "animals",
        "One animal a row; the only file that must be there.",
        Animal,
        (
            Column("id", Kind.ID, "Permanent id, never reused.", required=True),
            _text("name", "Calling name."),
            Column("sex", Kind.WORD, "Sex as last determined.", words=Sex, absent=Sex.UNKNOWN),
            Column("hatched", Kind.DATE, "Hatch date, as precise as it is known."),
            Column("origin", Kind.WORD, "Where it was born.", words=Origin, absent=Origin.UNKNOWN),
            Column("sire", Kind.SIRES, _SIRES, absent=(), attribute="sires"),
            _animal("dam", "Id of the dam.", required=False),
            Column("clutch", Kind.ID, "Id of the clutch it hatched from.", refers="clutches"),
            _text("genes", "Trade shorthand as typed."),
            _text("status", "Keeper's word: breeder, holdback, sold, died."),
            _text("notes", "Free text."),
        ),
        ("id",),
    ),
    Table(
        "lines",
        "What is said of the share of a line in an animal, mostly a founder.",
        LineClaim,
        (
            _animal("animal", "Id of the animal."),
            Column("line", Kind.TEXT, "Name of the line.", required=True, absent=""),
            Column("share_low", Kind.NUMBER, "Lower end of the share, 0 to 1.", required=True),
            Column("share_high", Kind.NUMBER, "Upper end of the share, 0 to 1.", required=True),
            _text("ground", "Who said so, on what paper."),
        ),
        ("animal", "line"),
    ),
    Table(
        "measurements",
        "One reading a row, in the unit it was taken in.",
        Measurement,
        (
            _animal("animal", "Id of the animal."),
            Column("date", Kind.DATE, "When it was taken.", required=True),
            Column("trait", Kind.WORD, "What was measured.", required=True, words=Trait),
            Column("value", Kind.NUMBER, "The number, more than 0.", required=True, positive=True),
            Column(
                "unit", Kind.TEXT, "g, kg, oz or lb for mass; mm, cm, m or in for lengths.", required=True, absent=""
            ),
            _text("condition", "State: empty, fed, gravid, in shed, after laying."),
        ),
    ),
    Table(
        "matings",
        "A male put to a female.",
        Mating,
        (
            _animal("dam", "Id of the female."),
            _animal("sire", "Id of the male."),
            Column("together", Kind.DATE, "First day."),
            Column("apart", Kind.DATE, "Last day."),
            Column("locks", Kind.COUNT, "Locks seen.", absent=0),
        ),
    ),
    Table(
        "clutches",
        "One clutch a row.",
        Clutch,
        (
            Column("id", Kind.ID, "Permanent id of the clutch.", required=True),
            _animal("dam", "Id of the dam.", required=False),
            Column("sires", Kind.SIRES, _SIRES, absent=()),
            Column("laid", Kind.DATE, "When it was laid."),
            Column("eggs", Kind.COUNT, "Eggs laid in all, slugs among them; empty is not counted."),
            Column("slugs", Kind.COUNT, "Slugs among them; empty is not counted."),
            Column("hatched", Kind.DATE, "When the first egg hatched."),
            _late("set_aside", "Why it stays out of counts of size, loss and defects; empty where it counts."),
        ),
        ("id",),
    ),
    Table(
        "eggs",
        "One egg a row.",
        Egg,
        (
            Column("clutch", Kind.ID, "Id of the clutch.", required=True, refers="clutches"),
            Column("egg", Kind.TEXT, "Number or mark within the clutch.", required=True, absent=""),
            Column("mass_g", Kind.NUMBER, "Mass in gram.", positive=True),
            Column(
                "outcome",
                Kind.WORD,
                "What became of it; empty while it is in the box.",
                words=EggOutcome,
                absent=EggOutcome.UNKNOWN,
            ),
            _animal("animal", "Id of the hatchling, or of the young that died in it.", required=False),
            Column(
                "box",
                Kind.PLACE,
                "Place it lies in, the largest first, as in incubator 1 / box 3.",
                absent="",
                is_late=True,
            ),
            Column("ended", Kind.DATE, "Day it came out or was lost.", is_late=True),
            _late("cause", "Why it was lost."),
        ),
        ("clutch", "egg"),
    ),
    Table(
        "events",
        "Anything else that happened to an animal on a day.",
        Event,
        (
            _animal("animal", "Id of the animal."),
            Column("date", Kind.DATE, "When.", required=True),
            Column(
                "kind",
                Kind.TEXT,
                "What: meal, shed, ovulation, ultrasound, pre-lay shed, laid, moved.",
                required=True,
                absent="",
            ),
            Column("value", Kind.NUMBER, "Number that belongs to it."),
            _text("unit", "Unit of the number."),
            _text("note", "Free text; of a meal whether it was refused, of a move the place, of a lock the male."),
            Column(
                "until", Kind.DATE, "Last day, of what lasts: a loan, a quarantine, a stay in a place.", is_late=True
            ),
        ),
    ),
    Table(
        "statements",
        "What was seen, or is said, of one gene of an animal, beside its genes as typed.",
        GeneStatement,
        (
            _animal("animal", "Id of the animal."),
            Column("gene", Kind.TEXT, "Key or trade name of the gene.", required=True, absent=""),
            Column("kind", Kind.WORD, "Whether it was seen or is claimed.", required=True, words=StatementKind),
            Column("none", Kind.NUMBER, "Chance of no copy, 0 to 1.", required=True),
            Column("one", Kind.NUMBER, "Chance of one copy, 0 to 1.", required=True),
            Column("two", Kind.NUMBER, "Chance of two copies, 0 to 1; the three sum to 1.", required=True),
            _text("by", "Who saw it or says so."),
            _text("ground", "On what ground."),
            Column("date", Kind.DATE, "When."),
            Column("trust", Kind.NUMBER, "Chance that it can be relied on, 0 to 1; empty is 1.", absent=1.0),
        ),
        is_late=True,
    ),
    Table(
        "origins",
        "The place that an animal is said to come from.",
        PlaceOfOrigin,
        (
            _animal("animal", "Id of the animal."),
            _text("place", "Place in free words."),
            _text("country", "Two letters of ISO 3166-1, as in GH."),
            Column("latitude", Kind.NUMBER, "Degrees north, -90 to 90; south is negative."),
            Column("longitude", Kind.NUMBER, "Degrees east, -180 to 180; west is negative."),
            Column(
                "precision",
                Kind.WORD,
                "Whether the coordinates are to a tenth of a degree, or exact.",
                words=Precision,
                absent=Precision.COARSE,
            ),
            _text("ground", "Who said so, on what paper."),
        ),
        ("animal",),
        is_late=True,
    ),
    Table(
        "egg_looks",
        "One look at an egg a row.",
        EggLook,
        (
            Column("clutch", Kind.ID, "Id of the clutch.", required=True, refers="clutches"),
            Column("egg", Kind.TEXT, "Number or mark within the clutch.", required=True, absent=""),
            Column("date", Kind.DATE, "When.", required=True),
            Column("state", Kind.WORD, "How it was found.", required=True, words=EggState),
            _text("note", "Free text."),
        ),
        is_late=True,
    ),
    Table(
        "temperatures",
        "One reading of the warmth of a place a row.",
        Temperature,
        (
            Column("place", Kind.PLACE, _PATH, required=True, absent=""),
            Column("date", Kind.DATE, "Day, as in 2026-05-14.", required=True),
            _text("time", "Time of day, as in 16:40; may be empty."),
            Column("celsius", Kind.NUMBER, "Degrees Celsius, more than -20 and less than 60.", required=True),
            _text("note", "Free text."),
        ),
        is_late=True,
    ),
    Table(
        "places",
        "A room, a rack, a tub, an incubator or a box a row, empty ones too.",
        Place,
        (
            Column("place", Kind.PLACE, _PATH, required=True, absent="", attribute="path"),
            _text("kind", "What it is: room, rack, tub, incubator, box."),
            Column("capacity", Kind.COUNT, "Places for eggs; empty where nobody said."),
            _text("notes", "Free text."),
            Column("closed", Kind.DATE, "Day from which it is in use no more; empty while it is."),
        ),
        ("place",),
        is_late=True,
    ),
)
"""All tables in the order they are read and written."""
