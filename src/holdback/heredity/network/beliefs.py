"""What both ways down the forest and all readings share."""

from __future__ import annotations

import numpy as np

from holdback.heredity.network.axes import project
from holdback.heredity.network.graph import FloatArray
from holdback.heredity.network.layout import Block, Layout


def drawn_down(layout: Layout, block: Block, beliefs: FloatArray) -> FloatArray:
    """Sums of the beliefs above a block over all but its separators, shape (S * G, n_columns)."""
    if block.pull is not None:
        return np.asarray(beliefs.take(block.pull, axis=0).sum(axis=0))
    above = layout.forest.above[block.cliques[0]]
    return project(beliefs[layout.table_rows(above)], layout.shapes[above], block.pull_positions)


def chances(layout: Layout, beliefs: FloatArray, carried: int = 1) -> list[FloatArray]:
    """Chance of each state of every variable, together with that of a variable carried along.

    Parameters
    ----------
    layout : Layout
        Rows of the cliques.
    beliefs : float array, shape (n_rows, carried * n_batch)
        Tables of the cliques, not necessarily scaled.
    carried : int
        States of the variable carried along; 1 where there is none.

    Returns
    -------
    list of float array, each of shape (carried, n_batch, size)
        In the order of the graph; each problem sums to 1.
    """
    found: dict[int, FloatArray] = {}
    for reading in layout.readings:
        sums = beliefs.take(reading.rows, axis=0).sum(axis=0)
        sums = sums.reshape(-1, len(reading.variables), carried, beliefs.shape[1] // carried)
        found.update(zip(reading.variables, shares(sums.transpose(1, 2, 3, 0), (1, 3)), strict=True))
    for variable, clique in enumerate(layout.smallest):
        if layout.is_wide(clique):
            positions = layout.positions(clique, (variable,))
            sums = project(beliefs[layout.table_rows(clique)], layout.shapes[clique], positions)
            found[variable] = shares(sums.reshape(len(sums), carried, -1).transpose(1, 2, 0), (0, 2))
    return [found[variable] for variable in range(len(layout.graph.sizes))]


def shares(table: FloatArray, axes: tuple[int, ...]) -> FloatArray:
    """Table that sums to 1 over some axes together; NaN where there is nothing to share.

    Parameters
    ----------
    table : float array
        Sums of at least 0.
    axes : tuple of int
        Axes that sum to 1 together.

    Returns
    -------
    float array, of the same shape
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(table / table.sum(axis=axes, keepdims=True))
