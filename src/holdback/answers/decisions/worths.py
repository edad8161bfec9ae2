"""What a step of a plan is worth this season, in eggs of any pairing.

A plan that starts a year later reaches its goal a year later: what a season's try is worth is what that year would
cost. With F(s) the rehearsed chance that the goal has been hatched by season s, W the worth of the goal and Y that of
having it a year sooner, and H the season wished for, a year lost costs W (F(H) - F(H - 1)) + Y. A step that succeeds
with chance p this season is worth that over p if it succeeds. The goal through a pair of this season is worth W for
the runs that would miss it if everything began a year later, and the year's Y.
"""

from __future__ import annotations

from collections.abc import Sequence

from holdback.decisions.goal import Goal
from holdback.decisions.steps import Step

HORIZON = 12
"""Seasons looked at where a goal names no year."""


def worth_of_goal(goal: Goal, by_season: Sequence[float], year: int, horizon: int = HORIZON) -> float:
    """Worth of the goal by the year wished for, through a pair that is made this season.

    Parameters
    ----------
    goal : Goal
        Its worths and its year.
    by_season : sequence of float
        Chance of it by each season from 0, however it comes.
    year : int
        Year of season 0.
    horizon : int
        Seasons looked at where the goal names no year.
    """
    return goal.worth_eggs * (1 - _by(by_season, _last(goal, year, horizon) - 1)) + goal.year_worth_eggs


def worth_of_step(goal: Goal, by_season: Sequence[float], step: Step, year: int, horizon: int = HORIZON) -> float:
    """Worth of what a step keeps, if it is had this season and not a year later; never more than the goal's."""
    last = _last(goal, year, horizon)
    year_lost = goal.worth_eggs * (_by(by_season, last) - _by(by_season, last - 1)) + goal.year_worth_eggs
    return float(min(year_lost / max(step.per_season, 0.05), goal.worth_eggs + horizon * goal.year_worth_eggs))


def _last(goal: Goal, year: int, horizon: int) -> int:
    """Season wished for; a goal that is late already is wanted as soon as may be."""
    return max(goal.by - year, 1) if goal.by else horizon


def _by(by_season: Sequence[float], season: int) -> float:
    if season < 0 or not by_season:
        return 0.0
    return float(by_season[min(season, len(by_season) - 1)])
