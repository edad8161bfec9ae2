"""The tables of a collection folder: their columns, in order, and what each takes.

Reader, writer, digest, Data Package descriptor and reference page all go by this list.
"""

from __future__ import annotations

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
from holdback.collection.project_columns import PROJECT_TABLES
from holdback.collection.table import Column, Kind, Table, animal, text


def _late(name: str, about: str) -> Column:
    return Column(name, Kind.TEXT, about, absent="", is_late=True)


_SIRES = "Candidate sires with weights, as in A7:0.8|B2:0.2; none is no sire; empty is unknown."
_PATH = "Place, the largest first, as in incubator 1 / box 3."

TABLES: tuple[Table, ...] = (
    Table(
        "animals",
        "One animal a row; the only file that must be there.",
        Animal,
        (
            Column("id", Kind.ID, "Permanent id, never reused.", required=True),
            text("name", "Calling name."),
            Column("sex", Kind.WORD, "Sex as last determined.", words=Sex, absent=Sex.UNKNOWN),
            Column("hatched", Kind.DATE, "Hatch date, as precise as it is known."),
            Column("origin", Kind.WORD, "Where it was born.", words=Origin, absent=Origin.UNKNOWN),
            Column("sire", Kind.SIRES, _SIRES, absent=(), attribute="sires"),
            animal("dam", "Id of the dam.", required=False),
            Column("clutch", Kind.ID, "Id of the clutch it hatched from.", refers="clutches"),
            text("genes", "Trade shorthand as typed."),
            text("status", "Keeper's word: breeder, holdback, sold, died."),
            text("notes", "Free text."),
        ),
        ("id",),
    ),
    Table(
        "lines",
        "What is said of the share of a line in an animal, mostly a founder.",
        LineClaim,
        (
            animal("animal", "Id of the animal."),
            Column("line", Kind.TEXT, "Name of the line.", required=True, absent=""),
            Column("share_low", Kind.NUMBER, "Lower end of the share, 0 to 1.", required=True),
            Column("share_high", Kind.NUMBER, "Upper end of the share, 0 to 1.", required=True),
            text("ground", "Who said so, on what paper."),
        ),
        ("animal", "line"),
    ),
    Table(
        "measurements",
        "One reading a row, in the unit it was taken in.",
        Measurement,
        (
            animal("animal", "Id of the animal."),
            Column("date", Kind.DATE, "When it was taken.", required=True),
            Column("trait", Kind.WORD, "What was measured.", required=True, words=Trait),
            Column("value", Kind.NUMBER, "The number, more than 0.", required=True, positive=True),
            Column(
                "unit", Kind.TEXT, "g, kg, oz or lb for mass; mm, cm, m or in for lengths.", required=True, absent=""
            ),
            text("condition", "State: empty, fed, gravid, in shed, after laying."),
        ),
    ),
    Table(
        "matings",
        "A male put to a female.",
        Mating,
        (
            animal("dam", "Id of the female."),
            animal("sire", "Id of the male."),
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
            animal("dam", "Id of the dam.", required=False),
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
            animal("animal", "Id of the hatchling, or of the young that died in it.", required=False),
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
            animal("animal", "Id of the animal."),
            Column("date", Kind.DATE, "When.", required=True),
            Column(
                "kind",
                Kind.TEXT,
                "What: meal, shed, ovulation, ultrasound, pre-lay shed, laid, moved.",
                required=True,
                absent="",
            ),
            Column("value", Kind.NUMBER, "Number that belongs to it."),
            text("unit", "Unit of the number."),
            text("note", "Free text; of a meal whether it was refused, of a move the place, of a lock the male."),
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
            animal("animal", "Id of the animal."),
            Column("gene", Kind.TEXT, "Key or trade name of the gene.", required=True, absent=""),
            Column("kind", Kind.WORD, "Whether it was seen or is claimed.", required=True, words=StatementKind),
            Column("none", Kind.NUMBER, "Chance of no copy, 0 to 1.", required=True),
            Column("one", Kind.NUMBER, "Chance of one copy, 0 to 1.", required=True),
            Column("two", Kind.NUMBER, "Chance of two copies, 0 to 1; the three sum to 1.", required=True),
            text("by", "Who saw it or says so."),
            text("ground", "On what ground."),
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
            animal("animal", "Id of the animal."),
            text("place", "Place in free words."),
            text("country", "Two letters of ISO 3166-1, as in GH."),
            Column("latitude", Kind.NUMBER, "Degrees north, -90 to 90; south is negative."),
            Column("longitude", Kind.NUMBER, "Degrees east, -180 to 180; west is negative."),
            Column(
                "precision",
                Kind.WORD,
                "Whether the coordinates are to a tenth of a degree, or exact.",
                words=Precision,
                absent=Precision.COARSE,
            ),
            text("ground", "Who said so, on what paper."),
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
            text("note", "Free text."),
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
            text("time", "Time of day, as in 16:40; may be empty."),
            Column("celsius", Kind.NUMBER, "Degrees Celsius, more than -20 and less than 60.", required=True),
            text("note", "Free text."),
        ),
        is_late=True,
    ),
    Table(
        "places",
        "A room, a rack, a tub, an incubator or a box a row, empty ones too.",
        Place,
        (
            Column("place", Kind.PLACE, _PATH, required=True, absent="", attribute="path"),
            text("kind", "What it is: room, rack, tub, incubator, box."),
            Column("capacity", Kind.COUNT, "Places for eggs; empty where nobody said."),
            text("notes", "Free text."),
            Column("closed", Kind.DATE, "Day from which it is in use no more; empty while it is."),
        ),
        ("place",),
        is_late=True,
    ),
    *PROJECT_TABLES,
)
"""All tables in the order they are read and written."""
