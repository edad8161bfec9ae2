"""What the rows of a sheet are: animals, happenings, pairings or clutches; found by headings and cells."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

from holdback.intake.happenings import said
from holdback.intake.headings import MEASURES, Field, field_of, heading_words

if TYPE_CHECKING:
    from holdback.intake.tables import Table


class SheetKind(StrEnum):
    """What one row of a sheet is."""

    ANIMALS = "animals"
    LOG = "log"
    PAIRINGS = "pairings"
    CLUTCHES = "clutches"


F = Field
FIELDS: Mapping[SheetKind, tuple[Field, ...]] = MappingProxyType(
    {
        SheetKind.ANIMALS: (
            F.ID, F.NAME, F.SEX, F.HATCHED, F.ORIGIN, F.SIRE, F.DAM, F.PARENTS, F.CLUTCH, F.GENES, F.STATUS, F.NOTES,
            F.MASS, F.SVL, F.LENGTH, F.HEAD_WIDTH, F.HEAD_LENGTH, F.GIRTH, F.MEASURED, F.LINE, F.SHARE, F.PLACE,
            F.WITHIN, F.LEAVE_OUT,
        ),
        SheetKind.LOG: (
            F.ID, F.NAME, F.DAY, F.UNTIL, F.EVENT, F.HEADED, F.TAKEN, F.AMOUNT, F.UNIT, F.NOTES, F.MASS, F.SVL,
            F.LENGTH, F.HEAD_WIDTH, F.HEAD_LENGTH, F.GIRTH, F.LEAVE_OUT,
        ),
        SheetKind.PAIRINGS: (F.DAM, F.SIRE, F.PARENTS, F.TOGETHER, F.APART, F.LOCKS, F.NOTES, F.LEAVE_OUT),
        SheetKind.CLUTCHES: (
            F.CLUTCH, F.DAM, F.SIRE, F.PARENTS, F.LAID, F.EGGS, F.GOOD, F.SLUGS, F.HATCHED, F.NUMBER_HATCHED, F.PLACE,
            F.WITHIN, F.TEMPERATURE, F.NOTES, F.LEAVE_OUT,
        ),
    }
)  # fmt: skip
"""What a column of each kind of sheet can go to."""

_FEMALE = ("female", "dam", "she", "her", "f", "girl", "females")
_MALE = ("male", "sire", "he", "him", "m", "boy", "males", "sires")

_WORDS: Mapping[SheetKind, Mapping[Field, tuple[str, ...]]] = {
    SheetKind.ANIMALS: {},
    SheetKind.LOG: {
        F.DAY: ("date", "day", "when", "on", "feed date", "feeding date", "log date", "date fed"),
        F.UNTIL: ("until", "to", "last day", "end", "end date", "till"),
        F.EVENT: (
            "event", "what", "what happened", "happened", "type", "entry", "activity", "action", "log", "kind", "did",
            "record", "task", "event type",
        ),
        F.TAKEN: ("taken", "eaten", "ate", "result", "accepted", "took it", "taken refused", "response", "outcome"),
        F.AMOUNT: ("value", "amount", "number", "qty", "quantity", "reading", "how much"),
        F.UNIT: ("unit", "units"),
    },
    SheetKind.PAIRINGS: {
        F.DAM: _FEMALE,
        F.SIRE: _MALE,
        F.PARENTS: ("pair", "pairing", "sire x dam", "male x female"),
        F.TOGETHER: (
            "date in", "in", "put in", "introduced", "paired", "pairing date", "date", "together", "start", "from",
            "paired on", "male in", "put together", "first day", "date paired", "date introduced", "day in",
        ),
        F.APART: (
            "date out", "out", "taken out", "separated", "apart", "end", "to", "until", "male out", "last day",
            "pulled", "date separated", "day out", "taken apart",
        ),
        F.LOCKS: (
            "locks", "locked", "lock", "lock count", "number of locks", "no of locks", "locks seen", "lock seen",
            "lock date", "seen locked", "locked on", "first lock", "lock dates", "lock seen on",
        ),
    },
    SheetKind.CLUTCHES: {
        F.CLUTCH: ("id", "no", "#", "nr", "code", "clutch name"),
        F.DAM: _FEMALE,
        F.SIRE: _MALE,
        F.LAID: ("laid", "lay date", "date laid", "laid on", "laid date", "lay", "day laid"),
        F.EGGS: ("eggs", "total eggs", "egg count", "clutch size", "no eggs", "# eggs", "total", "eggs laid", "egg"),
        F.GOOD: ("good", "good eggs", "fertile", "viable", "fertile eggs", "viable eggs"),
        F.SLUGS: ("slugs", "slug", "duds", "bad", "infertile", "# slugs", "bad eggs"),
        F.HATCHED: ("hatched", "hatch date", "date hatched", "hatched on", "hatch", "hatch day"),
        F.NUMBER_HATCHED: (
            "number hatched", "hatched out", "no hatched", "# hatched", "hatchlings", "babies", "live", "young",
            "hatched no", "live young", "how many hatched",
        ),
        F.WITHIN: ("incubator", "inc"),
        F.PLACE: ("box", "egg box", "tub", "egg tub", "incubator box", "box no", "where"),
        F.TEMPERATURE: ("temp", "temperature", "incubation temp", "inc temp", "set at", "incubator temp", "temp set"),
    },
}  # fmt: skip

_EXACT = {kind: {word: field for field, words in fields.items() for word in words} for kind, fields in _WORDS.items()}
_ONE_SHEET = frozenset({F.SEX, F.HATCHED, F.GENES, F.ORIGIN, F.SIRE, F.DAM, F.PARENTS, F.STATUS})
"""Fields that a log does not have."""


def field_in(kind: SheetKind, text: str) -> tuple[Field | None, float]:
    """Field that a heading names in a sheet of one kind, and how sure that is.

    Parameters
    ----------
    kind : SheetKind
        What the rows are.
    text : str
        Heading as typed.

    Returns
    -------
    Field or None, float
        None where it names none that such a sheet has.

    Examples
    --------
    >>> field_in(SheetKind.PAIRINGS, "Date in"), field_in(SheetKind.LOG, "Fed")
    ((<Field.TOGETHER: 'put together'>, 0.95), (<Field.HEADED: 'what its heading says'>, 0.8))
    """
    if kind is SheetKind.ANIMALS:
        return field_of(text)
    words = heading_words(text)
    if words in _EXACT[kind]:
        return _EXACT[kind][words], 0.95
    if kind is SheetKind.CLUTCHES and words.split()[:1] in (["temp"], ["temperature"]):
        return F.TEMPERATURE, 0.8
    found, sure = field_of(text)
    if kind is SheetKind.LOG and found not in (*MEASURES, F.ID, F.NAME) and says_event(text):
        return F.HEADED, 0.8
    return (found, sure) if found in FIELDS[kind] else (None, 0.0)


def says_event(heading: str) -> bool:
    """Whether a heading by itself says what happened: ``Fed``, ``Shed``, ``Ovulation``."""
    return heading_words(heading) in _HEADED or len(said(heading)) == 1


_HEADED = frozenset({"food", "prey", "feeder", "prey item", "fed with", "feed item"})


def names_column(text: str) -> float:
    """How sure it is that a text is a heading in any kind of sheet, from 0 to 1.

    Examples
    --------
    >>> names_column("Date in"), names_column("Umber")
    (0.95, 0.0)
    """
    own = heading_words(text)
    return 0.95 if any(own in words for words in _EXACT.values()) else field_of(text)[1]


def kind_of_table(table: Table) -> tuple[SheetKind, str]:
    """What the rows of a table most likely are, and why.

    Parameters
    ----------
    table : Table
        Any sheet.

    Returns
    -------
    SheetKind, str
        The kind, and the reason in words.
    """
    titles = {kind: _fields(table, kind) for kind in SheetKind}
    clutch = titles[SheetKind.CLUTCHES]
    eggs = [field for field in (F.LAID, F.EGGS, F.GOOD, F.SLUGS, F.NUMBER_HATCHED) if field in clutch]
    plain = titles[SheetKind.ANIMALS]
    if len(eggs) >= 2 and (F.CLUTCH in clutch or F.DAM in clutch) and not {F.SEX, F.GENES} & set(plain):
        return SheetKind.CLUTCHES, f"columns for {_named(clutch, [*eggs, F.CLUTCH, F.DAM])}"
    pair = titles[SheetKind.PAIRINGS]
    both = (F.DAM in pair and F.SIRE in pair) or F.PARENTS in pair
    days = [field for field in (F.TOGETHER, F.APART, F.LOCKS) if field in pair]
    if both and days and not {F.SEX, F.GENES, F.HATCHED, F.CLUTCH, F.ORIGIN} & set(plain):
        return SheetKind.PAIRINGS, f"columns for {_named(pair, [F.DAM, F.SIRE, F.PARENTS, *days])}"
    log = titles[SheetKind.LOG]
    if F.DAY in log and (F.ID in log or F.NAME in log) and not _ONE_SHEET & set(plain):
        if F.EVENT in log or F.HEADED in log:
            return SheetKind.LOG, f"columns for {_named(log, [F.DAY, F.EVENT, F.HEADED])}"
        told = told_column(table)
        if told >= 0:
            title = next(column.title for column in table.columns if column.index == told)
            return SheetKind.LOG, f"days, and {title} says what happened"
    return SheetKind.ANIMALS, "one animal a row"


def told_column(table: Table) -> int:
    """Index of the column whose cells say what happened, -1 where none does: six of ten can be read."""
    for column in table.columns:
        if field_in(SheetKind.LOG, column.heading)[0] not in (None, F.NOTES):
            continue
        texts = [row.cells[column.index].text for row in table.rows[:200] if row.cells[column.index].text]
        if len(texts) * 2 >= len(table.rows[:200]) and sum(bool(said(text)) for text in texts) * 10 >= len(texts) * 6:
            return column.index
    return -1


def _fields(table: Table, kind: SheetKind) -> dict[Field, str]:
    """Fields that the headings name in a sheet of a kind, each with the first such heading."""
    found: dict[Field, str] = {}
    for column in table.columns:
        field, _ = field_in(kind, column.heading)
        if field is not None:
            found.setdefault(field, column.title)
    return found


def _named(titles: Mapping[Field, str], fields: list[Field]) -> str:
    """Headings of fields, in the order of the sheet."""
    wanted = [titles[field] for field in fields if field in titles]
    return ", ".join(title for title in titles.values() if title in wanted)
