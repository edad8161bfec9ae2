"""The records as the engine sees them: frozen, complete, without a database.

Absence is a value of its own: ``None`` for a date or an id that is not known, `Sex.UNKNOWN`, `Origin.UNKNOWN`. An
unknown parent has no candidate; a clutch known to have no sire carries the candidate `NO_SIRE`.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from holdback.collection.housing import Place
from holdback.collection.origins import PlaceOfOrigin
from holdback.collection.projects import Accepted, PlannedPairing, Project

NO_SIRE = "none"
"""Candidate id that says: no sire at all (parthenogenesis)."""


class Sex(StrEnum):
    """Sex as determined; the heterogametic sex is a matter of the species file."""

    MALE = "male"
    FEMALE = "female"
    UNKNOWN = "unknown"


class Origin(StrEnum):
    """Where an animal was born, in the words of import papers."""

    CAPTIVE_BRED = "captive bred"
    CAPTIVE_HATCHED = "captive hatched"
    FARM_BRED = "farm bred"
    WILD_CAUGHT = "wild caught"
    UNKNOWN = "unknown"


class Trait(StrEnum):
    """What was measured."""

    MASS = "mass"
    SNOUT_VENT_LENGTH = "snout-vent length"
    TOTAL_LENGTH = "total length"
    HEAD_WIDTH = "head width"
    HEAD_LENGTH = "head length"
    GIRTH = "girth"


class EggOutcome(StrEnum):
    """What became of an egg; unknown while it is still in the box."""

    HATCHED = "hatched"
    SLUG = "slug"
    DIED = "died"
    UNKNOWN = "unknown"


class StatementKind(StrEnum):
    """Whether a gene was seen on the animal, or is said of it."""

    SEEN = "seen"
    CLAIMED = "claimed"


@dataclass(frozen=True, slots=True, order=True)
class PartialDate:
    """A date known to the day, the month or the year; sorts by its earliest day.

    Parameters
    ----------
    year : int
        Calendar year, four figures.
    month, day : int
        1 to 12 and 1 to 31; 0 where not known. A day needs a month.
    """

    year: int
    month: int = 0
    day: int = 0

    def __post_init__(self) -> None:
        """Refuse a date that no calendar has."""
        if self.day and not self.month:
            raise ValueError("a day without a month is no date")
        dt.date(self.year, self.month or 1, self.day or 1)

    @classmethod
    def parse(cls, text: str) -> PartialDate:
        """Date from ``YYYY``, ``YYYY-MM`` or ``YYYY-MM-DD``.

        Raises
        ------
        ValueError
            If the text has another form or is no date of the calendar.

        Examples
        --------
        >>> PartialDate.parse("2024-07").earliest
        datetime.date(2024, 7, 1)
        """
        parts = text.strip().split("-")
        widths = [4, 2, 2][: len(parts)]
        if len(parts) > 3 or any(
            len(part) != width or not part.isascii() or not part.isdigit()
            for part, width in zip(parts, widths, strict=True)
        ):
            raise ValueError(f"{text!r} is not YYYY, YYYY-MM or YYYY-MM-DD")
        return cls(*(int(part) for part in parts))

    @property
    def earliest(self) -> dt.date:
        """First day it may have been."""
        return dt.date(self.year, self.month or 1, self.day or 1)

    @property
    def latest(self) -> dt.date:
        """Last day it may have been."""
        if self.day:
            return self.earliest
        if self.month == 12 or not self.month:
            return dt.date(self.year, 12, 31)
        return dt.date(self.year, self.month + 1, 1) - dt.timedelta(days=1)

    def __str__(self) -> str:
        """Text in the form it was known: ``2024``, ``2024-07`` or ``2024-07-18``."""
        return "-".join([f"{self.year:04d}", *(f"{part:02d}" for part in (self.month, self.day) if part)])


@dataclass(frozen=True, slots=True)
class Candidate:
    """A possible parent with its weight.

    Parameters
    ----------
    animal : str
        Id of the animal, or `NO_SIRE`.
    weight : float
        Prior probability in (0, 1]; the weights of one parent sum to at most 1, the rest is an unknown animal.
    """

    animal: str
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Animal:
    """One animal as recorded.

    Parameters
    ----------
    id : str
        Permanent id, never reused.
    name : str
        Calling name; may be empty.
    sex : Sex
        Sex as last determined.
    hatched : PartialDate or None
        Hatch date to the precision known.
    origin : Origin
        Captive bred, wild caught and so on.
    sires : tuple of Candidate
        Candidate sires; empty is unknown.
    dam : str or None
        Id of the dam, None if unknown.
    clutch : str or None
        Id of the clutch it hatched from.
    genes : str
        Trade shorthand as typed; empty where nothing was written.
    status : str
        Keeper's word ("breeder", "holdback", "sold", "died"); may be empty.
    notes : str
        Free text as typed.
    """

    id: str
    name: str = ""
    sex: Sex = Sex.UNKNOWN
    hatched: PartialDate | None = None
    origin: Origin = Origin.UNKNOWN
    sires: tuple[Candidate, ...] = ()
    dam: str | None = None
    clutch: str | None = None
    genes: str = ""
    status: str = ""
    notes: str = ""

    @property
    def sire(self) -> str | None:
        """Id of the sire if one animal is certain, else None."""
        if len(self.sires) == 1 and self.sires[0].weight >= 1 and self.sires[0].animal != NO_SIRE:
            return self.sires[0].animal
        return None


@dataclass(frozen=True, slots=True)
class LineClaim:
    """What is said of a founder's share of a line.

    Parameters
    ----------
    animal, line : str
        Animal id and line name.
    share_low, share_high : float
        Bounds of the share, in [0, 1].
    ground : str
        Why: who said so, on what paper.
    """

    animal: str
    line: str
    share_low: float
    share_high: float
    ground: str = ""


@dataclass(frozen=True, slots=True)
class Measurement:
    """One reading, with the unit as typed.

    Parameters
    ----------
    animal : str
        Animal id.
    date : PartialDate
        When it was taken.
    trait : Trait
        What was measured.
    value : float
        Number in `unit`, positive.
    unit : str
        g, kg, oz, lb for mass; mm, cm, m, in for lengths.
    condition : str
        "empty", "fed", "gravid", "in shed", "after laying"; may be empty.
    """

    animal: str
    date: PartialDate
    trait: Trait
    value: float
    unit: str
    condition: str = ""


@dataclass(frozen=True, slots=True)
class Mating:
    """A male put to a female.

    Parameters
    ----------
    dam, sire : str
        Animal ids.
    together, apart : PartialDate or None
        First and last day.
    locks : int
        Locks seen.
    """

    dam: str
    sire: str
    together: PartialDate | None = None
    apart: PartialDate | None = None
    locks: int = 0


@dataclass(frozen=True, slots=True)
class Clutch:
    """One clutch.

    Parameters
    ----------
    id : str
        Clutch id.
    dam : str or None
        Animal id.
    sires : tuple of Candidate
        Candidate sires with weights.
    laid, hatched : PartialDate or None
        Dates.
    eggs, slugs : int or None
        Eggs laid in all (slugs among them), and slugs; None is not counted.
    set_aside : str
        Why the clutch stays out of counts of size, loss and defects (a spike of heat); empty where it counts.
    """

    id: str
    dam: str | None = None
    sires: tuple[Candidate, ...] = ()
    laid: PartialDate | None = None
    eggs: int | None = None
    slugs: int | None = None
    hatched: PartialDate | None = None
    set_aside: str = ""


@dataclass(frozen=True, slots=True)
class Egg:
    """One egg of a clutch.

    Parameters
    ----------
    clutch : str
        Clutch id.
    egg : str
        Number or mark within the clutch.
    mass_g : float or None
        Mass in gram.
    outcome : EggOutcome
        What became of it.
    animal : str or None
        Id of the hatchling, or of the young that died in it.
    box : str
        Place it lies in, the largest first, as in ``incubator 1 / box 3``; may be empty.
    ended : PartialDate or None
        Day it came out or was lost.
    cause : str
        Why it was lost, as typed; may be empty.
    """

    clutch: str
    egg: str
    mass_g: float | None = None
    outcome: EggOutcome = EggOutcome.UNKNOWN
    animal: str | None = None
    box: str = ""
    ended: PartialDate | None = None
    cause: str = ""


class EggState(StrEnum):
    """How an egg was found when it was looked at."""

    VEINS = "veins"
    WEAK = "weak"
    NO_VEINS = "no veins"
    SLUG = "slug"
    LOST = "lost"
    PIPPED = "pipped"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class EggLook:
    """One look at an egg.

    Parameters
    ----------
    clutch, egg : str
        Clutch id, and number or mark within the clutch.
    date : PartialDate
        When.
    state : EggState
        How it was found.
    note : str
        Free text as typed.
    """

    clutch: str
    egg: str
    date: PartialDate
    state: EggState
    note: str = ""


@dataclass(frozen=True, slots=True)
class Temperature:
    """One reading of the warmth of a place.

    Parameters
    ----------
    place : str
        Place, the largest first, as in ``incubator 1 / box 3``.
    date : PartialDate
        Day, known to the day.
    celsius : float
        Reading in degrees Celsius.
    time : str
        Time of day, ``HH:MM``; may be empty.
    note : str
        Free text as typed.
    """

    place: str
    date: PartialDate
    celsius: float
    time: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """Anything else that happened to an animal on a day.

    Parameters
    ----------
    animal : str
        Animal id.
    date : PartialDate
        When.
    kind : str
        What ("meal", "shed", "ovulation", "ultrasound", "pre-lay shed", "moved", ...).
    value : float or None
        Number that belongs to it, in `unit`.
    unit : str
        Unit of `value`.
    note : str
        Free text as typed.
    until : PartialDate or None
        Last day, of what lasts (a loan, a quarantine).
    """

    animal: str
    date: PartialDate
    kind: str
    value: float | None = None
    unit: str = ""
    note: str = ""
    until: PartialDate | None = None


@dataclass(frozen=True, slots=True)
class GeneStatement:
    """What was seen, or is said, of one gene of an animal, beside its genes as typed.

    Parameters
    ----------
    animal : str
        Animal id.
    gene : str
        Key or trade name of an allele.
    kind : StatementKind
        Seen or claimed.
    none, one, two : float
        Probabilities of no, one and two copies, in [0, 1]; they sum to 1. Seen with `none` 1: looked for and absent.
    by : str
        Who saw it or says so.
    ground : str
        On what ground; free text.
    date : PartialDate or None
        When; of two statements on one gene the later one counts.
    trust : float
        Probability, in [0, 1], that the statement may be relied on.
    """

    animal: str
    gene: str
    kind: StatementKind
    none: float
    one: float
    two: float
    by: str = ""
    ground: str = ""
    date: PartialDate | None = None
    trust: float = 1.0


@dataclass(frozen=True)
class Records:
    """All records of a collection before they are checked against each other.

    Parameters
    ----------
    animals, lines, measurements, matings, clutches, eggs, events, statements, origins : tuple
        Records in file order.
    egg_looks, temperatures, places, projects, planned_pairings, accepted : tuple
        Likewise.
    """

    animals: tuple[Animal, ...] = ()
    lines: tuple[LineClaim, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    matings: tuple[Mating, ...] = ()
    clutches: tuple[Clutch, ...] = ()
    eggs: tuple[Egg, ...] = ()
    events: tuple[Event, ...] = field(default=())
    statements: tuple[GeneStatement, ...] = ()
    origins: tuple[PlaceOfOrigin, ...] = ()
    egg_looks: tuple[EggLook, ...] = ()
    temperatures: tuple[Temperature, ...] = ()
    places: tuple[Place, ...] = ()
    projects: tuple[Project, ...] = ()
    planned_pairings: tuple[PlannedPairing, ...] = ()
    accepted: tuple[Accepted, ...] = ()
