"""Routes side by side: what a limit of inbreeding and a share of the line cost in seasons."""

from __future__ import annotations

from dataclasses import replace

from holdback.decisions.goal import Target
from holdback.decisions.route.dead_ends import dead_end
from holdback.decisions.route.looking import Watch, Wishes, found_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock

LIMITS = (1.0, 0.125, 0.0625, 0.0)
"""Limits of inbreeding that are looked at: none, half sibs, cousins, no common ancestor on record."""
SHARES = (-0.125, 0.0, 0.125)
"""Shares of the line, beside the wished one."""
_ROUNDING = 1e-9


def routes(stock: Stock, target: Target, wishes: Wishes, *, watch: Watch | None = None) -> tuple[Plan, ...]:
    """Ways to a goal of which none is better in all of: seasons, inbreeding, share, chance by the wished season.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted; where it asks for a share of a line, an eighth less and more are looked at too.
    wishes : Wishes
        How it is looked for; its own limit of inbreeding is one of those looked at.
    watch : Watch, optional
        Progress, and what ends the search early.

    Returns
    -------
    tuple of Plan
        The soonest first; `Plan.target` holds the share that each was made for. Empty where nothing leads there. With a
        wished season both the best by mean and the best by chance at it are among them, where they differ.
    """
    watch = watch or Watch()
    limits = sorted({*LIMITS, wishes.inbreeding_at_most}, reverse=True)
    asked = [
        (replace(target, share=share), replace(wishes, inbreeding_at_most=limit, by=by))
        for share in _shares(target)
        for limit in limits
        for by in dict.fromkeys((None, wishes.by))
    ]
    found: list[Plan] = []
    for number, (wanted, how) in enumerate(asked):
        if watch.stop():
            break
        part = watch.part(number, len(asked))
        if not dead_end(stock, wanted, inbreeding_at_most=how.inbreeding_at_most):
            plan, _ = found_route(stock, wanted, how, watch=part)
            if plan is not None:
                found.append(plan)
    watch.tell(1.0)
    return _front(found, wishes.by)


def _shares(target: Target) -> list[float]:
    if target.share <= 0:
        return [0.0]
    return [target.share + more for more in SHARES if 0 < target.share + more <= 1]


def _front(plans: list[Plan], by: int | None) -> tuple[Plan, ...]:
    """Plans that no other is at least as good as in everything."""
    kept: list[Plan] = []
    for plan in sorted(plans, key=lambda one: (one.seasons, one.largest_inbreeding, -one.share)):
        if not any(_is_no_worse(other, plan, by) for other in kept):
            kept = [other for other in kept if not _is_no_worse(plan, other, by)] + [plan]
    return tuple(kept)


def _is_no_worse(one: Plan, other: Plan, by: int | None) -> bool:
    chance = 0 if by is None or by >= len(one.by_season) else one.by_season[by] - other.by_season[by]
    return (
        one.seasons <= other.seasons + _ROUNDING
        and one.largest_inbreeding <= other.largest_inbreeding + _ROUNDING
        and one.share >= other.share - _ROUNDING
        and chance >= -_ROUNDING
    )
