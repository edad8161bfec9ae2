"""What a rehearsal says; frozen results that pages and commands read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.decisions.rehearsal.failing import Failure

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

FAN = (0.05, 0.25, 0.5, 0.75, 0.95)
"""Quantiles of a fan: the middle, half of all runs, nine in ten."""


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean over runs with its standard error."""

    mean: float
    se: float

    def as_json(self) -> dict[str, float]:
        """As JSON."""
        return {"mean": self.mean, "se": self.se}


@dataclass(frozen=True, slots=True)
class Spread:
    """Something that differs from run to run.

    Parameters
    ----------
    mean, se : float
        Mean and its standard error.
    low, middle, high : float
        Quantiles at 5, 50 and 95 in 100.
    """

    mean: float
    se: float
    low: float
    middle: float
    high: float

    @classmethod
    def of(cls, values: npt.NDArray[np.generic]) -> Spread | None:
        """Spread of values that are not nan; None where there are none."""
        known = values[~np.isnan(values)] if values.dtype.kind == "f" else values
        if not len(known):
            return None
        low, middle, high = np.quantile(known, (0.05, 0.5, 0.95)).tolist()
        found = np.asarray(known, np.float64)
        return cls(float(found.mean()), _se(found), low, middle, high)

    def as_json(self) -> dict[str, float]:
        """As JSON."""
        names = ("mean", "se", "low", "middle", "high")
        return {name: getattr(self, name) for name in names}


@dataclass(frozen=True, slots=True)
class StepUse:
    """What one step of the plan came to.

    Parameters
    ----------
    number : int
        Of the step.
    tried : float
        Part of the runs in which it was tried at all.
    pairings, clutches, kept : float
        Mean number in a run: females put to a male, clutches, young held back for it.
    """

    number: int
    tried: float
    pairings: float
    clutches: float
    kept: float

    def as_json(self) -> dict[str, float]:
        """As JSON."""
        return {name: getattr(self, name) for name in ("number", "tried", "pairings", "clutches", "kept")}


@dataclass(frozen=True, eq=False)
class Season:
    """What one season takes, over all runs, those that are done counting nothing.

    Parameters
    ----------
    year : int
        Of hatching.
    eggs, clutches, tubs : float
        Means; tubs hold young held back that are not grown.
    tubs_high : float
        Tubs that suffice in 95 of 100 runs.
    """

    year: int
    eggs: float
    clutches: float
    tubs: float
    tubs_high: float

    def as_json(self) -> dict[str, float]:
        """As JSON."""
        return {name: getattr(self, name) for name in ("year", "eggs", "clutches", "tubs", "tubs_high")}


@dataclass(frozen=True, eq=False)
class Rehearsal:
    """A plan played forward many times.

    Parameters
    ----------
    runs, seed : int
        Number of runs, and what their luck is hashed from.
    year : int
        Year of season 0.
    wished : int
        Season by which the goal is wished.
    reached_by_season : tuple of Mean
        Part of the runs that have come to the goal by each season.
    fan : float array, shape (number of seasons, 5)
        Goal animals hatched up to each season: quantiles at 5, 25, 50, 75 and 95 in 100.
    seasons : Spread
        Season of the goal; runs that did not come to it count as the number of seasons played.
    eggs, clutches, kept : Spread
        Used until the goal or the end: eggs, clutches, young held back.
    money : Spread or None
        The same in the keeper's currency; None without prices.
    share, true_share : Spread or None
        Of goal animals: expected share of the line, and share by segments of chromosomes; None without a line.
    size : Spread or None
        Breeding value of ln(adult mass / ordinary) of goal animals; None where nothing is known of size.
    inbreeding : Spread or None
        Inbreeding coefficient of goal animals; None where no run came to one.
    failures : mapping of Failure to float
        Part of all runs that had not come to the goal by the season wished, by what they lacked; the largest first.
    steps : tuple of StepUse
        What each step came to, in the order of the plan.
    history : tuple of Season
        Use by season.
    season_of_run : int array, shape (runs,)
        Season of the goal of each run, the number of seasons where it was not reached.
    notes : tuple of str
        What the numbers rest on, in sentences.
    """

    runs: int
    seed: int
    year: int
    wished: int
    reached_by_season: tuple[Mean, ...]
    fan: FloatArray
    seasons: Spread
    eggs: Spread
    clutches: Spread
    kept: Spread
    money: Spread | None
    share: Spread | None
    true_share: Spread | None
    size: Spread | None
    inbreeding: Spread | None
    failures: Mapping[Failure, float]
    steps: tuple[StepUse, ...]
    history: tuple[Season, ...]
    season_of_run: IntArray = field(repr=False)
    notes: tuple[str, ...] = ()

    @property
    def by_wished(self) -> Mean:
        """Chance of the goal by the season wished."""
        return self.reached_by_season[self.wished]

    @property
    def by_year(self) -> dict[int, Mean]:
        """Chance of the goal by each year."""
        return {self.year + season: one for season, one in enumerate(self.reached_by_season)}

    def as_json(self) -> dict[str, object]:
        """As JSON."""
        spreads = ("seasons", "eggs", "clutches", "kept", "money", "share", "true_share", "size", "inbreeding")
        found: dict[str, object] = {
            "runs": self.runs,
            "seed": self.seed,
            "by": self.year + self.wished,
            "reached_by_year": {str(year): one.as_json() for year, one in self.by_year.items()},
            "goal_animals_by_year": {str(self.year + season): row for season, row in enumerate(self.fan.tolist())},
        }
        for name in spreads:
            spread: Spread | None = getattr(self, name)
            found[name] = None if spread is None else spread.as_json()
        found["failures"] = {reason.value: part for reason, part in self.failures.items()}
        found["steps"] = [step.as_json() for step in self.steps]
        found["history"] = [season.as_json() for season in self.history]
        found["notes"] = list(self.notes)
        return found


@dataclass(frozen=True, eq=False)
class Difference:
    """One plan against the first, run by run with the same luck.

    Parameters
    ----------
    by_wished : Mean
        Chance of the goal by the season wished, minus that of the first plan.
    seasons : Mean
        Season of the goal, minus that of the first plan; negative is sooner.
    """

    by_wished: Mean
    seasons: Mean

    def as_json(self) -> dict[str, object]:
        """As JSON."""
        return {"by_wished": self.by_wished.as_json(), "seasons": self.seasons.as_json()}


@dataclass(frozen=True, eq=False)
class Comparison:
    """Several plans on the same luck.

    Parameters
    ----------
    rehearsals : tuple of Rehearsal
        One a plan.
    differences : tuple of Difference
        Of each plan but the first from the first.
    """

    rehearsals: tuple[Rehearsal, ...]
    differences: tuple[Difference, ...]

    def as_json(self) -> dict[str, object]:
        """As JSON."""
        return {
            "rehearsals": [one.as_json() for one in self.rehearsals],
            "differences": [one.as_json() for one in self.differences],
        }


def mean_of(values: npt.NDArray[np.generic]) -> Mean:
    """Mean with its standard error."""
    found = np.asarray(values, np.float64)
    return Mean(float(found.mean()), _se(found))


def share_reached(values: npt.NDArray[np.bool_]) -> Mean:
    """Part that is true with its standard error, which is never 0 for want of one case (Agresti and Coull 1998).

    References
    ----------
    Agresti and Coull (1998), Approximate is better than "exact" for interval estimation of binomial proportions: two
    cases of either kind are added for the error, from memory.
    """
    n = len(values)
    kept = (float(values.sum()) + 2.0) / (n + 4.0)
    return Mean(float(values.mean()), float(np.sqrt(kept * (1.0 - kept) / (n + 4.0))))


def _se(values: FloatArray) -> float:
    return float(values.std(ddof=1) / np.sqrt(len(values))) if len(values) > 1 else float("nan")
