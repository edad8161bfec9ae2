"""Compiled layout of the forest; the plain one is `forest.laid_out`."""

from __future__ import annotations

import numpy as np
from numba import njit

from holdback.size.sparse.forest import BoolArray
from holdback.size.sparse.model import IndexArray, PlaceArray


@njit(cache=True, nogil=True)
def laid_out_fast(columns: PlaceArray, is_cut: BoolArray) -> tuple[IndexArray, IndexArray]:
    """Animals outside the cut in order of their trees, and where each tree starts; see `forest.laid_out`."""
    n = len(columns)
    first = np.full(n, -1, np.int32)
    following = np.full(n, -1, np.int32)
    for x in range(n):
        above = columns[x, 1]
        if not is_cut[x] and above >= 0:
            following[x] = first[above]
            first[above] = x
    order = np.empty(n, np.int64)
    starts = np.empty(n + 1, np.int64)
    waiting = np.empty(n, np.int32)
    n_places = n_trees = 0
    for root in range(n):
        if is_cut[root] or columns[root, 1] >= 0:
            continue
        starts[n_trees] = n_places
        n_trees += 1
        waiting[0] = root
        top = 1
        while top:
            top -= 1
            x = waiting[top]
            order[n_places] = x
            n_places += 1
            # youngest first onto the heap of those waiting, so that the oldest is taken next
            young = first[x]
            while young >= 0:
                waiting[top] = young
                top += 1
                young = following[young]
    starts[n_trees] = n_places
    return order[:n_places].copy(), starts[: n_trees + 1].copy()
