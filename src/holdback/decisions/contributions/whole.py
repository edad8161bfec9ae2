"""Integer programs for whole clutches, and who is put to whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.decisions.contributions.problem import Problem

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Whole:
    """What whole clutches must keep to.

    Parameters
    ----------
    problem : Problem
        Gains, kinship, sexes.
    clutches : int
        Clutches in all.
    caps : int array, shape (n,)
        Most clutches of each animal.
    limit : float
        Limit on the group kinship.
    inbreeding : float
        Largest inbreeding coefficient of the young of a pair.
    gain_above : float
        Only plans that gain at least as much are looked for.
    by_pair : bool
        Whether integer programs look at who can be put to whom, which takes them longer.
    barred : bool array, shape (n, n), or None
        Sires (rows) and dams (columns) that are not put to each other, whatever their kinship.
    """

    problem: Problem
    clutches: int
    caps: IntArray
    limit: float
    inbreeding: float
    gain_above: float = -np.inf
    by_pair: bool = False
    barred: BoolArray | None = None

    @cached_property
    def refused(self) -> BoolArray:
        """Whether a sire (row) and a dam (column) are not put to each other, shape (n, n)."""
        near = self.problem.kinship > self.inbreeding + 1e-12
        return near if self.barred is None else near | self.barred

    @property
    def sires(self) -> IntArray:
        """Places of the males."""
        return np.flatnonzero(self.problem.is_sire)

    @property
    def dams(self) -> IntArray:
        """Places of the females."""
        return np.flatnonzero(~self.problem.is_sire)

    def gain(self, counts: IntArray) -> float:
        """Expected breeding value of the young."""
        return float(self.problem.gains @ counts) / (2 * self.clutches)

    def keeps(self, counts: IntArray) -> bool:
        """Whether clutches keep the limit on the group kinship and can be mated within that on inbreeding."""
        return self.within(counts) and self.can_mate(counts)

    def can_mate(self, counts: IntArray) -> bool:
        """Whether every clutch can have parents that may be put to each other."""
        return not self.refused.any() or len(mated(self, counts)) == self.clutches

    def within(self, counts: IntArray) -> bool:
        """Whether clutches keep the limit on the group kinship."""
        return self.problem.group_kinship(counts / (2 * self.clutches)) <= self.limit + 1e-12


@dataclass(frozen=True, eq=False)
class Split:
    """Kinship split for whole clutches: F = G + D with D diagonal and G still positive semidefinite.

    The part D y^2 is known at every whole number y, so lines between these replace it. That makes the programs tighter
    than the plain limit does (the idea of Hammer & Rubin 1970, from memory).

    Parameters
    ----------
    rest : float array, shape (n, n)
        G, for numbers of clutches.
    own : float array, shape (n,)
        Diagonal of D, for numbers of clutches.
    """

    rest: FloatArray
    own: FloatArray

    @classmethod
    def of(cls, whole: Whole) -> Split:
        """Split of the kinship, scaled from shares to numbers of clutches."""
        kinship = whole.problem.kinship / (2 * whole.clutches) ** 2
        size = len(kinship)
        alone = 1 / np.maximum(np.diag(np.linalg.pinv(kinship)), 1e-12)
        even = np.ones(size)
        found = np.zeros(size)
        for shape in (alone, even):
            root = np.sqrt(shape)
            least = float(np.linalg.eigvalsh(kinship / np.outer(root, root))[0])
            part = max(0.0, least * (1 - 1e-9)) * shape
            found = part if part.sum() > found.sum() else found
        return cls(kinship - np.diag(found), found)


def solved(
    whole: Whole, split: Split, planes: Sequence[FloatArray], *, is_whole: bool = True
) -> tuple[FloatArray, float] | None:
    """Clutches with the most gain under planes in place of the limit, shape (n,), and a bound; None if there are none.

    Parameters
    ----------
    whole : Whole
        What must be kept.
    split : Split
        Its kinship.
    planes : sequence of float array, shape (n,)
        Numbers of clutches through which planes are laid.
    is_whole : bool
        False gives fractions of clutches, a looser bound in much less time.

    Notes
    -----
    Columns are clutches y of each animal, t >= y^2 at whole y, and, with `Whole.by_pair`, clutches by pair: with whole
    clutches of each animal such a transport has a whole answer whenever it has one, so these need not be whole.
    """
    from scipy import sparse  # type: ignore[import-untyped]
    from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]

    n = len(whole.caps)
    allowed = _allowed(whole)
    pairs = allowed or []
    width = 2 * n + len(pairs)
    objective = np.concatenate([-whole.problem.gains / (2 * whole.clutches), np.zeros(width - n)])
    rules = [LinearConstraint(sparse.csr_array(matrix), low, high) for matrix, low, high in _rows(whole, split, planes)]
    if allowed is not None:
        used = sparse.lil_array((n, width))
        used[np.arange(n), np.arange(n)] = -1.0
        for place, (sire, dam) in enumerate(pairs):
            used[sire, 2 * n + place] = used[dam, 2 * n + place] = 1.0
        rules.append(LinearConstraint(used.tocsr(), 0, 0))
    rules = [LinearConstraint(_wide(rule.A, width), rule.lb, rule.ub) for rule in rules]
    high = np.concatenate([whole.caps, whole.caps**2, np.full(len(pairs), whole.clutches)])
    found = milp(
        objective,
        integrality=np.concatenate([np.full(n, int(is_whole)), np.zeros(width - n)]),
        bounds=Bounds(np.zeros(width), high),
        constraints=rules,
        options={"mip_rel_gap": 1e-9, "node_limit": 20_000},
    )
    if found.x is None:
        return None
    bound = found.mip_dual_bound if is_whole else found.fun
    return (np.rint(found.x[:n]) if is_whole else found.x[:n]), float(-bound)


def _rows(
    whole: Whole, split: Split, planes: Sequence[FloatArray]
) -> list[tuple[FloatArray, FloatArray | float, FloatArray | float]]:
    """Rows over clutches and their squares: sexes, planes, lines between whole numbers, and the gain to be passed."""
    n = len(whole.caps)
    nothing = np.zeros((2, n))
    rows: list[tuple[FloatArray, FloatArray | float, FloatArray | float]] = [
        (np.hstack([whole.problem.by_sex.T, nothing]), whole.clutches, whole.clutches)
    ]
    pulls = np.array([split.rest @ point for point in planes])
    through = np.array([float(point @ pull) for point, pull in zip(planes, pulls, strict=True)])
    rows.append((np.hstack([2 * pulls, np.tile(split.own, (len(planes), 1))]), -np.inf, whole.limit + through))
    unit = np.eye(n)
    for step in range(int(whole.caps.max(initial=1))):
        steps = np.flatnonzero(whole.caps > step)
        lines = np.hstack([(2 * step + 1) * unit[steps], -unit[steps]])
        rows.append((lines, -np.inf, float(step * (step + 1))))
    if np.isfinite(whole.gain_above):
        gain = np.concatenate([whole.problem.gains / (2 * whole.clutches), np.zeros(n)])
        rows.append((gain[None, :], whole.gain_above, np.inf))
    return rows


def _wide(matrix: object, width: int) -> object:
    """A sparse matrix with empty columns added."""
    from scipy import sparse

    found = sparse.csr_array(matrix)
    found.resize((found.shape[0], width))
    return found


def mated(whole: Whole, counts: IntArray) -> list[tuple[int, int]]:
    """Sire and dam of each clutch, the sum of inbreeding coefficients least; refused pairs are left out."""
    from scipy.optimize import linear_sum_assignment

    sires = np.repeat(whole.sires, counts[whole.sires])
    dams = np.repeat(whole.dams, counts[whole.dams])
    cost = whole.problem.kinship[np.ix_(sires, dams)]
    rows, columns = linear_sum_assignment(np.where(whole.refused[np.ix_(sires, dams)], 1e3, cost))
    chosen = [(int(sires[row]), int(dams[column])) for row, column in zip(rows, columns, strict=True)]
    return sorted(pair for pair in chosen if not whole.refused[pair])


def _allowed(whole: Whole) -> list[tuple[int, int]] | None:
    """Pairs that are not refused; None where no pair is, as then all are free, or where nobody asks."""
    if not whole.by_pair:
        return None
    refused = whole.refused[np.ix_(whole.sires, whole.dams)]
    if not refused.any():
        return None
    return [(int(whole.sires[row]), int(whole.dams[column])) for row, column in np.argwhere(~refused)]
