"""The best choice of crosses, proven or with its gap: relaxation, a start from the crosses near its optimum, the rest.

A cross whose reduced cost in a relaxation exceeds the distance from the start's worth to the bound is in no better
plan, and is left away; what remains is small enough to be searched whole. Tangents are added where the worths found lie
below the programme's, until both agree. With many crosses it is first settled which males are used.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from holdback.decisions.season_plan.highs import OutOfTimeError, Relaxation, Relaxed, solve_whole
from holdback.decisions.season_plan.males_tree import MalesTree
from holdback.decisions.season_plan.plan_input import IntArray
from holdback.decisions.season_plan.programme import Programme

ROUNDS = 30
NEAR = 3
"""Crosses tried first, for each dam."""
TIES = 200
MANY = 2000
"""Crosses from which on it is first settled which males are used."""


@dataclass(frozen=True, eq=False)
class Choice:
    """Crosses chosen, their worth, and the bound; `chosen` is None where no choice was found."""

    chosen: IntArray | None
    worth: float
    bound: float
    infeasible: bool = False

    def gap(self) -> float:
        """Share of the worth that a better plan could gain at most."""
        return max(self.bound - self.worth, 0.0) / max(abs(self.worth), 1e-9)


class Search:
    """Search for the best choice.

    Parameters
    ----------
    programme : Programme
        What to choose from, and the limits.
    gap : float
        Relative gap at which the plan counts as proven.
    seconds : float
        Time it may take.
    progress, cancelled : callable, optional
        Told the share of the time used; asked whether to stop.
    """

    def __init__(
        self,
        programme: Programme,
        *,
        gap: float,
        seconds: float,
        progress: Callable[[float], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> None:
        self._programme, self._gap, self._seconds = programme, gap, seconds
        self._progress, self._cancelled = progress, cancelled
        self._begin = time.monotonic()
        self._best: IntArray | None = None
        self._worth, self._bound = -np.inf, np.inf
        self._values: np.ndarray | None = None
        self._infeasible = False

    def run(self, start: IntArray | None = None) -> Choice:
        """Best choice; `start` is one that keeps all limits, if one is known."""
        if start is not None:
            self._take(start)
        programme, relaxation = self._programme, Relaxation(self._programme)
        try:
            relaxed = self._relax(relaxation)
            if relaxed is None:
                self._infeasible = True
            elif programme.u > MANY and programme.s > programme.y:
                self._by_males(MalesTree(programme, relaxation, relaxed, self._time))
            else:
                self._start(programme, relaxed, 1e-3)
                self._all(relaxed)
        except OutOfTimeError:
            # What was found by now stands, and the bound of the last step that was done.
            pass
        if self._infeasible:
            return Choice(None, -np.inf, -np.inf, infeasible=True)
        return Choice(self._best, self._worth, max(self._bound, self._worth))

    @property
    def _left(self) -> float:
        return self._seconds - (time.monotonic() - self._begin)

    def _stopped(self) -> bool:
        if self._progress:
            self._progress(min(1.0, 1 - self._left / self._seconds))
        return self._left <= 0 or (self._cancelled is not None and self._cancelled())

    def _time(self) -> float:
        if self._stopped():
            raise OutOfTimeError
        return self._left

    def _enough(self) -> float:
        """Bound at which the best choice counts as proven, a little inside the gap for rounding."""
        return self._worth + 0.9 * self._gap * max(abs(self._worth), 1e-9)

    def _relax(self, relaxation: Relaxation) -> Relaxed | None:
        """Relaxation with tangents where its optimum lies; None where it has none."""
        programme = self._programme
        found = relaxation.solve(self._left)
        for _ in range(ROUNDS):
            if found is None or self._stopped():
                break
            new = programme.touch(found.values[programme.s : programme.t], found.values[programme.t : programme.g])
            new += programme.tie_to_males(found.values, TIES)
            if not new:
                break
            self._bound = last = found.bound
            found = relaxation.solve(self._left) or found
            if last - found.bound < 0.01 * self._gap * abs(found.bound):
                break
        if found is not None:
            self._bound = found.bound
        return found

    def _start(self, programme: Programme, relaxed: Relaxed, gap: float) -> None:
        """A choice from the crosses that a relaxation holds best."""
        order = np.argsort(np.abs(relaxed.reduced[: programme.u]), kind="stable")
        self._solve(programme, order[: NEAR * len(programme.dams) + 50], gap)

    def _by_males(self, tree: MalesTree) -> None:
        """Settle who is used, best bound first, and search each such branch."""
        first = tree.dive()
        settled = self._programme.with_males(first.lower, first.upper)
        self._start(settled, first.relaxed, 3e-5)
        tree.push(first)
        while not self._stopped():
            branch = tree.leaf(self._enough() if self._best is not None else -np.inf)
            if branch is None:
                self._bound = min(self._bound, self._enough())
                self._infeasible = self._best is None
                return
            self._bound = min(self._bound, max(branch.bound, self._worth))
            settled = self._programme.with_males(branch.lower, branch.upper)
            bound = self._solve(settled, self._kept(branch.relaxed), 0.3 * self._gap)
            if bound > self._enough():
                tree.push(replace(branch, bound=min(bound, branch.bound)))

    def _all(self, relaxed: Relaxed) -> None:
        """All crosses that may be in a better plan, until bound and worth agree."""
        for _ in range(ROUNDS):
            if self._bound <= self._enough() or self._stopped():
                return
            bound = self._solve(self._programme, self._kept(relaxed), 0.3 * self._gap)
            if bound == -np.inf and self._best is None:
                self._infeasible = True
                return
            self._bound = min(self._bound, max(bound, self._worth))

    def _kept(self, relaxed: Relaxed) -> IntArray:
        """Crosses that may be in a plan better than the best so far."""
        programme = self._programme
        if self._best is None:
            return np.arange(programme.u)
        return np.flatnonzero(np.abs(relaxed.reduced[: programme.u]) <= relaxed.bound - self._worth + 1e-9)

    def _solve(self, programme: Programme, crosses: IntArray, gap: float) -> float:
        """Bound of a run on some of the crosses, minus infinity where it has no plan; better choices are taken."""
        start, above = None, None
        if self._values is not None and self._best is not None:
            if _fits(programme, self._values):
                start, crosses = self._values, np.union1d(crosses, self._best)
            else:
                above = self._enough()
        kept = np.concatenate([np.sort(crosses), np.arange(programme.u, programme.n)])
        scale = abs(self._bound) if np.isfinite(self._bound) else 1.0
        found = solve_whole(
            programme, kept, seconds=self._left, gap=gap * scale, start=start, above=above, cancelled=self._cancelled
        )
        if found.values is not None:
            self._take(np.flatnonzero(found.values[: programme.u] > 0.5))
        return -np.inf if found.infeasible else found.bound

    def _take(self, chosen: IntArray) -> None:
        """Keep a choice where it is the best, and lay tangents at it."""
        programme = self._programme
        sums, bets = programme.crosses.totals(chosen)
        programme.touch(sums, bets)
        worth = programme.crosses.worth(chosen)
        if worth > self._worth:
            self._best, self._worth = chosen, worth
            self._values = programme.values_of(chosen)


def _fits(programme: Programme, values: np.ndarray) -> bool:
    """Whether a choice keeps the bounds on the use of males."""
    used = values[programme.y : programme.s]
    lower, upper = programme.lower[programme.y : programme.s], programme.upper[programme.y : programme.s]
    return bool(np.all((used >= lower - 1e-9) & (used <= upper + 1e-9)))
