"""Mates for one animal, the best first, with the reasons.

Pairs are ranked by the chance that the goal is there by the season wished for, through this clutch or, if it brings
none, through the best young of it and that young's best mate at hand. Of the young one kind is looked at, and counted
as the poorest that would do, so the chance is a little low. Further generations are not looked at: a route over several
is what `holdback.decisions.route` finds; pairs that are equal come in the order of such a plan, then of the copies that
their young carry.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Sex
from holdback.decisions.barring import Barring
from holdback.decisions.goal import Goal, Target
from holdback.decisions.mate_words import hidden_words, reasons
from holdback.decisions.next_generation import NextStep
from holdback.decisions.offspring import missed
from holdback.decisions.pair_judgement import Judge, Judged
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock
from holdback.decisions.wanting import targets_of
from holdback.decisions.welfare import PairWelfare
from holdback.errors import DecisionError, Fault
from holdback.heredity.crosses.result import Caution
from holdback.species.catalogue import Catalogue

LOOK_AHEAD = 6
"""Seasons looked ahead where a goal names no year: a daughter's first clutch and two more tries. Assumed."""

_Z90 = 1.6448536269514722


@dataclass(frozen=True)
class Mate:
    """One possible mate.

    Parameters
    ----------
    mate, sire, dam : str
        Ids.
    target : int
        Number of the target that it serves best, of those given.
    score : float
        Chance that the target is there by the season wished for, through this clutch or the best young of it.
    at_least_one : Estimate
        Chance in percent of at least one target in this season, that she may not lay counted in. The range is over
        what the two may carry.
    per_hatchling : float
        Chance that one living young is the target.
    possible : float
        Chance that the pair can give it at all.
    inbreeding : float
        Inbreeding coefficient of the young.
    share : float
        Expected share of the target's line in the young; nan where no line is asked.
    size : Estimate or None
        Adult mass of the young in percent above or below the ordinary, as far as it is inherited; None where nothing
        is known of a parent.
    hidden : tuple of str
        What cannot be seen on the young, a sentence each.
    next : NextStep or None
        Best young to keep if the target does not come, and what for.
    reasons : tuple of str
        Sentences, the weightiest first.
    cautions : tuple of Caution
        What has to be said of the pair, what bars it first.
    blocked : str
        The one reason for which the pair cannot be made; empty where it can.
    step : int or None
        Step of the plan that the pair makes, where one was given.
    """

    mate: str
    sire: str
    dam: str
    target: int
    score: float
    at_least_one: Estimate
    per_hatchling: float
    possible: float
    inbreeding: float
    share: float
    size: Estimate | None
    hidden: tuple[str, ...]
    next: NextStep | None
    reasons: tuple[str, ...]
    cautions: tuple[Caution, ...]
    blocked: str = ""
    step: int | None = None


def mates(
    stock: Stock,
    animal: str,
    targets: Sequence[Target],
    goal: Goal,
    catalogue: Catalogue,
    *,
    season: int = 0,
    plan: Plan | None = None,
    welfare: PairWelfare | None = None,
) -> tuple[Mate, ...]:
    """Every animal of the other sex as a mate.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    animal : str
        Id of the animal to be paired.
    targets : sequence of Target
        What is wanted, as `targets_of` gives it; each mate is judged by the one that it serves best.
    goal : Goal
        Its limits.
    catalogue : Catalogue
        Species.
    season : int
        Season of the pairing, counted from `Stock.year`.
    plan : Plan, optional
        Plan for the goal; pairs that make a step of it say which.
    welfare : PairWelfare, optional
        Of the same stock, to be kept over many calls.

    Returns
    -------
    tuple of Mate
        The best first, those that cannot be paired last.

    Raises
    ------
    DecisionError
        DEC-020 if the animal is not at hand, DEC-021 if the season is past or lies after the one wished for.
    """
    welfare = welfare or PairWelfare(stock, catalogue)
    best = judged_mates(stock, animal, targets, goal, catalogue, season=season, welfare=welfare)
    by = last_season(stock, goal, season)
    return tuple(
        _mate(
            stock,
            judged.dam if animal == judged.sire else judged.sire,
            judged,
            targets[judged.target],
            cautions=welfare.of_pair(judged.sire, judged.dam),
            by=by,
            plan=plan,
        )
        for judged in sorted(best, key=lambda one: _order(one, plan))
    )


def judged_mates(
    stock: Stock,
    animal: str,
    targets: Sequence[Target],
    goal: Goal,
    catalogue: Catalogue,
    *,
    season: int,
    welfare: PairWelfare,
) -> tuple[Judged, ...]:
    """Every pair of an animal by the target that it serves best, in the order of the stock.

    Parameters
    ----------
    stock, animal, targets, goal, catalogue, season, welfare
        As in `mates`.

    Raises
    ------
    DecisionError
        As in `mates`.
    """
    _check(stock, animal, goal, season)
    barring = Barring(stock, goal, welfare, season)
    by = last_season(stock, goal, season)
    judges = [Judge(stock, target, catalogue, season=season, by=by, barring=barring) for target in targets]
    found = []
    for mate in _others(stock, animal):
        sire, dam = _sides(stock, animal, mate)
        judged = [judge.of(sire, dam, number) for number, judge in enumerate(judges)]
        found.append(max(judged, key=lambda one: (one.score, one.progress)))
    return tuple(found)


def last_season(stock: Stock, goal: Goal, season: int) -> int:
    """Last season in which a goal counts: the one that it names, or `LOOK_AHEAD` after the pairing."""
    return goal.by - stock.year if goal.by else season + LOOK_AHEAD


def mates_for_wish(
    stock: Stock,
    animal: str,
    want: str,
    catalogue: Catalogue,
    *,
    inbreeding_at_most: float = 0.125,
    season: int = 0,
) -> tuple[Mate, ...]:
    """Mates for a plain wish in trade shorthand, without a project.

    Parameters
    ----------
    stock, animal, catalogue, season
        As in `mates`.
    want : str
        "Clown Enchi".
    inbreeding_at_most : float
        Largest inbreeding coefficient of the young.

    Raises
    ------
    DecisionError
        As in `mates` and `targets_of`.
    """
    goal = Goal(name=want, want=want, inbreeding_at_most=inbreeding_at_most)
    return mates(stock, animal, targets_of(goal, catalogue), goal, catalogue, season=season)


def _order(judged: Judged, plan: Plan | None) -> tuple[bool, float, bool, float, float]:
    """Place in the list: those that can be made, by score; of equals steps of the plan, then what young carry."""
    is_step = _step_of(plan, judged) is not None
    return bool(judged.blocked), -round(judged.score, 9), not is_step, -round(judged.progress, 9), judged.inbreeding


def _check(stock: Stock, animal: str, goal: Goal, season: int) -> None:
    if animal not in stock.animals or stock.sexes[stock.index(animal)] is Sex.UNKNOWN:
        what = f"{stock.names.get(animal, animal)} is not among the males and females that can be paired."
        raise DecisionError(Fault("DEC-020", what, "Name a male or a female that is at hand.", animal=animal))
    if season < 0:
        what = f"{stock.year + season} is past: the first season here is {stock.year}."
        raise DecisionError(Fault("DEC-021", what, f"Give {stock.year} or later.", field="season"))
    if goal.by and stock.year + season > goal.by:
        what = f"{stock.year + season} is after {goal.by}, by which the goal is wanted."
        raise DecisionError(Fault("DEC-021", what, "Take an earlier season, or a later year.", field="season"))


def _others(stock: Stock, animal: str) -> tuple[str, ...]:
    sex = stock.sexes[stock.index(animal)]
    return tuple(stock.animals[place] for place in stock.of_sex(Sex.FEMALE if sex is Sex.MALE else Sex.MALE))


def _sides(stock: Stock, animal: str, mate: str) -> tuple[str, str]:
    return (animal, mate) if stock.sexes[stock.index(animal)] is Sex.MALE else (mate, animal)


def _mate(
    stock: Stock,
    mate: str,
    judged: Judged,
    target: Target,
    *,
    cautions: tuple[Caution, ...],
    by: int,
    plan: Plan | None,
) -> Mate:
    return Mate(
        mate=mate,
        sire=judged.sire,
        dam=judged.dam,
        target=judged.target,
        score=judged.score,
        at_least_one=_at_least_one(stock, judged),
        per_hatchling=judged.law.per_hatchling,
        possible=judged.law.possible,
        inbreeding=judged.inbreeding,
        share=judged.share,
        size=_size(stock, judged),
        hidden=hidden_words(judged.looks, target),
        next=judged.next,
        reasons=reasons(stock, judged, target, by_year=stock.year + by),
        cautions=cautions,
        blocked=judged.blocked,
        step=_step_of(plan, judged),
    )


def _at_least_one(stock: Stock, judged: Judged) -> Estimate:
    """Chance of this season in percent, with its range over what the two may carry."""
    place = stock.index(judged.dam)
    states = sorted(judged.law.states, key=lambda state: state.male + state.female)
    q = np.array([state.male + state.female for state in states])
    chances = 1.0 - missed(q, stock.young[place], float(stock.lays[place]))
    ends = np.searchsorted(np.cumsum([state.weight for state in states]), (0.05, 0.95))
    low, high = (float(chances[min(int(end), len(states) - 1)]) for end in ends)
    mean = max(judged.this_season, 0.0)  # rounding may leave it under 0
    return Estimate(
        mean=100.0 * mean,
        low=100.0 * max(min(low, mean), 0.0),
        high=100.0 * max(high, mean) if mean > 0.0 else 0.0,
        unit="%",
        basis=Basis.BY_DESCENT,
        ground="What both carry by all records, her chance of laying and her usual clutch; range over what they carry.",
    )


def _size(stock: Stock, judged: Judged) -> Estimate | None:
    places = [stock.index(judged.sire), stock.index(judged.dam)]
    mean = float(stock.size_mean[places].mean())
    if math.isnan(mean):
        return None
    variance = float((stock.size_sd[places] ** 2).sum()) / 4 + stock.breeding.additive_sd**2 / 2
    spread = _Z90 * math.sqrt(variance)
    low, middle, high = (100.0 * math.expm1(mean + turn * spread) for turn in (-1.0, 0.0, 1.0))
    return Estimate(
        middle, low, high, "%", Basis.BY_DESCENT, "Breeding values of both parents; young of a pair differ."
    )


def _step_of(plan: Plan | None, judged: Judged) -> int | None:
    """Step of a plan that a pair makes."""
    for step in plan.steps if plan else ():
        if judged.sire in step.sire.animals and judged.dam in step.dam.animals:
            return step.number
    return None
