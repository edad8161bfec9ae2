"""Branching on which males are used: what it leaves open is far smaller than what the first relaxation does.

Fixed costs and males kept free are what the relaxation sees worst. Once it is settled who is used, its bound lies near
the best plan, and most crosses can be left away by their reduced costs.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from holdback.decisions.season_plan.highs import Relaxation, Relaxed
from holdback.decisions.season_plan.plan_input import FloatArray
from holdback.decisions.season_plan.programme import Programme

_WHOLE = 1e-6


@dataclass(frozen=True, eq=False)
class Branch:
    """Bounds on the use of each male, and the relaxation under them."""

    lower: FloatArray
    upper: FloatArray
    relaxed: Relaxed
    bound: float

    def split(self, programme: Programme) -> int | None:
        """The male that is most halfway used; None where all are used or not."""
        use = self.relaxed.values[programme.y : programme.s]
        apart = np.minimum(use, 1 - use)
        return int(np.argmax(apart)) if len(apart) and apart.max() > _WHOLE else None


class MalesTree:
    """Open branches, the best bound first.

    Parameters
    ----------
    programme : Programme
        Programme.
    relaxation : Relaxation
        Its relaxation, warm.
    root : Relaxed
        The relaxation's optimum.
    left : callable
        Seconds that are left; `OutOfTimeError` is raised where none are.
    """

    def __init__(self, programme: Programme, relaxation: Relaxation, root: Relaxed, left: Callable[[], float]) -> None:
        self._programme, self._relaxation, self._left = programme, relaxation, left
        self._open: list[tuple[float, int, Branch]] = []
        self._count = itertools.count()
        n = programme.s - programme.y
        self.push(Branch(np.zeros(n), np.ones(n), root, root.bound))

    @property
    def bound(self) -> float:
        """Bound over all open branches; minus infinity where none is left."""
        return -self._open[0][0] if self._open else -np.inf

    def push(self, branch: Branch) -> None:
        """Put a branch back, with what is known of it by now."""
        heapq.heappush(self._open, (-branch.bound, next(self._count), branch))

    def leaf(self, worth: float) -> Branch | None:
        """The settled branch with the best bound, taken out; None where no branch has a bound above `worth`."""
        while self._open and self.bound > worth:
            branch = heapq.heappop(self._open)[2]
            male = branch.split(self._programme)
            if male is None:
                return branch
            for use in (0.0, 1.0):
                child = self._child(branch, male, use)
                if child is not None and child.bound > worth:
                    self.push(child)
        return None

    def dive(self) -> Branch:
        """A settled branch reached by taking the better side each time; the other sides stay open."""
        branch = heapq.heappop(self._open)[2]
        while (male := branch.split(self._programme)) is not None:
            sides = [self._child(branch, male, use) for use in (0.0, 1.0)]
            found = sorted((one for one in sides if one is not None), key=lambda one: one.bound)
            if not found:
                break
            for other in found[:-1]:
                self.push(other)
            branch = found[-1]
        return branch

    def _child(self, branch: Branch, male: int, use: float) -> Branch | None:
        lower, upper = branch.lower.copy(), branch.upper.copy()
        lower[male] = upper[male] = use
        self._relaxation.bound_males(lower, upper)
        found, programme = self._relaxation.solve(self._left()), self._programme
        if found is None:
            return None
        if programme.touch(found.values[programme.s : programme.t], found.values[programme.t : programme.g]):
            found = self._relaxation.solve(self._left()) or found
        return Branch(lower, upper, found, min(found.bound, branch.bound))
