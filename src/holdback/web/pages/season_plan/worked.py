"""Season plans as a page gets them: those that are there, else the job that works them out.

The ways to all goals come first, then the plan; where that is not proven best a longer search follows, and last what
each limit costs and the best plan that is truly different.
"""

from __future__ import annotations

import threading
import weakref
from dataclasses import dataclass
from typing import Any

from holdback.answers.decisions import Decisions
from holdback.decisions.season_plan import PlanInput, Price, SeasonPlan, next_best
from holdback.errors import DecisionError
from holdback.web.pages.decided import ALL, IN_REQUEST, Part, Tell, part_or_work, register
from holdback.web.pages.season_plan.asked import Asked
from holdback.web.pages.worked_out import Working

SEASON, PROOF, COSTS = "season plan", "season plan proof", "season plan costs"
"""Parts that a board asks for."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A season plan, what it was made from, and everything around it."""

    decisions: Decisions
    asked: Asked
    inp: PlanInput
    plan: SeasonPlan


@dataclass(frozen=True, slots=True)
class Costs:
    """What each limit that binds costs, the dearest first, and the best plan that is truly different.

    Parameters
    ----------
    prices : tuple of Price
        Empty where no limit binds.
    other : SeasonPlan or None
        The other plan.
    why_none : str
        Why there is none.
    """

    prices: tuple[Price, ...]
    other: SeasonPlan | None
    why_none: str = ""


_costs: weakref.WeakKeyDictionary[Decisions, dict[Asked, Costs]] = weakref.WeakKeyDictionary()
_lock = threading.Lock()


def planned(asked: Asked) -> Planned | Working:
    """The plan that is asked for, or the job that works it out.

    Raises
    ------
    DecisionError
        Where nothing can be planned: the sentence says which limit to relax.
    HoldbackError
        With all faults, if the records do not hold together.
    """
    everything = part_or_work(ALL)
    if isinstance(everything, Working):
        return everything
    found = part_or_work(SEASON, **asked.as_json())
    if isinstance(found, Working):
        return found
    plan = found.season_plan(asked.year, asked.wish)
    return Planned(found, asked, found.season_input(asked.year, asked.wish), plan)


def proof(found: Planned) -> Working | None:
    """The longer search for a plan that is not proven best; None where it is, or the search is over."""
    if found.plan.optimal:
        return None
    work = part_or_work(PROOF, **found.asked.as_json())
    return work if isinstance(work, Working) else None


def costs(asked: Asked) -> Costs | Working:
    """Prices and the other plan, or the job that works them out."""
    found = part_or_work(COSTS, **asked.as_json())
    return found if isinstance(found, Working) else _costs[found][asked.plain]


def _is_planned(plans: Decisions, given: dict[str, Any]) -> bool:
    asked = Asked.from_json(given)
    return plans.has_season_plan(asked.year, asked.wish)


def _plan(plans: Decisions, given: dict[str, Any], tell: Tell) -> None:
    asked = Asked.from_json(given)
    tell(0.0)
    try:
        plans.season_plan(asked.year, asked.wish)
    except DecisionError:
        return  # kept with the plans; the page tells it


def _is_pressed(plans: Decisions, given: dict[str, Any]) -> bool:
    asked = Asked.from_json(given)
    return plans.has_season_plan(asked.year, asked.wish, pressed=True)


def _press(plans: Decisions, given: dict[str, Any], tell: Tell) -> None:
    asked = Asked.from_json(given)
    plans.press_on(asked.year, asked.wish, progress=tell)


def _has_costs(plans: Decisions, given: dict[str, Any]) -> bool:
    with _lock:
        return Asked.from_json(given) in _costs.get(plans, {})


def _cost(plans: Decisions, given: dict[str, Any], tell: Tell) -> None:
    asked = Asked.from_json(given)
    inp, plan = plans.season_input(asked.year, asked.wish), plans.season_plan(asked.year, asked.wish)
    prices = plans.prices(asked.year, asked.wish, progress=lambda share: tell(0.7 * share))
    tell(0.7)
    other, why = None, ""
    try:
        other = next_best(inp, plan)
    except DecisionError as error:
        why = " ".join(f"{fault.what} {fault.hint}".strip() for fault in error.faults)
    with _lock:
        _costs.setdefault(plans, {})[asked] = Costs(prices, other, why)


def _few(plans: Decisions) -> bool:
    """Whether there is so little to plan with that it takes no time."""
    return len(plans.stock.animals) <= IN_REQUEST


register(SEASON, Part("The season plan", _is_planned, _plan, _few))
register(PROOF, Part("Whether another plan is better", _is_pressed, _press))
register(COSTS, Part("What each limit costs, and the next best plan", _has_costs, _cost, _few))
