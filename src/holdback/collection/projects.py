"""What the keeper works towards: projects, pairings planned for a season, cautions spoken for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from holdback.errors import Fault

if TYPE_CHECKING:
    from holdback.collection.model import PartialDate, Records
    from holdback.collection.places import Places

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Years that a season can have, as in dates."""


class SizeAim(StrEnum):
    """What is wanted of adult size."""

    NONE = "no wish"
    BIGGER = "the bigger the better"
    BAND = "between two weights"


class ProjectState(StrEnum):
    """How a project stands."""

    OPEN = "open"
    REACHED = "reached"
    GIVEN_UP = "given up"


class PairingState(StrEnum):
    """How a planned pairing stands; that it was made is told by the matings."""

    PLANNED = "planned"
    LOCKED = "locked"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True)
class Project:
    """A goal with how it stands.

    Parameters
    ----------
    id : str
        Permanent id.
    name : str
        What it is called.
    want : str
        What an animal must show or carry, all of it, in trade shorthand; may be empty where `some_of` is not.
    some_of : tuple of str
        Genes in shorthand of which at least `some_least` must be there too.
    some_least : int
        See `some_of`.
    none_of : str
        Genes in shorthand that it must not carry.
    line : str
        Name of a founder line; empty for none.
    share_at_least : float
        Least expected share of the line, in [0, 1].
    size : SizeAim
        Which kind of wish there is for adult size.
    size_low_g, size_high_g : float or None
        Adult mass in gram that a band begins and ends with; None leaves that end open.
    number : int
        Animals wanted.
    by : int or None
        Last season, by the year of hatching, in which they should be there; None where nobody said.
    inbreeding_at_most : float
        Largest inbreeding coefficient of any young bred for it, in [0, 1]; 1 is no limit.
    eggs, tubs : int or None
        Eggs in all, and young held back at one time; None is no limit.
    money : float or None
        In the keeper's own currency, until the goal; None is no limit.
    worth_eggs, year_worth_eggs : float
        What reaching the goal, and having it a year sooner, is worth, in eggs of any pairing.
    animals : tuple of str
        Ids of animals kept for this project only.
    held_back : tuple of str
        Ids of young that are held back for it.
    least_pairings : int
        Pairings that it is to have in a season, where it can.
    since : PartialDate or None
        When it was begun.
    state : ProjectState
        Open, reached or given up.
    notes : str
        Free text as typed.
    """

    id: str
    name: str
    want: str = ""
    some_of: tuple[str, ...] = ()
    some_least: int = 0
    none_of: str = ""
    line: str = ""
    share_at_least: float = 0.0
    size: SizeAim = SizeAim.NONE
    size_low_g: float | None = None
    size_high_g: float | None = None
    number: int = 1
    by: int | None = None
    inbreeding_at_most: float = 0.125
    eggs: int | None = None
    tubs: int | None = None
    money: float | None = None
    worth_eggs: float = 60.0
    year_worth_eggs: float = 10.0
    animals: tuple[str, ...] = ()
    held_back: tuple[str, ...] = ()
    least_pairings: int = 0
    since: PartialDate | None = None
    state: ProjectState = ProjectState.OPEN
    notes: str = ""


@dataclass(frozen=True, slots=True)
class PlannedPairing:
    """Two animals that are to be put together in a season.

    Parameters
    ----------
    year : int
        Season, by the year of laying.
    dam, sire : str
        Animal ids.
    project : str or None
        Id of the project that it serves; None where it serves none.
    state : PairingState
        Planned, locked (a plan leaves it as it is) or dropped.
    note : str
        Free text as typed.
    """

    year: int
    dam: str
    sire: str
    project: str | None = None
    state: PairingState = PairingState.PLANNED
    note: str = ""


@dataclass(frozen=True, slots=True)
class Accepted:
    """A caution that the keeper has spoken for, for one project.

    Parameters
    ----------
    project : str
        Id of the project.
    code : str
        Code of the caution, such as ``welfare-neurological:spider``, or of all of its kind.
    by : str
        Who spoke.
    date : PartialDate or None
        When.
    words : str
        What was said.
    """

    project: str
    code: str
    by: str = ""
    date: PartialDate | None = None
    words: str = ""


def project_faults(row: Project) -> Iterator[tuple[str, str, str, str]]:
    """Code, what, hint and column of everything wrong with one project by itself."""
    for name, text in (("share_at_least", "share"), ("inbreeding_at_most", "inbreeding coefficient")):
        value = getattr(row, name)
        if not 0 <= value <= 1 and math.isfinite(value):
            yield "COL-017", f"A {text} of {value:g} cannot be.", "Write 0 to 1: half is 0.5.", name
    for name in ("money", "worth_eggs", "year_worth_eggs"):
        value = getattr(row, name)
        if value is not None and value < 0 and math.isfinite(value):
            yield "COL-017", f"{value:g} cannot be.", "Write 0 or more.", name
    if row.by is not None and not FIRST_YEAR <= row.by <= LAST_YEAR:
        yield "COL-017", f"{row.by} is no season.", "Write the year in full, as in 2031.", "by"
    if row.number < 1:
        yield "COL-017", f"{row.number} animals cannot be wanted.", "Write 1 or more.", "number"
    if row.some_least > len(row.some_of):
        what = f"{row.some_least} of {len(row.some_of)} genes cannot be."
        yield "COL-017", what, "Name more genes in some_of, or ask for fewer.", "some_least"
    yield from _size_faults(row)


def _size_faults(row: Project) -> Iterator[tuple[str, str, str, str]]:
    """Faults of the wish for size."""
    low, high = row.size_low_g, row.size_high_g
    if row.size is not SizeAim.BAND and (low is not None or high is not None):
        hint = f"Write {SizeAim.BAND!s} as the size, or leave both weights empty."
        yield "COL-045", f"A weight is written, and the wish is: {row.size!s}.", hint, "size"
    elif row.size is SizeAim.BAND and low is None and high is None:
        yield "COL-045", "No weight is written for the band.", "Write the lower weight, the upper one or both.", "size"
    elif low is not None and high is not None and low > high:
        what = f"The band begins with {low:g} g and ends with {high:g} g."
        yield "COL-045", what, "Write the lower weight first.", "size_low_g"


def pairing_faults(row: PlannedPairing) -> Iterator[tuple[str, str, str, str]]:
    """Code, what, hint and column of everything wrong with one planned pairing by itself."""
    if not FIRST_YEAR <= row.year <= LAST_YEAR:
        yield "COL-017", f"{row.year} is no season.", "Write the year in full, as in 2027.", "year"
    if row.dam == row.sire:
        yield "COL-035", f"{row.dam} stands for both.", "Name two animals.", "sire"


def named_faults(records: Records, places: Places) -> Iterator[Fault]:
    """COL-032 for each animal that a project or a planned pairing names and that is not there.

    Parameters
    ----------
    records : Records
        All records.
    places : Places
        Where they came from.

    Notes
    -----
    Sexes are not compared here: a plan may be older than a finding of the sex, and whoever plans says so.
    """
    if not (records.projects or records.planned_pairings):
        return
    known = {animal.id: True for animal in records.animals}
    for index, project in enumerate(records.projects):
        for column in ("animals", "held_back"):
            yield from _strangers(getattr(project, column), column, ("projects", index), known, places)
    for index, pairing in enumerate(records.planned_pairings):
        yield from _strangers((pairing.dam,), "dam", ("planned_pairings", index), known, places)
        yield from _strangers((pairing.sire,), "sire", ("planned_pairings", index), known, places)


def _strangers(
    ids: tuple[str, ...], column: str, row: tuple[str, int], known: Mapping[str, bool], places: Places
) -> Iterator[Fault]:
    for one in ids:
        if one and one not in known:
            what, hint = f"{one} is not in animals.csv.", f"Add it there, or correct the {column}."
            yield places.fault("COL-032", what, hint, row=row, field=column, value=one, animal=one)
