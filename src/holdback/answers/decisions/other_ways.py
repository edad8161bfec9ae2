"""Other ways to the goal of a project: what more of a limit, or less of a wish, buys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.errors import DecisionError

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions
    from holdback.decisions.goal import Target
    from holdback.decisions.route import Relaxed, Watch
    from holdback.decisions.steps import Plan

_FRONT, _RELAXED = 0, 1


@dataclass(frozen=True, eq=False)
class OtherWays:
    """Ways beside the one that a project goes.

    Parameters
    ----------
    front : tuple of Plan
        Ways of which none is better in seasons, inbreeding and share together, the soonest first.
    relaxed : tuple of Relaxed
        The goal with one wish given up, the soonest first.
    """

    front: tuple[Plan, ...]
    relaxed: tuple[Relaxed, ...]


def other_ways(decisions: Decisions, key: str, *, watch: Watch | None = None) -> OtherWays:
    """Ways beside the one that a project goes; of a goal that leaves a choice, those to the choice that it goes to.

    Parameters
    ----------
    decisions : Decisions
        Stock and goals.
    key : str
        Key of the project.
    watch : Watch, optional
        Progress, and what ends the search early.

    Raises
    ------
    DecisionError
        If the goal cannot be read.
    """
    from holdback.decisions.route import Watch, relaxed, routes

    watch = watch or Watch()
    stock, wishes, target = decisions.stock_for(key), decisions.wishes(key), _target(decisions, key)
    front = routes(stock, target, wishes, watch=watch.part(_FRONT, 2))
    return OtherWays(front, relaxed(stock, target, wishes, watch=watch.part(_RELAXED, 2)))


def _target(decisions: Decisions, key: str) -> Target:
    try:
        return decisions.route(key).target
    except DecisionError:
        return decisions.targets(decisions.goals[key])[0]
