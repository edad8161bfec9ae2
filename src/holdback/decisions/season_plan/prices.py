"""What each limit that binds costs: the plan made again with the limit looser by one.

Prices of the relaxation are not prices of a plan of whole pairs, so every one of them is a plan of its own.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from holdback.decisions.season_plan.columns import Columns, columns_of
from holdback.decisions.season_plan.limit_words import is_week, one_more, relaxed
from holdback.decisions.season_plan.limits import Limit, limits_of, stand
from holdback.decisions.season_plan.plan import Run, best_plan, fours, places_of
from holdback.decisions.season_plan.plan_input import IntArray, PlanInput
from holdback.decisions.season_plan.result import Price, SeasonPlan

_NOTHING = 0.005


def prices(
    inp: PlanInput,
    plan: SeasonPlan,
    *,
    gap: float = 1e-6,
    seconds: float = 30.0,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Price, ...]:
    """Worth of relaxing each limit that binds by one, the dearest first.

    Parameters
    ----------
    inp : PlanInput
        What the plan was made from.
    plan : SeasonPlan
        Its plan.
    gap : float
        As of `plan_season`.
    seconds : float
        Time for all of them; limits that it does not reach are left out.
    progress, cancelled : callable, optional
        Told the share that is done; asked whether to stop.

    Returns
    -------
    tuple of Price
        One for each limit looked at.
    """
    begin, columns = time.monotonic(), columns_of(inp)
    chosen = places_of(inp, columns, fours(inp, plan))
    assert chosen is not None, "the plan is of another input"
    binding = [one for one in limits_of(inp, columns) if _binds(one, columns, chosen)]
    found: list[tuple[Limit, float, bool]] = []
    for number, limit in enumerate(binding):
        left = seconds - (time.monotonic() - begin)
        if left <= 0 or (cancelled and cancelled()):
            break
        other = best_plan(relaxed(inp, limit), Run(gap, left, cancelled=cancelled), start=fours(inp, plan))
        found.append((limit, max(other.worth - plan.worth, 0.0), other.optimal and plan.optimal))
        if progress:
            progress((number + 1) / len(binding))
    found.sort(key=lambda one: -one[1])
    return tuple(
        Price(limit.key, one_more(inp, limit), gain, proven, _sentence(inp, found, place))
        for place, (limit, gain, proven) in enumerate(found)
    )


def _binds(limit: Limit, columns: Columns, chosen: IntArray) -> bool:
    """Whether a limit leaves no room for one clutch more, or is just reached from above."""
    stands = stand(limit, columns, chosen)
    if np.isfinite(limit.low):
        return stands <= limit.low + 1e-9
    if limit.kind == "male" and not np.isin(limit.males, columns.sire[chosen]).any():
        return False
    counted = limit.weights[limit.weights > 1e-9]
    unit = 1.0 if not len(counted) else float(counted.min() if is_week(limit) else np.median(counted))
    return stands + unit > limit.high + 1e-9


def _sentence(inp: PlanInput, found: list[tuple[Limit, float, bool]], place: int) -> str:
    limit, gain, _ = found[place]
    what = one_more(inp, limit)
    what = what[:1].upper() + what[1:]
    if gain < _NOTHING:
        return f"{what} would change nothing."
    if place + 1 < len(found) and found[place + 1][1] < gain - _NOTHING:
        return f"{what} would be worth {gain:.1f}: more than {one_more(inp, found[place + 1][0])}."
    return f"{what} would be worth {gain:.1f}."
