"""Exact elimination of the forest, and a product with what is left of the equations, in plain numpy.

Row i of I - P puts (lambda / d_i) (u_i - (u_parent + u_other) / 2)^2 into the sum of squares, so with
h_i = lambda / (2 d_i) the equations of the forest have 2 h_i + ... on the diagonal and -h_i between an animal and its
parent in the forest. That is a tree: pivots go from the leaves to the roots, and solving is one pass up and one down.
What is left, S x with S the Schur complement of the forest, is for cut animals and groups only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.size.sparse.forest import Forest
from holdback.size.sparse.model import FloatArray, IndexArray, PlaceArray, sums


@dataclass(frozen=True, eq=False)
class Elimination:
    """What elimination of the forest needs at one ratio of variances, and a preconditioner for what is left.

    Parameters
    ----------
    halves, inverse_pivots : float array, shape (n_places,)
        h_i = lambda / (2 d_i), and 1 over the pivot of each place.
    row_halves : float array, shape (n_cut,)
        h of the cut animals, in order of the forest's `rows`.
    diagonal : float array, shape (n_slots,)
        Diagonal of S, but for what reaches it over more than one parent; 1 for nobody.
    couplings, cut_pivots : float array, shape (n_cut,)
        Minus the entry of S between a cut animal and its parent in the cut, and pivots of the tree that they make.
    """

    halves: FloatArray
    inverse_pivots: FloatArray
    row_halves: FloatArray
    diagonal: FloatArray
    couplings: FloatArray
    cut_pivots: FloatArray

    @classmethod
    def of(cls, forest: Forest, ratio: float, *, compiled: bool) -> Elimination:
        """Pivots at lambda = ratio; compiled or plain, the result is the same but for rounding."""
        halves = ratio / (2.0 * forest.mendelian)
        row_halves = ratio / (2.0 * forest.rows.mendelian)
        pivots_of = tree_pivots
        if compiled:
            from holdback.size.sparse.sweep_fast import tree_pivots_fast

            pivots_of = tree_pivots_fast
        pivots = pivots_of(forest.parents, _forest_diagonal(forest, halves, row_halves), halves)
        inverse_pivots = 1.0 / pivots
        diagonal = _rest_diagonal(forest, halves, row_halves, inverse_pivots)
        couplings = _cut_couplings(forest, row_halves, inverse_pivots)
        cut_pivots = pivots_of(forest.cut_parents, diagonal[: len(forest.cut)], couplings)
        assert not len(cut_pivots) or cut_pivots.min() > 0.0, "the preconditioner is not positive definite"
        return cls(halves, inverse_pivots, row_halves, diagonal, couplings, cut_pivots)


def tree_pivots(parents: PlaceArray, diagonal: FloatArray, couplings: FloatArray) -> FloatArray:
    """Pivots of a symmetric matrix whose graph is a forest, leaves first.

    Parameters
    ----------
    parents : int32 array, shape (n,)
        Parent of each node, before it; -1 for roots.
    diagonal : float array, shape (n,)
        Diagonal of the matrix.
    couplings : float array, shape (n,)
        Minus the entry between a node and its parent.

    Returns
    -------
    float array, shape (n,)
        D of L D L', each node's L having one entry only.
    """
    from holdback.size.sparse.forest import by_level

    pivots = diagonal.copy()
    for level in reversed(by_level(parents)[1:]):
        np.subtract.at(pivots, parents[level], couplings[level] ** 2 / pivots[level])
    return pivots


def tree_solution(
    levels: Sequence[IndexArray], parents: PlaceArray, couplings: FloatArray, pivots: FloatArray, right: FloatArray
) -> FloatArray:
    """Solution with the matrix of `tree_pivots`, shape (n,)."""
    found = right.copy()
    for level in reversed(levels):
        found[level] /= pivots[level]
        if level is not levels[0]:
            np.add.at(found, parents[level], couplings[level] * found[level])
    for level in levels[1:]:
        found[level] += couplings[level] / pivots[level] * found[parents[level]]
    return found


def sweep(
    forest: Forest, elimination: Elimination, x: FloatArray, start: FloatArray | None
) -> tuple[FloatArray, FloatArray]:
    """Values of the forest given the slots', and the slots' rows of the equations at both.

    Parameters
    ----------
    forest, elimination : Forest, Elimination
        Layout and pivots.
    x : float array, shape (n_slots,)
        Values of cut animals and groups, 0 for nobody.
    start : float array, shape (n_places,), or None
        Right side of the forest's equations; zeros where None.

    Returns
    -------
    (float array, float array)
        Rows of the slots, shape (n_slots,): S x where `start` is None. Values of the forest, shape (n_places,), with
        which its own equations hold.
    """
    rows, parents, halves = forest.rows, forest.parents, elimination.halves
    values = np.zeros(len(parents)) if start is None else start.copy()
    known = rows.places >= 0
    np.add.at(values, rows.places[known], (elimination.row_halves * (x[rows.slots] - 0.5 * x[rows.others]))[known])
    other = x[forest.others]
    group = x[forest.groups]
    values += halves * other - forest.weights * group
    for level in reversed(forest.levels):
        values[level] *= elimination.inverse_pivots[level]
        if level is not forest.levels[0]:
            np.add.at(values, parents[level], halves[level] * (values[level] - 0.5 * other[level]))
    for level in forest.levels[1:]:
        values[level] += halves[level] * elimination.inverse_pivots[level] * values[parents[level]]
    return _slot_rows(forest, elimination, x, values), values


def _slot_rows(forest: Forest, elimination: Elimination, x: FloatArray, values: FloatArray) -> FloatArray:
    """What the rows of the pedigree and the records give to the slots, shape (n_slots,)."""
    rows, n_slots = forest.rows, forest.n_slots
    known = np.append(values, 0.0)
    other, group = x[forest.others], x[forest.groups]
    parts = elimination.halves * (values - 0.5 * (other + known[forest.parents]))
    row_parts = elimination.row_halves * (x[rows.slots] - 0.5 * (x[rows.others] + known[rows.places]))
    fits = rows.weights * (x[rows.slots] + x[rows.groups])
    found = sums(forest.groups, forest.weights * (values + group), n_slots)
    found -= sums(forest.others, parts, n_slots)
    found += sums(rows.slots, 2.0 * row_parts + fits, n_slots)
    found += sums(rows.groups, fits, n_slots)
    found -= sums(rows.others, row_parts, n_slots)
    return found


def _forest_diagonal(forest: Forest, halves: FloatArray, row_halves: FloatArray) -> FloatArray:
    """Diagonal of the forest's equations before elimination, shape (n_places,)."""
    n = len(forest.parents)
    own = forest.weights + 2.0 * halves
    for places, young in ((forest.parents, halves), (forest.rows.places, row_halves)):
        known = places >= 0
        own += sums(places[known], 0.5 * young[known], n)
    inside = forest.extras.places >= 0
    np.add.at(own, forest.extras.places[inside], forest.extras.weights[inside])
    return own


def _rest_diagonal(
    forest: Forest, halves: FloatArray, row_halves: FloatArray, inverse_pivots: FloatArray
) -> FloatArray:
    """Diagonal of S, with what animals of the forest take from it directly and over their parent."""
    rows, n_slots = forest.rows, forest.n_slots
    above = np.append(inverse_pivots, 0.0)[forest.parents]
    taken = halves * (0.5 - halves * inverse_pivots)
    seen = forest.weights * inverse_pivots
    found = sums(forest.others, taken - taken**2 * above, n_slots)
    found += sums(forest.groups, forest.weights * (1.0 - seen) - (seen * halves) ** 2 * above, n_slots)
    above = np.append(inverse_pivots, 0.0)[rows.places]
    found += sums(rows.slots, row_halves * (2.0 - row_halves * above) + rows.weights, n_slots)
    found += sums(rows.others, 0.5 * row_halves, n_slots)
    found += sums(rows.groups, rows.weights, n_slots)
    extras = forest.extras
    np.add.at(found, extras.slots, extras.weights)
    np.add.at(found, extras.groups, extras.weights)
    found[forest.nobody] = 1.0
    return found


def _cut_couplings(forest: Forest, row_halves: FloatArray, inverse_pivots: FloatArray) -> FloatArray:
    """Minus the entry of S between each cut animal and its parent there: h - h^2 / (2 pivot of the other parent)."""
    found = np.empty(len(forest.cut))
    above = np.append(inverse_pivots, 0.0)[forest.rows.places]
    found[forest.rows.slots] = row_halves * (1.0 - 0.5 * row_halves * above)
    return found
