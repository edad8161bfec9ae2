"""Where no plan keeps all limits: the smallest change that lets one stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.decisions.season_plan.highs import solve_whole
from holdback.decisions.season_plan.limit_words import broken, one_more
from holdback.decisions.season_plan.limits import Limit
from holdback.decisions.season_plan.plan_input import FloatArray, PlanInput
from holdback.decisions.season_plan.programme import Programme, Row
from holdback.errors import Fault

_SECONDS = 5.0
_LOCK = 3.0
"""Releasing a fixed pair counts as much as three clutches."""


@dataclass(eq=False)
class _Elastic:
    """The programme with a slack for every limit and every fixed dam; worth does not count."""

    cost: FloatArray
    lower: FloatArray
    upper: FloatArray
    integer: np.ndarray
    rows: list[Row]
    n: int


def smallest_change(inp: PlanInput, programme: Programme) -> Fault:
    """Fault DEC-035 with the limits to relax, as few as will do."""
    elastic, limits = _elastic(programme)
    found = solve_whole(elastic, np.arange(elastic.n), seconds=_SECONDS, gap=1e-6)
    if found.values is None:
        return Fault("DEC-035", "No plan keeps all limits.", "Release the fixed pairs, or relax a limit.")
    slack = found.values[programme.n :]
    told = [(limit, float(by)) for limit, by in zip(limits, slack[: len(limits)].tolist(), strict=True) if by > 1e-6]
    loose = [inp.females[int(dam)] for dam in programme.dams[slack[len(limits) :] > 0.5]]
    what = " ".join(
        [
            *(broken(inp, limit, by) for limit, by in told),
            *(f"The fixed pair of {inp.name(dam)} does not fit." for dam in loose),
        ]
    )
    hints = [*(_amount(inp, limit, by) for limit, by in told), *(f"{inp.name(dam)} released" for dam in loose)]
    nearest = f"No plan keeps all limits. The one that comes nearest: {what}"
    return Fault("DEC-035", nearest, f"What would do: {'; '.join(hints)}.")


def _amount(inp: PlanInput, limit: Limit, by: float) -> str:
    words = one_more(inp, limit)
    return words if by < 1.5 else f"{words} ({by:.0f} times)"


def _elastic(programme: Programme) -> tuple[_Elastic, Sequence[Limit]]:
    limits = programme.limits
    n_limits, n_dams = len(limits), len(programme.dams)
    n = programme.n + n_limits + n_dams
    rows: list[Row] = []
    first = programme.n_sure - n_limits
    rows.extend(programme.rows[:n_dams])
    for place, (row, limit) in enumerate(zip(programme.rows[first : programme.n_sure], limits, strict=True)):
        sign = 1.0 if np.isfinite(limit.low) else -1.0
        rows.append(Row(np.append(row.columns, programme.n + place), np.append(row.values, sign), row.low, row.high))
    fixed = programme.lower[programme.u : programme.y]
    for dam in np.flatnonzero(fixed > 0).tolist():
        columns = np.array([programme.u + dam, programme.n + n_limits + dam])
        rows.append(Row(columns, np.ones(2), 1.0, np.inf))
    for place, male in enumerate(programme.males.tolist()):
        # A male with slack on his cap is used all the same.
        his = np.flatnonzero(programme.crosses.sire == male)
        columns = np.append(his, programme.y + place)
        rows.append(Row(columns, np.append(np.ones(len(his)), -float(n_dams)), -np.inf, 0.0))
    cost = np.zeros(n)
    cost[programme.n :] = np.concatenate([[-1 / _unit(limit) for limit in limits], np.full(n_dams, -_LOCK)])
    lower, upper = np.zeros(n), np.ones(n)
    upper[programme.s : programme.n + n_limits] = np.inf
    integer = np.zeros(n, dtype=bool)
    integer[: programme.n] = programme.integer
    integer[programme.n + n_limits :] = True
    return _Elastic(cost, lower, upper, integer, rows, n), limits


def _unit(limit: Limit) -> float:
    """What one clutch counts in a limit."""
    return float(limit.weights.mean()) if len(limit.weights) and limit.weights.any() else 1.0
