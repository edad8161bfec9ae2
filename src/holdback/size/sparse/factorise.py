"""Exact solutions, reliabilities and determinants by factorising the equations, where the factors stay sparse."""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from holdback.errors import Fault, SizeError
from holdback.size.sparse.coefficients import Coefficients
from holdback.size.sparse.conjugate_gradient import Solved
from holdback.size.sparse.model import AnimalModel, FloatArray, IndexArray, PlaceArray

MOST = 60_000_000
"""Entries of the factor that are kept, about 1 GB with the entries of the inverse."""

_FULL = 0.5
"""Part of its places that the tail fills at least."""

_LEAST_TAIL = 64


def factorise(model: AnimalModel, ratio: float, *, most: int = MOST) -> Factor:
    """The equations of a model, factorised.

    Parameters
    ----------
    model : AnimalModel
        Records and pedigree.
    ratio : float
        lambda = sigma2_e / sigma2_a, above 0.
    most : int
        Entries of the factor from which it is refused.

    Returns
    -------
    Factor
        Ready for solutions, reliabilities and the determinant.

    Raises
    ------
    SizeError
        SIZ-221 where the factor would be larger: many sires mated at random; SIZ-224 without numba.
    """
    return Symbolic.of(model, most=most).factor(ratio)


@dataclass(frozen=True, eq=False)
class Symbolic:
    """Order of elimination and pattern of the factor, for any ratio of variances.

    Parameters
    ----------
    model : AnimalModel
        Records and pedigree.
    coefficients : Coefficients
        The equations written out.
    order : int32 array, shape (n_equations,)
        Equation of each position; animals, then groups.
    col_starts, rows : int array
        Pattern of L without its diagonal, in positions.
    given_starts, given_rows, given_places : int array
        The equations' lower triangle by columns, in positions, and which of the coefficients stands there.
    tail : int
        First position of the dense tail.
    """

    model: AnimalModel
    coefficients: Coefficients
    order: PlaceArray
    col_starts: IndexArray
    rows: PlaceArray
    given_starts: IndexArray
    given_rows: PlaceArray
    given_places: IndexArray
    tail: int

    @classmethod
    def of(cls, model: AnimalModel, *, most: int = MOST) -> Symbolic:
        """Order of a model's equations; raises as `factorise` does."""
        if importlib.util.find_spec("numba") is None:
            raise SizeError(
                Fault(
                    "SIZ-224",
                    "Factorising needs compiled code, and numba is not installed.",
                    "Install holdback with its extra 'fast'.",
                )
            )
        from holdback.size.sparse.factor_fast import positions
        from holdback.size.sparse.ordering_fast import ordered

        coefficients = Coefficients.of(model)
        n = coefficients.n
        order, col_starts, rows = ordered(*_links(coefficients), most)
        if col_starts[-1] > most:
            raise SizeError(
                Fault(
                    "SIZ-221",
                    f"The factor of these {n:,} equations would have more than {most:,} entries.",
                    "Solve by conjugate gradients; reliabilities and exact variances need a smaller part of the herd.",
                    field="pedigree",
                )
            )
        place = np.empty(n, dtype=np.int64)
        place[order] = np.arange(n)
        one, other = place[coefficients.rows], place[coefficients.cols]
        low, high = np.minimum(one, other), np.maximum(one, other)
        by_column = np.lexsort((high, low))
        return cls(
            model,
            coefficients,
            order,
            col_starts,
            positions(order, col_starts, rows),
            np.searchsorted(low[by_column], np.arange(n + 1)),
            high[by_column].astype(np.int32),
            by_column,
            _tail_of(col_starts),
        )

    @property
    def n_entries(self) -> int:
        """Entries of L below its diagonal."""
        return int(self.col_starts[-1])

    def factor(self, ratio: float) -> Factor:
        """The factor at lambda = ratio."""
        from holdback.size.sparse.factor_fast import factorised

        given = self.coefficients.at(ratio)[self.given_places]
        values, pivots, tail = factorised(
            self.col_starts, self.rows, self.tail, self.given_starts, self.given_rows, given
        )
        tail += np.tril(tail, -1).T
        return Factor(self, values, pivots, tail)


@dataclass(frozen=True, eq=False)
class Factor:
    """L D L' of the equations at one ratio of variances.

    Parameters
    ----------
    symbolic : Symbolic
        Order and pattern.
    values : float array, shape (n_entries,)
        L before the tail.
    pivots : float array, shape (tail,)
        D before the tail.
    tail : float array, shape (n_tail, n_tail)
        Schur complement of the last positions.
    """

    symbolic: Symbolic
    values: FloatArray
    pivots: FloatArray
    tail: FloatArray

    @cached_property
    def log_determinant(self) -> float:
        """Logarithm of the determinant of the equations' coefficients."""
        return float(np.log(self.pivots).sum() + 2.0 * np.log(np.diag(np.linalg.cholesky(self.tail))).sum())

    @cached_property
    def tail_inverse(self) -> FloatArray:
        """Inverse of the coefficients among the last positions, shape (n_tail, n_tail)."""
        found: FloatArray = np.linalg.inv(self.tail).astype(np.float64, copy=False)
        return found

    def solution(self, groups: FloatArray, animals: FloatArray) -> Solved:
        """Solution for a right side of the groups, shape (n_groups,), and of the animals, shape (n,)."""
        from holdback.size.sparse.factor_fast import backward, forward

        symbolic = self.symbolic
        tail = symbolic.tail
        found = np.concatenate([animals, groups])[symbolic.order]
        forward(symbolic.col_starts, symbolic.rows, self.values, tail, found)
        found[:tail] /= self.pivots
        found[tail:] = self.tail_inverse @ found[tail:]
        backward(symbolic.col_starts, symbolic.rows, self.values, tail, found)
        whole = np.empty(len(found))
        whole[symbolic.order] = found
        n = symbolic.model.n
        return Solved(whole[n:], whole[:n], 0, 0.0)

    def inverse_at(self, rows: IndexArray, cols: IndexArray) -> FloatArray:
        """Entries of the inverse of the coefficients at places where the coefficients or L are not zero.

        Parameters
        ----------
        rows, cols : int array, shape (k,)
            Equations: animals, then groups.

        Returns
        -------
        float array, shape (k,)
            Multiplied by sigma2_e, variances and covariances of prediction errors.
        """
        from holdback.size.sparse.factor_fast import entries

        symbolic = self.symbolic
        inverse, diagonal = self._selected
        place = np.empty(len(symbolic.order), dtype=np.int32)
        place[symbolic.order] = np.arange(len(place), dtype=np.int32)
        one, other = place[rows], place[cols]
        return entries(
            symbolic.col_starts, symbolic.rows, inverse, diagonal, self.tail_inverse,
            np.maximum(one, other), np.minimum(one, other),
        )  # fmt: skip

    def reliabilities(self, ratio: float) -> FloatArray:
        """Exact reliability of each breeding value, shape (n,), in [0, 1].

        Parameters
        ----------
        ratio : float
            The ratio that the factor was made at.

        Returns
        -------
        float array, shape (n,)
            1 - lambda c_ii / (1 + F_i), c_ii from the inverse of the coefficients: a part of the animal's own additive
            variance (1 + F_i) sigma2_a.
        """
        model = self.symbolic.model
        every = np.arange(model.n)
        return 1.0 - ratio * self.inverse_at(every, every) / (1.0 + model.inbreeding)

    @cached_property
    def _selected(self) -> tuple[FloatArray, FloatArray]:
        from holdback.size.sparse.factor_fast import selected_inverse

        symbolic = self.symbolic
        return selected_inverse(symbolic.col_starts, symbolic.rows, self.values, self.pivots, self.tail_inverse)


def _links(coefficients: Coefficients) -> tuple[IndexArray, PlaceArray]:
    """Neighbours of each equation, each link from both ends."""
    apart = coefficients.rows != coefficients.cols
    low, high = coefficients.rows[apart], coefficients.cols[apart]
    ends = np.concatenate([low, high])
    order = np.argsort(ends, kind="stable")
    starts = np.searchsorted(ends[order], np.arange(coefficients.n + 1))
    return starts, np.concatenate([high, low])[order].astype(np.int32)


def _tail_of(col_starts: IndexArray) -> int:
    """First position of the largest tail that is full enough, or the end where none is worth it."""
    n = len(col_starts) - 1
    sizes = np.arange(n, -1, -1, dtype=np.float64)
    inside = col_starts[-1] - col_starts
    full = np.flatnonzero((inside >= _FULL * sizes * (sizes - 1.0) / 2.0) & (sizes >= _LEAST_TAIL))
    return int(full[0]) if full.size else n
