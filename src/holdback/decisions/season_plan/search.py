"""The best choice of crosses, proven or with its gap: relaxation, a start from the crosses near its optimum, the rest.

A cross whose reduced cost in the relaxation exceeds the distance from the start's worth to the bound is in no better
plan, and is left away; what remains is small enough to be searched whole. Tangents are added where the worths found lie
below the programme's, until both agree.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from holdback.decisions.season_plan.highs import Relaxation, Relaxed, solve_whole
from holdback.decisions.season_plan.plan_input import IntArray
from holdback.decisions.season_plan.programme import Programme

ROUNDS = 30
NEAR = 3
"""Crosses tried first, for each dam."""
TIES = 200


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

    def run(self, start: IntArray | None = None) -> Choice:
        """Best choice; `start` is one that keeps all limits, if one is known."""
        if start is not None:
            self._take(start)
        relaxed = self._relax()
        if relaxed is None:
            return self._whole(None)
        self._bound = relaxed.bound
        self._near(relaxed)
        return self._whole(relaxed)

    @property
    def _left(self) -> float:
        return self._seconds - (time.monotonic() - self._begin)

    def _stopped(self) -> bool:
        return self._left <= 0 or (self._cancelled is not None and self._cancelled())

    def _relax(self) -> Relaxed | None:
        """Relaxation with tangents where its optimum lies; None where it has none."""
        programme, relaxation = self._programme, Relaxation(self._programme)
        found = relaxation.solve(self._left)
        for _ in range(ROUNDS):
            if found is None or self._stopped():
                break
            last = found.bound
            new = programme.touch(found.values[programme.s : programme.t], found.values[programme.t : programme.g])
            new += programme.tie_to_males(found.values, TIES)
            if not new:
                break
            found = relaxation.solve(self._left) or found
            if last - found.bound < 0.01 * self._gap * abs(found.bound):
                break
        return found

    def _near(self, relaxed: Relaxed) -> None:
        """A start from the crosses that the relaxation holds best."""
        programme = self._programme
        order = np.argsort(np.abs(relaxed.reduced[: programme.u]), kind="stable")
        near = order[: NEAR * len(programme.dams) + 50]
        for _ in range(2):
            before = self._worth
            self._solve(near, 10 * self._gap, bounds=False)
            if self._stopped() or self._worth <= before:
                break

    def _whole(self, relaxed: Relaxed | None) -> Choice:
        """All crosses that may be in a better plan, until bound and worth agree."""
        programme = self._programme
        for _ in range(ROUNDS):
            if self._done() or self._stopped():
                break
            kept = np.arange(programme.u)
            if relaxed is not None and self._best is not None:
                kept = np.flatnonzero(np.abs(relaxed.reduced[: programme.u]) <= relaxed.bound - self._worth + 1e-9)
            if self._solve(kept, 0.3 * self._gap, bounds=True):
                return Choice(None, -np.inf, -np.inf, infeasible=True)
            if self._progress:
                self._progress(min(1.0, 1 - self._left / self._seconds))
        return Choice(self._best, self._worth, max(self._bound, self._worth))

    def _done(self) -> bool:
        return self._bound - self._worth <= self._gap * max(abs(self._worth), 1e-9)

    def _solve(self, crosses: IntArray, gap: float, *, bounds: bool) -> bool:
        """One run on some of the crosses; True where it proves that no plan keeps the limits."""
        programme = self._programme
        if self._best is not None:
            crosses = np.union1d(crosses, self._best)
        kept = np.concatenate([np.sort(crosses), np.arange(programme.u, programme.n)])
        scale = abs(self._bound) if np.isfinite(self._bound) else 1.0
        found = solve_whole(
            programme, kept, seconds=self._left, gap=gap * scale, start=self._values, cancelled=self._cancelled
        )
        if found.infeasible:
            return bounds and self._best is None
        if bounds:
            self._bound = min(self._bound, max(found.bound, self._worth))
        if found.values is not None:
            self._take(np.flatnonzero(found.values[: programme.u] > 0.5))
        return False

    def _take(self, chosen: IntArray) -> None:
        """Keep a choice where it is the best, and lay tangents at it."""
        programme = self._programme
        sums, bets = programme.crosses.totals(chosen)
        programme.touch(sums, bets)
        worth = programme.crosses.worth(chosen)
        if worth > self._worth:
            self._best, self._worth = chosen, worth
            self._values = programme.values_of(chosen)
