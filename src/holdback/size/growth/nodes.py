"""Which animals stand in the equations by name, and which are their parents and a rest of their own.

An animal without young is half its sire, half its dam and a Mendelian part that no other animal shares, so that only
animals with young need an equation (the reduced animal model). With u the additive values of the nodes with young,

    node with young     u_j = sum of its sources + m_j      Var m_j = d_j Var u
    animal without      u_i = z_i' u + m_i                  z_i its sources, a half each

Nodes that are their sources in other words (a sire that is certain after all) are written out in these.

References
----------
Quaas & Pollak (1980), Mixed model methodology for farm and ranch beef cattle testing programs. J. Anim. Sci. 51:1277.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import inbreeding as inbreeding_of
from holdback.descent.links import Links
from holdback.descent.pedigree import Pedigree
from holdback.descent.relationship_inverse import NO_VARIANCE
from holdback.descent.walk import mendelian_variances

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]


def summed(places: IndexArray, values: FloatArray, n: int) -> FloatArray:
    """Sum of the values of each place, shape (n,)."""
    return np.bincount(places, values, minlength=n).astype(np.float64, copy=False)


@dataclass(frozen=True, eq=False)
class SparseRows:
    """Rows with few entries, as sums of outer products and quadratic forms take them.

    Parameters
    ----------
    n_rows, n_cols : int
        Shape.
    rows, cols : int array, shape (n_entries,)
        Where.
    values : float array, shape (n_entries,)
        What stands there; a place may come twice.
    pair_one, pair_other : int array, shape (n_pairs,)
        Entries of all pairs of entries of a row.
    pair_value : float array, shape (n_pairs,)
        Products of their values.
    """

    n_rows: int
    n_cols: int
    rows: IndexArray
    cols: IndexArray
    values: FloatArray
    pair_one: IndexArray
    pair_other: IndexArray
    pair_value: FloatArray

    @classmethod
    def of(cls, entries: Iterable[Iterable[tuple[int, float]]], n_cols: int) -> SparseRows:
        """Rows from (column, value) entries."""
        listed = [list(row) for row in entries]
        rows = np.array([number for number, row in enumerate(listed) for _ in row], dtype=np.int64)
        cols = np.array([col for row in listed for col, _ in row], dtype=np.int64)
        values = np.array([value for row in listed for _, value in row], dtype=np.float64)
        counts = np.array([len(row) for row in listed], dtype=np.int64)
        each = np.repeat(counts, counts)
        one = np.repeat(np.arange(len(rows)), each)
        starts = np.repeat(np.cumsum(counts) - counts, counts)
        step = np.arange(len(one)) - np.repeat(np.cumsum(each) - each, each)
        other = np.repeat(starts, each) + step
        return cls(len(listed), n_cols, rows, cols, values, one, other, values[one] * values[other])

    def times(self, vector: FloatArray) -> FloatArray:
        """Product with a vector of columns, shape (n_rows,)."""
        return summed(self.rows, self.values * vector[self.cols], self.n_rows)

    def transposed_times(self, matrix: FloatArray) -> FloatArray:
        """Sum over rows of the row times a row of `matrix`, shape (n_cols, matrix.shape[1])."""
        found = np.zeros((self.n_cols, matrix.shape[1]))
        np.add.at(found, self.cols, self.values[:, None] * matrix[self.rows])
        return found

    def outer_sum(self, weights: FloatArray) -> FloatArray:
        """Sum over rows of weight times the outer product of the row with itself, shape (n_cols, n_cols)."""
        found = summed(self._flat, weights[self._pair_row] * self.pair_value, self.n_cols**2)
        return found.reshape(self.n_cols, self.n_cols)

    @cached_property
    def _flat(self) -> IndexArray:
        return self.cols[self.pair_one] * self.n_cols + self.cols[self.pair_other]

    @cached_property
    def _pair_row(self) -> IndexArray:
        return self.rows[self.pair_one]

    def quadratic(self, matrix: FloatArray) -> FloatArray:
        """Row times matrix times row, for each row, shape (n_rows,)."""
        terms = self.pair_value * matrix[self.cols[self.pair_one], self.cols[self.pair_other]]
        return summed(self._pair_row, terms, self.n_rows)

    def from_right(self, matrix: FloatArray) -> FloatArray:
        """Product of each row with the columns of a matrix over `n_cols` rows, shape (n_rows, matrix.shape[1])."""
        found = np.zeros((self.n_rows, matrix.shape[1]))
        np.add.at(found, self.rows, self.values[:, None] * matrix[self.cols])
        return found

    @cached_property
    def _starts(self) -> IndexArray:
        return np.searchsorted(self.rows, np.arange(self.n_rows + 1))

    def of_row(self, row: int) -> FloatArray:
        """One row with its zeros, shape (n_cols,)."""
        here = slice(self._starts[row], self._starts[row + 1])
        return summed(self.cols[here], self.values[here], self.n_cols)

    def weighed(self, values: FloatArray) -> SparseRows:
        """The same places with other values, shape (n_entries,)."""
        return replace(self, values=values, pair_value=values[self.pair_one] * values[self.pair_other])


@dataclass(frozen=True, eq=False)
class Nodes:
    """The nodes with an equation, and how every animal is made of them.

    Parameters
    ----------
    equations : tuple of int
        Nodes of the pedigree that have an equation, in pedigree order.
    made_of : SparseRows, shape (n_animals, n_equations)
        Each animal as a sum of equations; the animal itself where it has one.
    has_own : bool array, shape (n_animals,)
        Animals with a Mendelian part of their own beside it.
    own_variance : float array, shape (n_animals,)
        Variance of that part, in additive variances; 0 where there is none.
    own_node : int array, shape (n_animals,)
        Node of the pedigree, -1 for none.
    mendelian : SparseRows, shape (n_equations, n_equations)
        Rows of I - P: the Mendelian part of each equation.
    variances : float array, shape (n_equations,)
        Variance of these, in additive variances.
    inbreeding : float array, shape (n_animals,)
        Inbreeding coefficient F.
    """

    equations: tuple[int, ...]
    made_of: SparseRows
    has_own: npt.NDArray[np.bool_]
    own_variance: FloatArray
    own_node: IndexArray
    mendelian: SparseRows
    variances: FloatArray
    inbreeding: FloatArray

    def passed_from(self, places: IndexArray) -> FloatArray:
        """Part of the Mendelian part of some equations in each equation, shape (n_equations, len(places))."""
        found = np.zeros((len(self.equations), len(places)))
        found[places, np.arange(len(places))] = 1.0
        rows = self.mendelian
        for row, col, value in zip(rows.rows.tolist(), rows.cols.tolist(), rows.values.tolist(), strict=True):
            if row != col:  # sources come before their young
                found[row] -= value * found[col]
        return found


def nodes_of(pedigree: Pedigree, animals: Iterable[int]) -> Nodes:
    """Equations of a pedigree and how animals are made of them.

    Parameters
    ----------
    pedigree : Pedigree
        Any kind of node.
    animals : iterable of int
        Node of each animal; -1 for one that stands for itself alone.
    """
    wanted = list(animals)
    coefficients = inbreeding_of(pedigree)
    variances = mendelian_variances(pedigree, coefficients)
    sources = _Sources(pedigree, variances)
    has_young = np.zeros(len(pedigree), dtype=np.bool_)
    has_young[Links.of(pedigree).sources] = True
    equations = [int(node) for node in np.flatnonzero(has_young) if variances[node] > NO_VARIANCE]
    place = {node: number for number, node in enumerate(equations)}
    made: list[list[tuple[int, float]]] = []
    own_variance = np.zeros(len(wanted))
    for number, node in enumerate(wanted):
        if node < 0:
            made.append([])
        elif node in place:
            made.append([(place[node], 1.0)])
        else:
            made.append([(place[source], share) for source, share in sources.of(node)])
            own_variance[number] = max(float(variances[node]), 0.0) if variances[node] > NO_VARIANCE else 0.0
    rows = [
        [(place[node], 1.0), *((place[source], -share) for source, share in sources.of(node))] for node in equations
    ]
    known = np.array([coefficients[node] if node >= 0 else 0.0 for node in wanted])
    return Nodes(
        tuple(equations),
        SparseRows.of(made, len(equations)),
        own_variance > 0,
        own_variance,
        np.array(wanted, dtype=np.int64),
        SparseRows.of(rows, len(equations)),
        variances[equations],
        known,
    )


class _Sources:
    """Sources of a node, those without a variance of their own written out in theirs."""

    def __init__(self, pedigree: Pedigree, variances: FloatArray) -> None:
        self._pedigree = pedigree
        self._is_folded = variances <= NO_VARIANCE

    def of(self, node: int) -> list[tuple[int, float]]:
        found: list[tuple[int, float]] = []
        for source, share in self._pedigree.sources(node):
            if self._is_folded[source]:
                found += [(above, share * part) for above, part in self.of(source)]
            else:
                found.append((source, share))
        return found
