"""Breeding values of any number of animals by conjugate gradients on what elimination of the forest leaves.

No matrix is formed. The forest's equations hold exactly at every step, so the residual of the whole system is that of
the cut animals and groups; its preconditioner is the tree of the cut animals' own line with the diagonal of the rest.

References
----------
Hestenes and Stiefel (1952), Methods of conjugate gradients for solving linear systems. J. Res. Nat. Bur. Stand. 49:409.
Stranden and Lidauer (1999), Solving large mixed linear models using preconditioned conjugate gradient iteration.
J. Dairy Sci. 82:2779. (titles from memory)
"""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass

import numpy as np

from holdback.errors import Fault, SizeError
from holdback.size.sparse.elimination import Elimination, sweep, tree_solution
from holdback.size.sparse.forest import Forest
from holdback.size.sparse.model import AnimalModel, FloatArray

COMPILED_FROM = 5_000
"""Animals from which loading compiled code pays."""

MOST = 2_000
"""Steps after which rounding, not the method, keeps the residual up."""


@dataclass(frozen=True, eq=False)
class Solved:
    """Solution of the mixed-model equations.

    Parameters
    ----------
    groups : float array, shape (n_groups,)
        Estimates of the fixed groups, in the unit of the values.
    animals : float array, shape (n,)
        Predicted breeding values, in the same unit.
    iterations : int
        Steps taken; 0 for a direct solution.
    residual : float
        Length of what is left of the right side over its own length.
    """

    groups: FloatArray
    animals: FloatArray
    iterations: int
    residual: float


def solve_by_conjugate_gradient(
    model: AnimalModel, ratio: float, *, tolerance: float = 1e-8, compiled: bool | None = None
) -> Solved:
    """Group effects and breeding values of a model.

    Parameters
    ----------
    model : AnimalModel
        Records and pedigree.
    ratio : float
        lambda = sigma2_e / sigma2_a, above 0.
    tolerance : float
        Largest residual, as a part of the right side, in Euclidean length over all equations.
    compiled : bool, optional
        Whether to use compiled code; by default from `COMPILED_FROM` animals on if numba is installed.

    Returns
    -------
    Solved
        With the residual worked out anew at the end.

    Raises
    ------
    SizeError
        SIZ-223 if the tolerance is below what rounding allows, or the ratio is not above 0.

    Notes
    -----
    Each step is one pass over the pedigree. The residual says how well the equations hold, not how far each value is
    from the exact one; breeding values are as good as the ratio of variances given.
    """
    return Equations(model, compiled=compiled).at(ratio).solution(*model.right_side(model.values), tolerance=tolerance)


class Equations:
    """The mixed-model equations of one model, laid out once for any ratio of variances.

    Parameters
    ----------
    model : AnimalModel
        Records and pedigree.
    compiled : bool, optional
        As in `solve_by_conjugate_gradient`.
    """

    def __init__(self, model: AnimalModel, *, compiled: bool | None = None) -> None:
        has_numba = importlib.util.find_spec("numba") is not None
        self.compiled = has_numba and model.n >= COMPILED_FROM if compiled is None else compiled
        self.model = model
        self.forest = Forest.of(model, compiled=self.compiled)

    def at(self, ratio: float) -> EquationsAt:
        """The equations at lambda = ratio."""
        if not 0.0 < ratio < np.inf:
            raise SizeError(
                Fault("SIZ-223", f"The ratio of variances is {ratio:g}.", "Give a number above 0.", field="ratio")
            )
        return EquationsAt(self, ratio)


class EquationsAt:
    """The equations at one ratio of variances, ready for any right side."""

    def __init__(self, equations: Equations, ratio: float) -> None:
        self.forest, self.n_groups = equations.forest, equations.model.n_groups
        self.elimination = Elimination.of(self.forest, ratio, compiled=equations.compiled)
        self.compiled = equations.compiled
        if self.compiled:
            from holdback.size.sparse.sweep_fast import Sweeper

            self.sweeper = Sweeper(self.forest, self.elimination)

    def solution(
        self, groups: FloatArray, animals: FloatArray, *, tolerance: float = 1e-8, start: Solved | None = None
    ) -> Solved:
        """Solution for a right side.

        Parameters
        ----------
        groups : float array, shape (n_groups,)
            Right side of the groups' equations.
        animals : float array, shape (n,)
            Right side of the animals' equations.
        tolerance : float
            As in `solve_by_conjugate_gradient`.
        start : Solved, optional
            A solution of like equations to begin with.

        Returns
        -------
        Solved
            Residual worked out anew.
        """
        forest = self.forest
        inside = animals[forest.order]
        right = np.concatenate([animals[forest.cut], groups, [0.0]])
        whole = float(np.sqrt(right @ right + inside @ inside))
        stop = tolerance * whole
        x = np.zeros(forest.n_slots)
        if start is not None:
            x[:-1] = np.concatenate([start.animals[forest.cut], start.groups])
        rest = right - self._rows(x, inside)[0]
        steps, length = 0, whole
        # what is updated at each step can drift from the true residual; a second round mends it
        for _ in range(3):
            steps += self._descend(x, rest, stop)
            rows, values = self._rows(x, inside)
            rest = right - rows
            length = float(np.sqrt(rest @ rest))
            if length <= stop:
                break
        else:
            raise _not_reached(tolerance, length / whole)
        found = np.empty(len(forest.order) + len(forest.cut))
        found[forest.order] = values
        found[forest.cut] = x[: len(forest.cut)]
        return Solved(x[len(forest.cut) : -1], found, steps, length / whole if whole else 0.0)

    def _descend(self, x: FloatArray, rest: FloatArray, stop: float) -> int:
        """Move x, in place, until the updated residual is short enough; the number of steps."""
        ready = self._preconditioned(rest)
        direction = ready.copy()
        length = float(rest @ ready)
        for step in range(MOST):
            if float(rest @ rest) <= stop * stop:
                return step
            product = self._rows(direction, None)[0]
            stride = length / float(direction @ product)
            x += stride * direction
            rest -= stride * product
            ready = self._preconditioned(rest)
            before, length = length, float(rest @ ready)
            direction *= length / before
            direction += ready
        return MOST

    def _rows(self, x: FloatArray, start: FloatArray | None) -> tuple[FloatArray, FloatArray]:
        """The slots' rows and the forest's values, records in further groups included."""
        extras, forest = self.forest.extras, self.forest
        if not len(extras.weights):
            found, values = self._sweep(x, start)
        else:
            inside = extras.places >= 0
            first = np.zeros(len(forest.order)) if start is None else start.copy()
            np.subtract.at(first, extras.places[inside], (extras.weights * x[extras.groups])[inside])
            found, values = self._sweep(x, first)
            own = np.where(inside, values[extras.places], x[extras.slots])
            fits = extras.weights * (own + x[extras.groups])
            np.add.at(found, extras.groups, fits)
            np.add.at(found, extras.slots, fits)
        found[forest.nobody] = 0.0
        return found, values

    def _sweep(self, x: FloatArray, start: FloatArray | None) -> tuple[FloatArray, FloatArray]:
        return self.sweeper.sweep(x, start) if self.compiled else sweep(self.forest, self.elimination, x, start)

    def _preconditioned(self, rest: FloatArray) -> FloatArray:
        """The residual over the diagonal, with the cut animals' line solved."""
        forest, elimination = self.forest, self.elimination
        found = rest / elimination.diagonal
        n_cut = len(forest.cut)
        if self.compiled:
            from holdback.size.sparse.sweep_fast import tree_solution_fast

            found[:n_cut] = tree_solution_fast(
                forest.cut_parents, elimination.couplings, elimination.cut_pivots, rest[:n_cut]
            )
        elif n_cut:
            found[:n_cut] = tree_solution(
                forest.cut_levels, forest.cut_parents, elimination.couplings, elimination.cut_pivots, rest[:n_cut]
            )
        return found


def _not_reached(tolerance: float, residual: float) -> SizeError:
    return SizeError(
        Fault(
            "SIZ-223",
            f"The solution came to a residual of {residual:.2g} only; {tolerance:.2g} was asked for.",
            "Ask for a larger tolerance: rounding allows no less here.",
            field="tolerance",
            value=f"{tolerance:g}",
        )
    )
