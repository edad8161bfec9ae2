"""What a plan to carry a gene into a line says; frozen results for pages and commands."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from holdback.collection.estimate import Estimate
from holdback.collection.model import Sex
from holdback.decisions.goal import Target


class Handling(StrEnum):
    """How carriers are told from the others."""

    SEEN = "carriers show it"
    INTERCROSS = "young are put to each other in between, until some show it"
    TESTED = "possible carriers are tested, one generation after the other"


class Cross(StrEnum):
    """What a generation is made by."""

    FIRST = "first cross"
    BACK = "back to the line"
    TOGETHER = "carriers to each other"


@dataclass(frozen=True, slots=True)
class Generation:
    """One cross of the plan.

    Parameters
    ----------
    cross : Cross
        What it is.
    backcrosses : int
        Crosses back to the line so far.
    sire, dam : str
        Animal ids; empty for a young of the generation before.
    season : int
        First season in which it can be made, from 0.
    year : int
        Year in which its young hatch, if every cross before brought what was wanted in its first season.
    expected_year : float or None
        The same with the mean wait for every cross; None where a parent may carry nothing, as waiting may never end.
    share : Estimate
        Share of the line in the young, with the range of the true share.
    size : Estimate or None
        Adult mass of one young against an ordinary animal, in percent; None where breeding values are missing.
    inbreeding : float
        Inbreeding coefficient of the young.
    per_hatchling : float
        Chance that a young is what is kept: it carries, and is of the wanted sex.
    young_95, young_99 : int
        Young needed for one that is kept, with 95 and 99 %; of possible carriers, for as many as are to be tested.
    eggs_95 : float
        Eggs for `young_95`.
    chance : float
        Chance that the first season brings it.
    keep : int
        Young to hold back.
    said : str
        What to do, in sentences.
    """

    cross: Cross
    backcrosses: int
    sire: str
    dam: str
    season: int
    year: int
    expected_year: float | None
    share: Estimate
    size: Estimate | None
    inbreeding: float
    per_hatchling: float
    young_95: int
    young_99: int
    eggs_95: float
    chance: float
    keep: int
    said: str


@dataclass(frozen=True, slots=True)
class BackcrossWay:
    """One way to carry the gene into the line.

    Parameters
    ----------
    through : Sex
        Sex of the young that go back to the line.
    handling : Handling
        How carriers are told.
    generations : tuple of Generation
        All that were looked at, in order.
    stop : int
        Place in `generations` after which going back is no longer worth its years.
    last : Generation or None
        Cross of two carriers after that, where two copies are wanted.
    notes : tuple of str
        Sentences: what each further cross would add, inbreeding, age of animals.
    """

    through: Sex
    handling: Handling
    generations: tuple[Generation, ...]
    stop: int
    last: Generation | None
    notes: tuple[str, ...] = field(default=())

    @property
    def goal(self) -> Generation:
        """The generation that the plan ends with."""
        return self.last or self.generations[self.stop]

    @property
    def made(self) -> tuple[Generation, ...]:
        """The generations that the plan makes, in order."""
        return self.generations[: self.stop + 1] + ((self.last,) if self.last else ())

    @property
    def eggs_95(self) -> float:
        """Eggs in all, each cross with 95 %."""
        return sum(one.eggs_95 for one in self.made)


@dataclass(frozen=True, slots=True)
class BackcrossPlan:
    """How to carry genes into a line.

    Parameters
    ----------
    target : Target
        What is wanted.
    line : str
        Line.
    donor : str
        Animal that brings the genes.
    donor_carries : float
        Chance that it carries them all.
    sources : tuple of str
        Animals of the line, none akin to another.
    ways : tuple of BackcrossWay
        The one proposed first.
    notes : tuple of str
        Sentences that hold for all ways.
    """

    target: Target
    line: str
    donor: str
    donor_carries: float
    sources: tuple[str, ...]
    ways: tuple[BackcrossWay, ...]
    notes: tuple[str, ...]
