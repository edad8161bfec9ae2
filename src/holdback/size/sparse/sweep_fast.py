"""Compiled passes over the forest; the plain ones are in `elimination`.

Each tree is gone through upwards and downwards while it is in the cache. Value and sum of a slot stand side by side, as
both are needed for every place and slots are met in no order. Trees fall into two shares that two threads can take.
"""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np
from numba import njit

from holdback.size.sparse.elimination import Elimination
from holdback.size.sparse.forest import Forest
from holdback.size.sparse.model import FloatArray, IndexArray, PlaceArray

SHARED = 100_000
"""Places from which the trees are shared between two threads."""


class _Trees(NamedTuple):
    starts: IndexArray
    row_starts: IndexArray


class _Places(NamedTuple):
    parents: PlaceArray
    others: PlaceArray
    groups: PlaceArray
    weights: FloatArray
    halves: FloatArray
    inverse_pivots: FloatArray


class _Rows(NamedTuple):
    slots: PlaceArray
    others: PlaceArray
    groups: PlaceArray
    places: PlaceArray
    weights: FloatArray
    halves: FloatArray


@njit(cache=True, nogil=True)
def tree_pivots_fast(parents: PlaceArray, diagonal: FloatArray, couplings: FloatArray) -> FloatArray:
    """Pivots of a matrix whose graph is a forest; see `elimination.tree_pivots`."""
    pivots = diagonal.copy()
    for x in range(len(parents) - 1, -1, -1):
        if parents[x] >= 0:
            pivots[parents[x]] -= couplings[x] * couplings[x] / pivots[x]
    return pivots


@njit(cache=True, nogil=True)
def tree_solution_fast(parents: PlaceArray, couplings: FloatArray, pivots: FloatArray, right: FloatArray) -> FloatArray:
    """Solution with a matrix whose graph is a forest; see `elimination.tree_solution`."""
    found = right.copy()
    n = len(parents)
    for x in range(n - 1, -1, -1):
        found[x] /= pivots[x]
        if parents[x] >= 0:
            found[parents[x]] += couplings[x] * found[x]
    for x in range(n):
        if parents[x] >= 0:
            found[x] += couplings[x] / pivots[x] * found[parents[x]]
    return found


class Sweeper:
    """The arrays of one layout at one ratio, ready for passes.

    Parameters
    ----------
    forest, elimination : Forest, Elimination
        Layout and pivots.
    threads : int, optional
        1 or 2; two where the machine has them and the pedigree is large. The result is the same to the last bit.
    """

    def __init__(self, forest: Forest, elimination: Elimination, *, threads: int | None = None) -> None:
        rows = forest.rows
        self.n_slots = forest.n_slots
        self.trees = _Trees(forest.starts, forest.row_starts)
        self.places = _Places(
            forest.parents, forest.others, forest.groups, forest.weights, elimination.halves, elimination.inverse_pivots
        )
        self.rows = _Rows(rows.slots, rows.others, rows.groups, rows.places, rows.weights, elimination.row_halves)
        n_places, n_trees = len(forest.parents), len(forest.starts) - 1
        is_large = n_places >= SHARED
        middle = int(np.searchsorted(forest.starts, n_places // 2)) if is_large else n_trees
        self.shares = [(0, middle), (middle, n_trees)] if is_large else [(0, n_trees)]
        self.threads = min(len(self.shares), threads or os.cpu_count() or 1)

    def sweep(self, x: FloatArray, start: FloatArray | None) -> tuple[FloatArray, FloatArray]:
        """Rows of the slots and values of the forest; see `elimination.sweep`."""
        values = np.zeros(len(self.places.parents)) if start is None else start.copy()
        pairs = [np.column_stack([x, np.zeros(self.n_slots)]) for _ in self.shares]
        if self.threads == 1:
            for share in range(len(pairs)):
                self._run(share, pairs[share], values)
        else:
            with ThreadPoolExecutor(1) as pool:
                other = pool.submit(self._run, 1, pairs[1], values)
                self._run(0, pairs[0], values)
                other.result()
        found = pairs[0][:, 1].copy()
        for more in pairs[1:]:
            found += more[:, 1]
        return found, values

    def _run(self, share: int, pairs: FloatArray, values: FloatArray) -> None:
        first, end = self.shares[share]
        _swept(first, end, self.trees, self.places, self.rows, pairs, values)


@njit(cache=True, nogil=True)
def _swept(
    first_tree: int, end_tree: int, trees: _Trees, places: _Places, rows: _Rows, pairs: FloatArray, values: FloatArray
) -> None:
    """Go through some trees: `values` come in as right sides and leave as values, sums go into pairs[:, 1]."""
    parents, others, groups, weights, halves, inverse_pivots = places
    slots, row_others, row_groups, above_rows, row_weights, row_halves = rows
    for tree in range(first_tree, end_tree):
        start, end = trees.starts[tree], trees.starts[tree + 1]
        first_row, end_row = trees.row_starts[tree], trees.row_starts[tree + 1]
        for row in range(first_row, end_row):
            if above_rows[row] >= 0:
                part = row_halves[row] * (pairs[slots[row], 0] - 0.5 * pairs[row_others[row], 0])
                values[above_rows[row]] += part
        for x in range(end - 1, start - 1, -1):
            other = pairs[others[x], 0]
            value = values[x] + (halves[x] * other - weights[x] * pairs[groups[x], 0])
            value *= inverse_pivots[x]
            values[x] = value
            if parents[x] >= 0:
                values[parents[x]] += halves[x] * (value - 0.5 * other)
        for x in range(start, end):
            above = 0.0
            value = values[x]
            if parents[x] >= 0:
                above = values[parents[x]]
                value += halves[x] * inverse_pivots[x] * above
                values[x] = value
            pairs[others[x], 1] -= halves[x] * (value - 0.5 * (pairs[others[x], 0] + above))
            pairs[groups[x], 1] += weights[x] * (value + pairs[groups[x], 0])
        for row in range(first_row, end_row):
            above = values[above_rows[row]] if above_rows[row] >= 0 else 0.0
            value = pairs[slots[row], 0]
            part = row_halves[row] * (value - 0.5 * (pairs[row_others[row], 0] + above))
            fit = row_weights[row] * (value + pairs[row_groups[row], 0])
            pairs[slots[row], 1] += 2.0 * part + fit
            pairs[row_others[row], 1] -= part
            pairs[row_groups[row], 1] += fit
