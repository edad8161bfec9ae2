"""Tables of one clique by their axes: multiplied in, and summed out.

Tables here have one axis for each variable and a last axis for the batch.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np

from holdback.heredity.network.graph import FloatArray, IntArray


@lru_cache(maxsize=1 << 14)
def pattern(sizes: tuple[int, ...], positions: tuple[int, ...]) -> IntArray:
    """Place in the table of some variables of a clique, for every entry of the clique.

    Parameters
    ----------
    sizes : tuple of int
        States of the variables of the clique.
    positions : tuple of int
        Where the variables of the table stand in the clique, in the order of the table.

    Returns
    -------
    int array, shape (product of sizes,)
        Row-major index into the table.
    """
    steps = [0] * len(sizes)
    step = 1
    for position in reversed(positions):
        steps[position] = step
        step *= sizes[position]
    places = np.zeros(1, np.intp)
    for size, step in zip(sizes, steps, strict=True):
        places = (places[:, None] + step * np.arange(size)).ravel()
    places.setflags(write=False)
    return places


@lru_cache(maxsize=1 << 14)
def fibres(sizes: tuple[int, ...], positions: tuple[int, ...]) -> IntArray:
    """Entries of a clique that sum to each entry of the table of some of its variables.

    Returns
    -------
    int array, shape (entries of the clique / entries of the table, entries of the table)
    """
    length = 1
    for position in positions:
        length *= sizes[position]
    found = np.ascontiguousarray(np.argsort(pattern(sizes, positions), kind="stable").reshape(length, -1).T)
    found.setflags(write=False)
    return found


def spread(table: FloatArray, sizes: tuple[int, ...], positions: tuple[int, ...]) -> FloatArray:
    """Table of some variables of a clique, with axes of length 1 for the others.

    Parameters
    ----------
    table : float array, shape (product of the table's sizes, n_batch)
        Row-major in the order of `positions`.
    sizes, positions : tuple of int
        As for `pattern`.

    Returns
    -------
    float array, shape (size or 1 for each variable of the clique, n_batch)
    """
    own = [sizes[position] for position in positions]
    order = sorted(range(len(positions)), key=positions.__getitem__)
    shape = [1] * len(sizes)
    for position in positions:
        shape[position] = sizes[position]
    return table.reshape(*own, -1).transpose(*order, len(own)).reshape(*shape, -1)


def project(table: FloatArray, sizes: tuple[int, ...], positions: tuple[int, ...]) -> FloatArray:
    """Sum of a clique's table over all variables but some.

    Parameters
    ----------
    table : float array, shape (product of sizes, n_batch)
        Table of the clique.
    sizes, positions : tuple of int
        As for `pattern`.

    Returns
    -------
    float array, shape (product of the sizes at `positions`, n_batch)
        Row-major in the order of `positions`.
    """
    kept = sorted(positions)
    full = table.reshape(*sizes, -1)
    summed = full.sum(axis=tuple(axis for axis in range(len(sizes)) if axis not in positions))
    order = [kept.index(position) for position in positions]
    length = 1
    for position in positions:
        length *= sizes[position]
    return np.asarray(summed.transpose(*order, len(order)).reshape(length, -1))


def product(parts: Iterable[tuple[FloatArray, tuple[int, ...]]], sizes: Sequence[int], n_batch: int) -> FloatArray:
    """Product of tables over parts of one large clique.

    Those over the last variables come first, so that the product stays small for as long as it can.

    Parameters
    ----------
    parts : iterable of (float array, tuple of int)
        Tables spread over the axes of the clique, and their positions.
    sizes : sequence of int
        States of the variables of the clique.
    n_batch : int
        Length of the last axis.

    Returns
    -------
    float array, shape (product of sizes, n_batch)
    """
    made = np.ones(1)
    for part, _ in sorted(parts, key=lambda item: min(item[1], default=len(sizes)), reverse=True):
        made = made * part
    return np.ascontiguousarray(np.broadcast_to(made, (*sizes, n_batch))).reshape(-1, n_batch)
