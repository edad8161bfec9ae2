"""Plans as commands and the API give them: plain values, numbers unrounded."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from holdback.answers.season.as_json import estimate_as_json
from holdback.decisions.kind_words import kind_words
from holdback.decisions.steps import Plan, Side, Step

if TYPE_CHECKING:
    from holdback.decisions.mates import Mate
    from holdback.decisions.rehearsal import Rehearsal
    from holdback.decisions.season_plan import SeasonPlan
    from holdback.decisions.stock import Stock
    from holdback.heredity.crosses.result import Caution


def mates_as_json(animal: str, found: Sequence[Mate]) -> dict[str, Any]:
    """The keys of `holdback mates`."""
    return {"animal": animal, "mates": [_mate(one) for one in found]}


def _mate(one: Mate) -> dict[str, Any]:
    return {
        "mate": one.mate,
        "sire": one.sire,
        "dam": one.dam,
        "score": one.score,
        "at_least_one": one.at_least_one.mean / 100,
        "at_least_one_range": [one.at_least_one.low / 100, one.at_least_one.high / 100],
        "basis": str(one.at_least_one.basis),
        "per_hatchling": one.per_hatchling,
        "possible": one.possible,
        "inbreeding": one.inbreeding,
        "share": None if math.isnan(one.share) else one.share,
        "size_percent": estimate_as_json(one.size),
        "hidden": list(one.hidden),
        "next": None
        if one.next is None
        else {"mate": one.next.mate, "from_season": one.next.first_season, "chance": one.next.chance},
        "reasons": list(one.reasons),
        "cautions": [_caution(each) for each in one.cautions],
        "blocked": one.blocked,
    }


def route_as_json(stock: Stock, plan: Plan, rehearsal: Rehearsal) -> dict[str, Any]:
    """The keys of `holdback route`: the steps as searched, years, eggs and chance as rehearsed.

    ``years`` count from the first season, ``chance`` is by the season wished for.
    """
    eggs_a_clutch = stock.breeding.eggs.mean
    used = {use.number: use for use in rehearsal.steps}
    return {
        "year": stock.year,
        "steps": [
            {
                **_step(stock, plan, step),
                "eggs": used[step.number].clutches * eggs_a_clutch if step.number in used else None,
            }
            for step in plan.steps
        ],
        "years": _spread(rehearsal.seasons),
        "eggs": _spread(rehearsal.eggs),
        "chance": rehearsal.by_wished.mean,
        "chance_se": rehearsal.by_wished.se,
        "by": stock.year + rehearsal.wished,
        "inbreeding": plan.inbreeding,
        "largest_inbreeding": plan.largest_inbreeding,
        "share": plan.share,
        "is_best": plan.is_best,
        "searched": {"by_season": list(plan.by_season), "seasons": plan.seasons},
        "notes": list(plan.notes),
        "rehearsal": rehearsal.as_json(),
    }


def _step(stock: Stock, plan: Plan, step: Step) -> dict[str, Any]:
    return {
        "number": step.number,
        "year": stock.year + step.first_season,
        "sire": _side(step.sire, plan),
        "dam": _side(step.dam, plan),
        "keep": kind_words(step.keep, plan.target, is_bred=True),
        "count": step.count,
        "chance": step.per_season,
        "per_hatchling": step.per_hatchling,
        "is_goal": step.is_goal,
    }


def _side(side: Side, plan: Plan) -> dict[str, Any]:
    """Who stands on a side: ids of animals at hand, or the step that breeds it."""
    return {"animals": list(side.animals), "step": side.step, "kind": kind_words(side.kind, plan.target)}


def _spread(spread: Any) -> dict[str, float]:
    return {"mean": spread.mean, "low": spread.low, "high": spread.high, "se": spread.se}


def plan_as_json(year: int, plan: SeasonPlan) -> dict[str, Any]:
    """The keys of `holdback season plan`."""
    return {"season": year, **plan.as_json()}


def _caution(one: Caution) -> dict[str, str]:
    return {"code": one.code, "level": one.level, "message": one.message}
