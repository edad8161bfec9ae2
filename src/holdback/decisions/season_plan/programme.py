"""The plan as a mixed integer programme, concave worths held from above by tangents that are added on demand.

Columns: x of each cross, u of each dam (whether she is paired), y of each male (whether he is used; only where that
counts), S of each part (its sum of lambda), t and g of each bet (lambda if he carries, and what that counts), w
(worth of a part; parts that count only together share one). Every solution bounds the true worth from above, and
touches it where the tangents do.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.decisions.season_plan.columns import SURE, Columns, bet_slope, bet_weight
from holdback.decisions.season_plan.limits import Limit
from holdback.decisions.season_plan.plan_input import FloatArray, IntArray

FIRST_TANGENTS = (0.0, 0.35, 0.8, 1.5, 2.5, 4.0, 7.0)
"""Sums of lambda at which every worth has a tangent from the start."""


@dataclass(frozen=True, eq=False)
class Row:
    """One row: low <= values at `columns` <= high."""

    columns: IntArray
    values: FloatArray
    low: float
    high: float


class Programme:
    """Columns and rows of one input; rows are only ever added.

    Parameters
    ----------
    columns : Columns
        Crosses.
    limits : sequence of Limit
        Limits.
    """

    def __init__(self, columns: Columns, limits: Sequence[Limit]) -> None:
        self.crosses, self.limits = columns, limits
        bets = len(columns.bet_chance)
        self.dams, self._dam_place = np.unique(columns.dam, return_inverse=True)
        self.males = _males_that_count(columns, limits)
        self._worth_of = _worth_columns(columns)
        n_worths = int(self._worth_of.max(initial=-1)) + 1
        sizes = [columns.n, len(self.dams), len(self.males), columns.n_parts, bets, bets, n_worths]
        self.u, self.y, self.s, self.t, self.g, self.w, self.n = np.cumsum(sizes).tolist()
        self.cost = np.zeros(self.n)
        self.cost[self.u : self.y] = -columns.dam_cost[self.dams]
        self.cost[self.y : self.s] = -columns.sire_cost[self.males]
        self.cost[self.w :] = 1.0
        self.lower, self.upper = np.zeros(self.n), np.ones(self.n)
        self.lower[self.u : self.y] = np.isin(self.dams, columns.dam[columns.fixed])
        self.upper[: self.u] = np.inf  # The rows of the dams hold them to 1, so that reduced costs tell all.
        self.upper[self.s :] = np.inf
        self.integer = np.zeros(self.n, dtype=bool)
        self.integer[: self.u] = True
        self.integer[self.y : self.s] = True
        self.rows: list[Row] = [*self._dam_rows(), *self._sum_rows(), *map(self._limit_row, limits)]
        self.n_sure = len(self.rows)
        self._at: set[tuple[int, int]] = set()
        for at in FIRST_TANGENTS:
            self.touch(np.full(columns.n_parts, at), np.full(bets, at))

    def with_males(self, lower: FloatArray, upper: FloatArray) -> Programme:
        """The same programme, rows shared, with bounds on the use of each of `males`."""
        other = copy.copy(self)
        other.lower, other.upper = self.lower.copy(), self.upper.copy()
        other.lower[self.y : self.s], other.upper[self.y : self.s] = lower, upper
        return other

    def touch(self, sums: FloatArray, bets: FloatArray) -> int:
        """Number of tangents added at sums of lambda of the parts and of the bets, those that were there left out."""
        before = len(self.rows)
        for part, at in enumerate(np.minimum(sums, SURE).tolist()):
            if self._is_new(part, at):
                self.rows.append(self._part_tangent(part, at))
        for bet, at in enumerate(np.minimum(bets, SURE).tolist()):
            if self._is_new(self.crosses.n_parts + bet, at):
                self.rows.append(self._bet_tangent(bet, at))
        return len(self.rows) - before

    def values_of(self, chosen: IntArray) -> FloatArray:
        """Values of all columns at a choice of crosses."""
        crosses, values = self.crosses, np.zeros(self.n)
        values[chosen] = 1.0
        values[self.u + self._dam_place[chosen]] = 1.0
        values[self.y : self.s] = np.isin(self.males, crosses.sire[chosen])
        sums, bets = crosses.totals(chosen)
        values[self.s : self.t], values[self.t : self.g] = sums, bets
        values[self.g : self.w] = bet_weight(bets, crosses.bet_chance)
        each = -crosses.part_worth * np.expm1(-sums)
        worths = np.full(self.n - self.w, np.inf)
        np.minimum.at(worths, self._worth_of, each)
        values[self.w :] = worths
        return values

    def tie_to_males(self, values: FloatArray, most: int) -> int:
        """Number of rows x <= y added, those that a solution breaks most, `most` at the most."""
        if not len(self.males):
            return 0
        place = np.full(int(self.crosses.sire.max(initial=0)) + 1, -1)
        place[self.males] = np.arange(len(self.males))
        counted = np.flatnonzero(place[self.crosses.sire] >= 0)
        pair = place[self.crosses.sire[counted]] * len(self.dams) + self._dam_place[counted]
        used = np.bincount(pair, values[counted], minlength=len(self.males) * len(self.dams))
        over = used - np.repeat(values[self.y : self.s], len(self.dams))
        worst = np.argsort(-over)[:most]
        worst = worst[over[worst] > 1e-3]
        for one in worst.tolist():
            its = counted[pair == one]
            columns = np.append(its, self.y + one // len(self.dams))
            self.rows.append(Row(columns, np.append(np.ones(len(its)), -1.0), -np.inf, 0.0))
        return len(worst)

    def _is_new(self, what: int, at: float) -> bool:
        key = (what, round(at * 1e5))
        if key in self._at:
            return False
        self._at.add(key)
        return True

    def _part_tangent(self, part: int, at: float) -> Row:
        """W <= V (1 - exp(-a)) + V exp(-a) (S - a), divided by V where that helps the scale."""
        worth, slope = float(self.crosses.part_worth[part]), math.exp(-at)
        columns = np.array([self.w + int(self._worth_of[part]), self.s + part])
        return Row(columns, np.array([1.0, -worth * slope]), -np.inf, worth * (1 - slope * (1 + at)))

    def _bet_tangent(self, bet: int, at: float) -> Row:
        """G <= f(a) + f'(a) (t - a), f being `bet_weight`."""
        point, chance = np.array([at]), self.crosses.bet_chance[[bet]]
        slope = float(bet_slope(point, chance)[0])
        columns = np.array([self.g + bet, self.t + bet])
        return Row(columns, np.array([1.0, -slope]), -np.inf, float(bet_weight(point, chance)[0]) - slope * at)

    def _dam_rows(self) -> list[Row]:
        """Crosses of a dam = whether she is paired."""
        order = np.argsort(self._dam_place, kind="stable")
        groups = np.split(order, np.cumsum(np.bincount(self._dam_place, minlength=len(self.dams)))[:-1])
        return [
            Row(np.append(hers, self.u + place), np.append(np.ones(len(hers)), -1.0), 0.0, 0.0)
            for place, hers in enumerate(groups)
            if len(hers)
        ]

    def _sum_rows(self) -> list[Row]:
        """S of a part = lambda of its certain crosses + g of its bets; t of a bet = lambda of its crosses."""
        one, rows = self.crosses, []
        for part in range(one.n_parts):
            its = np.flatnonzero((one.part == part) & (one.bet < 0))
            bets = np.flatnonzero(one.bet_part == part)
            columns = np.concatenate([its, self.g + bets, [self.s + part]])
            rows.append(Row(columns, np.concatenate([one.log_weight[its], np.ones(len(bets)), [-1.0]]), 0.0, 0.0))
        for bet in range(len(one.bet_chance)):
            its = np.flatnonzero(one.bet == bet)
            rows.append(Row(np.append(its, self.t + bet), np.append(one.log_weight[its], -1.0), 0.0, 0.0))
        return rows

    def _limit_row(self, limit: Limit) -> Row:
        place = {male: self.y + at for at, male in enumerate(self.males.tolist())}
        males = [place[male] for male in limit.males.tolist() if male in place]
        high = limit.high
        if limit.kind == "male" and not males:
            # His use counts nowhere, so that he may as well be used.
            high -= limit.male_weight
        columns = np.concatenate([limit.columns, np.array(males, dtype=np.int64)])
        return Row(columns, np.append(limit.weights, np.full(len(males), limit.male_weight)), limit.low, high)


def _males_that_count(columns: Columns, limits: Sequence[Limit]) -> IntArray:
    """Males whose use costs something or counts for a reserve."""
    used = np.unique(columns.sire)
    kept = {male for limit in limits if limit.kind != "male" for male in limit.males.tolist()}
    return np.array([one for one in used.tolist() if columns.sire_cost[one] > 0 or one in kept], dtype=np.int64)


def _worth_columns(columns: Columns) -> IntArray:
    """Number of the worth of each part: parts that count only together share one."""
    owner = np.where(columns.together[columns.part_project], columns.part_project, -1 - np.arange(columns.n_parts))
    return np.unique(owner, return_inverse=True)[1].astype(np.int64)
