"""Joint chances of any two variables, by walks over a calibrated forest.

The state of one variable is carried along as a further axis: each step multiplies the belief of the next clique by the
joint on the separator over the belief on the separator. Tables here have rows as in the layout and columns
``state * n_batch + problem``.
"""

from __future__ import annotations

import numpy as np

from holdback.heredity.network.axes import pattern, project, spread
from holdback.heredity.network.beliefs import drawn_down
from holdback.heredity.network.graph import FloatArray
from holdback.heredity.network.inputs import TINY
from holdback.heredity.network.layout import Layout


class Walk:
    """Joints of one variable with the cliques of its piece.

    Parameters
    ----------
    layout : Layout
        Rows of the cliques.
    beliefs, separators : float array
        Calibrated tables and separators.
    variable : int
        The variable whose state is carried.
    """

    def __init__(self, layout: Layout, beliefs: FloatArray, separators: FloatArray, variable: int) -> None:
        self._layout = layout
        self._beliefs = beliefs
        self._separators = separators
        self.size = layout.graph.sizes[variable]
        self.start = layout.forest.owner[variable]
        own = pattern(layout.shapes[self.start], layout.positions(self.start, (variable,)))
        is_state = own[:, None, None] == np.arange(self.size)[:, None]
        self._table = (self._belief(self.start)[:, None] * is_state).reshape(len(own), -1)

    def _belief(self, clique: int) -> FloatArray:
        return self._beliefs[self._layout.table_rows(clique)]

    def _ratio(self, joint: FloatArray, clique: int) -> FloatArray:
        """Joint on the separator above a clique, over the belief there."""
        belief = np.maximum(self._separators[self._layout.message_rows(clique)], TINY)
        return (joint.reshape(len(belief), self.size, -1) / belief[:, None]).reshape(len(belief), -1)

    def _times(self, clique: int, ratio: FloatArray) -> FloatArray:
        """Belief of a clique times a ratio spread over its axes."""
        shape = self._layout.shapes[clique]
        belief = self._belief(clique).reshape(*shape, 1, -1)
        return (belief * ratio.reshape(*ratio.shape[:-1], self.size, -1)).reshape(self._layout.lengths[clique], -1)

    def up(self, end: int) -> dict[int, FloatArray]:
        """Tables of the cliques from the start up to one above it, or to the root for -1."""
        layout, table, clique = self._layout, self._table, self.start
        walked = {clique: table}
        while clique != end and (above := layout.forest.above[clique]) >= 0:
            separator = layout.separator(clique)
            length = len(self._separators[layout.message_rows(clique)])
            joint = table.reshape(-1, length * table.shape[1]).sum(axis=0).reshape(length, -1)
            positions = layout.positions(above, separator)
            table = self._times(above, spread(self._ratio(joint, clique), layout.shapes[above], positions))
            clique = above
            walked[clique] = table
        return walked

    def down(self, clique: int, table: FloatArray) -> FloatArray:
        """Table of a clique from that of the clique above it."""
        layout, above = self._layout, self._layout.forest.above[clique]
        separator = layout.separator(clique)
        joint = project(table, layout.shapes[above], layout.positions(above, separator))
        places = layout.positions(clique, separator)
        return self._times(clique, spread(self._ratio(joint, clique), layout.shapes[clique], places))

    def everywhere(self, chances: FloatArray) -> FloatArray:
        """Tables of all cliques, with the chances of the variable's states (size, n_batch) in other pieces."""
        layout, walked = self._layout, self.up(-1)
        tables = np.empty((layout.n_rows, self._table.shape[1]))
        for block in reversed(layout.blocks):
            beliefs = self._beliefs[block.rows]
            if layout.forest.above[block.cliques[0]] < 0:
                tables[block.rows] = (beliefs[:, None] * chances).reshape(len(beliefs), -1)
            else:
                joint = drawn_down(layout, block, tables)
                separators = np.maximum(self._separators[block.messages], TINY)
                ratio = joint.reshape(len(joint), self.size, -1) / separators[:, None]
                shape = (block.own, len(joint), self.size, beliefs.shape[1])
                np.multiply(beliefs.reshape(block.own, len(joint), 1, -1), ratio, out=tables[block.rows].reshape(shape))
            for clique in walked.keys() & set(block.cliques):
                tables[layout.table_rows(clique)] = walked[clique]
        return tables


def joint(layout: Layout, beliefs: FloatArray, separators: FloatArray, first: int, second: int) -> FloatArray:
    """Sums for two different variables of one piece, shape (size of second, size of first * n_batch)."""
    walk = Walk(layout, beliefs, separators, first)
    clique = layout.forest.owner[second]
    way = [clique]
    while layout.forest.above[way[-1]] >= 0:
        way.append(layout.forest.above[way[-1]])
    upwards = [walk.start]
    while upwards[-1] not in way:
        upwards.append(layout.forest.above[upwards[-1]])
    table = walk.up(upwards[-1])[upwards[-1]]
    for lower in reversed(way[: way.index(upwards[-1])]):
        table = walk.down(lower, table)
    return project(table, layout.shapes[clique], layout.positions(clique, (second,)))
