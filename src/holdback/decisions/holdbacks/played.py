"""Search and rehearsal as they are: routes from the animals at hand, played forward on common luck.

The way without any hatchling is looked for among all animals. With hatchlings the search is among them, the animals
that this way names and the best few of each sex at hand: a full search for each of many sets would take too long. A
way found so can be walked, so a set is never made out better than it is, though another might do more for it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, field, replace

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, Target
from holdback.decisions.holdbacks.meeting import brings, sides
from holdback.decisions.holdbacks.tools import Tools
from holdback.decisions.rehearsal import rehearse
from holdback.decisions.route import Watch, Wishes, best_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import FloatArray, GenesAtHand, Stock
from holdback.errors import DecisionError
from holdback.species.catalogue import Catalogue

RUNS = 2000
"""Rehearsals of a plan: a chance is then known to about one in a hundred, a difference on equal luck to less."""
SEASONS = 13
BEST_OF_EACH_SEX = 8
"""Animals at hand among which a way with hatchlings is looked for, beside those that the way without them names."""
_HOLD_BACK = 3
"""Most young of one kind that a route holds back of a clutch."""
_BEYOND = 2
"""Seasons beyond the wished one in which a way with hatchlings may end."""
_NO_WAY = frozenset({"DEC-050", "DEC-051", "DEC-052"})
"""What a search says that finds nothing."""

Pairs = Collection[tuple[str, str]]


def played(
    catalogue: Catalogue,
    hatchlings: Collection[str],
    *,
    runs: int = RUNS,
    seasons: int = SEASONS,
    seed: int = 0,
    banned: Callable[[Goal], Pairs] | None = None,
    ordinary_g: float = float("nan"),
    cancelled: Callable[[], bool] | None = None,
) -> Tools:
    """Search by route, and rehearsal.

    Parameters
    ----------
    catalogue : Catalogue
        Species, for sex linkage and genes of which young die.
    hatchlings : collection of str
        Ids of those to choose from.
    runs : int
        Rehearsals of a plan.
    seasons : int
        Seasons played at most.
    seed : int
        What luck is hashed from; the same for all plans.
    banned : callable, optional
        Sires and dams that must not be paired for a goal.
    ordinary_g : float
        Adult mass in gram that a breeding value of 0 stands for; a wish for a band of sizes is not followed without it.
    cancelled : callable, optional
        Asked whether to stop.
    """
    routes = _Routes(frozenset(hatchlings), seasons, banned or (lambda goal: ()), cancelled)
    done: dict[tuple[Plan, Goal, int, int], tuple[GenesAtHand, FloatArray]] = {}

    def play(stock: Stock, plan: Plan, goal: Goal, number: int) -> FloatArray:
        # A rehearsal uses no animals but those that the plan names, so the plan tells what it is played with.
        key = (plan, goal, number, id(stock.genes))
        if key not in done:
            found = rehearse(
                stock,
                plan,
                goal=replace(goal, number=number),
                catalogue=catalogue,
                runs=runs,
                seasons=seasons,
                seed=seed,
                ordinary_g=ordinary_g,
                cancelled=cancelled,
            )
            done[key] = stock.genes, (found.season_of_run[:, None] <= np.arange(seasons)).astype(np.float64)
        return done[key][1]

    return Tools(routes.search, play, seasons)


@dataclass
class _Routes:
    """Routes with and without hatchlings.

    Parameters
    ----------
    hatchlings : frozenset of str
        Ids.
    seasons : int
        Seasons looked at.
    banned : callable
        Pairs that must not be made for a goal.
    cancelled : callable or None
        Whether to stop.
    """

    hatchlings: frozenset[str]
    seasons: int
    banned: Callable[[Goal], Pairs]
    cancelled: Callable[[], bool] | None
    _without: dict[tuple[Target, Goal], tuple[Plan | None, frozenset[str]]] = field(default_factory=dict)

    def search(self, stock: Stock, target: Target, goal: Goal) -> Plan | None:
        """Way to a target; among all animals, and once only, where no hatchling is there."""
        here = self.hatchlings & set(stock.animals)
        known = self._without.get((target, goal))
        if not here:
            return (known or self._learned(stock, target, goal))[0]
        if known is None:
            return self._found(stock, target, goal, is_short=False)
        used = known[1] | here
        few = stock.without([one for one in stock.animals if one not in used])
        return self._found(few, target, goal, is_short=True)

    def _learned(self, stock: Stock, target: Target, goal: Goal) -> tuple[Plan | None, frozenset[str]]:
        """Way without hatchlings, and the animals among which one with them is looked for."""
        plan = self._found(stock, target, goal, is_short=False)
        named = {animal for side, _ in sides(plan) for animal in side.animals} if plan else set()
        made = {one for cross in stock.under_way for one in (cross.dam, *(sire for sire, _ in cross.sires))}
        found = plan, frozenset(named | made | set(best_at_hand(stock, target)))
        self._without[target, goal] = found
        return found

    def _found(self, stock: Stock, target: Target, goal: Goal, *, is_short: bool) -> Plan | None:
        last = self.seasons - 1
        by = min(max(goal.by - stock.year, 0), last) if goal.by else None
        if is_short and by is not None:
            last, by = min(last, by + _BEYOND), None
        held = min(_HOLD_BACK, goal.budget.tubs or _HOLD_BACK)
        wishes = Wishes(last, goal.inbreeding_at_most, held, banned=self.banned(goal), by=by)
        try:
            return best_route(stock, target, wishes, watch=Watch(None, self.cancelled))
        except DecisionError as error:
            if {fault.code for fault in error.faults} <= _NO_WAY:
                return None
            raise


def best_at_hand(stock: Stock, target: Target, n: int = BEST_OF_EACH_SEX) -> tuple[str, ...]:
    """Animals of each sex that bring most of a target: copies of its genes to be expected, and its share of the line.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted.
    n : int
        Of each sex; of equals those that breed sooner.
    """
    found: list[str] = []
    for sex in (Sex.MALE, Sex.FEMALE):
        of_sex = [stock.animals[place] for place in stock.of_sex(sex)]
        found += sorted(
            of_sex, key=lambda one: (-round(brings(stock, one, target), 9), int(stock.ready[stock.index(one)]), one)
        )[:n]
    return tuple(found)
