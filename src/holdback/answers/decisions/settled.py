"""Whether last year's plan stands: a new one takes its place only if it gains enough, or the old one cannot be made.

Planning anew after every clutch gains nothing and costs a keeper their bearings. The two plans are rehearsed on the
same luck; the new one is taken where it gains a season or five points by the year wished for (assumed; the species
file's ``plan_threshold_seasons`` and ``plan_threshold_points``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from holdback.decisions.steps import Plan, Side, Step
from holdback.decisions.stock import NEVER, Stock

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions

RUNS = 2_500


@dataclass(frozen=True, eq=False)
class Settled:
    """The plan that holds, and what became of the one kept before.

    Parameters
    ----------
    plan : Plan
        The plan that holds now.
    is_kept : bool
        Whether it is the one that was kept.
    gain_points, gain_points_se : float
        Chance by the year wished for of the new plan less that of the kept one, in points of 100, and its standard
        error; 0 where the kept one cannot be made any more.
    gain_seasons, gain_seasons_se : float
        Seasons that the new plan is sooner.
    why : tuple of str
        Sentences: what changed, and why the plan stays or goes.
    """

    plan: Plan
    is_kept: bool
    gain_points: float
    gain_points_se: float
    gain_seasons: float
    gain_seasons_se: float
    why: tuple[str, ...]


def settled(decisions: Decisions, key: str, kept: Plan, kept_year: int) -> Settled:
    """Whether a kept plan stands.

    Parameters
    ----------
    decisions : Decisions
        Goals and plans as they are now.
    key : str
        Key of the project.
    kept : Plan
        As it was told.
    kept_year : int
        Year of its season 0.

    Raises
    ------
    DecisionError
        As the route raises.
    """
    new, stock = decisions.route(key), decisions.stock_for(key)
    old = moved(kept, stock.year - kept_year)
    against = tuple(_against(stock, old, new))
    changes = tuple(_changes(stock, old, new))
    if against:
        return Settled(new, False, 0.0, 0.0, 0.0, 0.0, (*against, *changes))
    if not changes:
        return Settled(new, True, 0.0, 0.0, 0.0, 0.0, ("The plan is that of before.",))
    points, points_se, seasons, seasons_se = _gains(decisions, key, stock, old, new)
    least = decisions.catalogue.decisions
    is_new = points >= least["plan_threshold_points"].value or seasons >= least["plan_threshold_seasons"].value
    sooner = "sooner" if seasons > 0 else "later"
    gain = f"{points:+.0f} points by the year you wish for, {abs(seasons):.1f} seasons {sooner}"
    if is_new:
        return Settled(
            new, False, points, points_se, seasons, seasons_se, (f"A new plan gains enough: {gain}.", *changes)
        )
    said = f"Last plan kept: a new one would bring {gain}, too little to change course for."
    return Settled(old, True, points, points_se, seasons, seasons_se, (said,))


def moved(plan: Plan, seasons: int) -> Plan:
    """The same plan with the seasons counted from a later year."""
    return replace(
        plan,
        steps=tuple(replace(step, first_season=max(step.first_season - seasons, 0)) for step in plan.steps),
        by_season=plan.by_season[seasons:] or plan.by_season[-1:],
        seasons=max(plan.seasons - seasons, 0.0),
    )


def _gains(decisions: Decisions, key: str, stock: Stock, old: Plan, new: Plan) -> tuple[float, float, float, float]:
    """What the new plan gains over the old one on the same luck: points and seasons, each with its error."""
    from holdback.decisions.rehearsal import compare

    goal = decisions.goals[key]
    found = compare(
        [stock],
        [old, new],
        goal=goal,
        catalogue=decisions.catalogue,
        runs=RUNS,
        seasons=decisions.seasons_played(key),
        ordinary_g=decisions.ordinary_g(),
    ).differences[0]
    return (
        100 * found.by_wished.mean,
        100 * found.by_wished.se,
        -found.seasons.mean,
        found.seasons.se,
    )


def _against(stock: Stock, old: Plan, new: Plan) -> Iterator[str]:
    """Why the kept plan cannot be made any more."""
    if old.target != new.target:
        yield "The goal is another than that of the plan kept before."
        return
    for animal in dict.fromkeys(one for step in old.steps for side in _sides(step) for one in side.animals):
        name = stock.names.get(animal, animal)
        if animal not in stock.animals:
            yield f"{name} is no longer among the animals at hand."
        elif int(stock.ready[stock.index(animal)]) >= NEVER:
            yield f"{name} will not breed: {stock.why_not.get(animal, '')}".rstrip(": ")


def _changes(stock: Stock, old: Plan, new: Plan) -> Iterator[str]:
    """Crosses that one of the two plans has and the other has not."""
    before, now = ({_cross(step) for step in plan.steps} for plan in (old, new))
    for cross in sorted(before - now):
        yield f"Before: {_told(stock, cross)}."
    for cross in sorted(now - before):
        yield f"Now: {_told(stock, cross)}."


def _sides(step: Step) -> tuple[Side, Side]:
    return step.sire, step.dam


_Cross = tuple[tuple[str, int], tuple[str, int]]
"""Sire and dam: an id and -1, or an empty id and the number of the step that breeds it."""


def _cross(step: Step) -> _Cross:
    """What stands on the two sides of a step."""
    sire, dam = (
        (side.animals[0], -1) if side.animals else ("", -1 if side.step is None else side.step) for side in _sides(step)
    )
    return sire, dam


def _told(stock: Stock, cross: _Cross) -> str:
    return " with ".join(
        stock.names.get(animal, animal) if animal else f"the young of step {step + 1}" for animal, step in cross
    )
