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


def sums(layout: Layout, beliefs: FloatArray) -> dict[int, FloatArray]:
    """Beliefs summed to the states of each variable, shape (size, n_columns)."""
    found: dict[int, FloatArray] = {}
    for reading in layout.readings:
        tables = beliefs.take(reading.rows, axis=0).sum(axis=0)
        tables = tables.reshape(-1, len(reading.variables), beliefs.shape[1])
        found.update(zip(reading.variables, tables.transpose(1, 0, 2), strict=True))
    for variable, clique in enumerate(layout.smallest):
        if layout.is_wide(clique):
            positions = layout.positions(clique, (variable,))
            found[variable] = project(beliefs[layout.table_rows(clique)], layout.shapes[clique], positions)
    return found


def shares(table: FloatArray, n_shared: int) -> FloatArray:
    """Table whose first axes sum to 1 together; NaN where there is nothing to share.

    Parameters
    ----------
    table : float array
        Sums of at least 0.
    n_shared : int
        Number of axes that sum to 1.

    Returns
    -------
    float array, of the same shape
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(table / table.sum(axis=tuple(range(n_shared))))
