"""What choosing rests on and does not do itself: a search for a plan, and a rehearsal of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from holdback.decisions.goal import Goal, Target
from holdback.decisions.steps import Plan
from holdback.decisions.stock import FloatArray, Stock

Search = Callable[[Stock, Target, Goal], Plan | None]
"""Plan that leads from a stock to a target of a goal; None where there is no way."""

Play = Callable[[Stock, Plan, Goal, int], FloatArray]
"""Runs of a plan for so many animals of a goal: array of shape (runs, seasons), whether (or with what chance) the goal
has been hatched by each season. Equal run numbers meet with equal luck (common random numbers); a plan worked out
exactly gives one run."""


@dataclass(frozen=True, slots=True)
class Tools:
    """Search and rehearsal.

    Parameters
    ----------
    search : callable
        See `Search`.
    play : callable
        See `Play`.
    seasons : int
        Seasons that a rehearsal plays, and columns that it gives.
    """

    search: Search
    play: Play
    seasons: int = 13
