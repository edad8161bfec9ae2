"""How plans are to be rehearsed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypedDict

from holdback.decisions.goal import Budget, Goal, SizeAim, SizeWish
from holdback.decisions.rehearsal.laying_out import Rules
from holdback.decisions.rehearsal.setting import Costs, Limits
from holdback.decisions.stock import Stock
from holdback.descent.genome import GenomeMap
from holdback.errors import DecisionError, Fault
from holdback.species.catalogue import Catalogue


class Options(TypedDict, total=False):
    """What may be said of a rehearsal by name; see `Manner` for what each means and stands at."""

    goal: Goal | None
    catalogue: Catalogue | None
    runs: int
    seasons: int
    seed: int
    inbreeding_at_most: float | None
    size: SizeWish | None
    ordinary_g: float
    tubs: int | None
    budget: Budget | None
    costs: Costs | None
    stop_at_error: float | None
    workers: int
    cluster: str
    genome: GenomeMap | None
    progress: Callable[[float], None] | None
    cancelled: Callable[[], bool] | None


@dataclass(frozen=True, slots=True)
class Manner:
    """How plans are to be rehearsed.

    Parameters
    ----------
    goal : Goal, optional
        Number wanted, year wished, limits, size; what is given beside it goes before it.
    catalogue : Catalogue, optional
        For sex linkage and genes of which young die; without it there is neither.
    runs : int
        Runs; rounded up to whole blocks of 250.
    seasons : int
        Seasons played at most.
    seed : int
        What luck is hashed from.
    inbreeding_at_most : float, optional
        Largest inbreeding coefficient of any young.
    size : SizeWish, optional
        Of several young that will do the bigger, or the nearest to the band, is held back.
    ordinary_g : float
        Adult mass in gram that a breeding value of 0 stands for; a band is not followed without it.
    tubs : int, optional
        Young held back and not grown, at one time.
    budget : Budget, optional
        Eggs and money in all; a season that begins within it is played to its end.
    costs : Costs, optional
        Prices; without them no money is told.
    stop_at_error : float, optional
        Stop when the standard error of the chance by the season wished, of a comparison that of every difference, is at
        most this.
    workers : int
        Processes.
    cluster : str
        Address of the scheduler of a cluster; then `workers` is not used.
    genome : GenomeMap, optional
        Follow the segments of the line too.
    progress : callable, optional
        Told the share of the runs that is done.
    cancelled : callable, optional
        Asked between parts whether to stop.
    """

    goal: Goal | None = None
    catalogue: Catalogue | None = None
    runs: int = 10_000
    seasons: int = 12
    seed: int = 0
    inbreeding_at_most: float | None = None
    size: SizeWish | None = None
    ordinary_g: float = float("nan")
    tubs: int | None = None
    budget: Budget | None = None
    costs: Costs | None = None
    stop_at_error: float | None = None
    workers: int = 1
    cluster: str = ""
    genome: GenomeMap | None = None
    progress: Callable[[float], None] | None = None
    cancelled: Callable[[], bool] | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be played."""
        for name, value in (("runs", self.runs), ("seasons", self.seasons), ("workers", self.workers)):
            if value < 1:
                what = f"A rehearsal with {name} {value} plays nothing."
                raise DecisionError(Fault("DEC-074", what, f"Give {name} of at least 1.", field=name, value=str(value)))
        if self.seed < 0:
            what = f"{self.seed} is no seed: luck is drawn from a whole number from 0 on."
            raise DecisionError(Fault("DEC-074", what, "Give 0 or more.", field="seed", value=str(self.seed)))

    def rules(self, stock: Stock) -> Rules:
        """Rules of play, what nobody gave taken from the goal."""
        goal = self.goal
        budget = self.budget or (goal.budget if goal else Budget())
        tubs = self.tubs if self.tubs is not None else budget.tubs
        inbreeding = self.inbreeding_at_most
        if inbreeding is None:
            inbreeding = goal.inbreeding_at_most if goal else 1.0
        return Rules(
            seasons=self.seasons,
            wished=max(0, goal.by - stock.year) if goal and goal.by else self.seasons - 1,
            number=goal.number if goal else 1,
            limits=Limits(inbreeding, _or_none(tubs), _or_none(budget.eggs), _or_none(budget.money)),
            costs=self.costs or Costs(),
            size=self.size or (goal.size if goal else SizeWish()),
            ordinary_g=self.ordinary_g,
        )

    def notes(self, stock: Stock) -> tuple[str, ...]:
        """What the numbers rest on, in sentences."""
        lives = stock.breeding
        found = [
            "Played with the chances of laying, hatching and living that are given for the stock; each run draws what "
            "the animals at hand truly carry.",
        ]
        if lives.young_lives >= 1.0 and lives.adult_lives >= 1.0:
            found.append("No deaths of animals kept are counted.")
        size = self.rules(stock).size
        if size.aim is not SizeAim.NONE and lives.additive_sd <= 0.0:
            found.append("The wish for size is not followed: nothing is known of how it is passed on.")
        elif size.aim is not SizeAim.NONE:
            found.append("Young are chosen as if their own size could be seen when they are held back.")
        if self.catalogue is None:
            found.append("Sex linkage and genes of which young die are not counted.")
        return tuple(found)


def _or_none(limit: float | None) -> float:
    return float("inf") if limit is None else float(limit)
