"""Search and rehearsal as they are: routes from the animals at hand, played forward on common luck."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from holdback.decisions.goal import Goal, Target
from holdback.decisions.holdbacks.tools import Tools
from holdback.decisions.rehearsal.rehearse import rehearse
from holdback.decisions.route import Watch, Wishes, best_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import FloatArray, Stock
from holdback.errors import DecisionError
from holdback.species.catalogue import Catalogue

RUNS = 2000
"""Rehearsals of a plan: a chance is then known to about one in a hundred, a difference on equal luck to less."""
SEASONS = 13
_NO_WAY = frozenset({"DEC-050", "DEC-051", "DEC-052"})
"""What a search says that finds nothing."""


def played(
    catalogue: Catalogue,
    *,
    runs: int = RUNS,
    seasons: int = SEASONS,
    seed: int = 0,
    hold_back: int = 2,
    seconds: float | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Tools:
    """Search by route and rehearsal.

    Parameters
    ----------
    catalogue : Catalogue
        Species, for sex linkage and genes of which young die.
    runs : int
        Rehearsals of a plan.
    seasons : int
        Seasons played at most.
    seed : int
        What luck is hashed from; the same for all plans.
    hold_back : int
        Most young of one kind that a route holds back of a clutch.
    seconds : float, optional
        Longest time for a search.
    cancelled : callable, optional
        Asked whether to stop.
    """

    def search(stock: Stock, target: Target, goal: Goal) -> Plan | None:
        by = min(max(goal.by - stock.year, 0), seasons - 1) if goal.by else None
        wishes = Wishes(seasons - 1, goal.inbreeding_at_most, hold_back, by=by)
        try:
            return best_route(stock, target, wishes, watch=Watch(None, cancelled, seconds))
        except DecisionError as error:
            if {fault.code for fault in error.faults} <= _NO_WAY:
                return None
            raise

    def play(stock: Stock, plan: Plan, goal: Goal, number: int) -> FloatArray:
        wanted = replace(goal, number=number)
        found = rehearse(
            stock, plan, goal=wanted, catalogue=catalogue, runs=runs, seasons=seasons, seed=seed, cancelled=cancelled
        )
        return (found.season_of_run[:, None] <= np.arange(seasons)).astype(np.float64)

    return Tools(search, play, seasons)
