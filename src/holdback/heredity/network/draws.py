"""Joint draws from a forest: from the roots down, the own variables of each clique given its separator."""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

import numpy as np

from holdback.heredity.network.graph import FloatArray, IntArray
from holdback.heredity.network.layout import Block, Layout


@dataclass(frozen=True)
class Digits:
    """Variables of each clique of a block, and what one state of each counts in the row.

    Parameters
    ----------
    variables, steps, sizes : int array, shape (most variables in a clique, n_cliques)
        Cliques with fewer variables are filled up with one that does not exist, of step 0 and size 1.
    """

    variables: IntArray
    steps: IntArray
    sizes: IntArray

    @classmethod
    def of(cls, lists: list[tuple[int, ...]], sizes: tuple[int, ...]) -> Digits:
        """Digits of lists of variables, the last of each counting 1."""
        longest = max(map(len, lists), default=0)
        shape = (longest, len(lists))
        found = cls(np.full(shape, len(sizes)), np.zeros(shape, np.intp), np.ones(shape, np.intp))
        for column, variables in enumerate(lists):
            for place, variable in enumerate(variables):
                found.variables[place, column] = variable
                found.steps[place, column] = prod(sizes[later] for later in variables[place + 1 :])
                found.sizes[place, column] = sizes[variable]
        return found


class Draws:
    """Maps for drawing; made once for a layout.

    Parameters
    ----------
    layout : Layout
        Rows of the cliques.
    """

    def __init__(self, layout: Layout) -> None:
        self._n_variables = len(layout.graph.sizes)
        self._steps = [_step(layout, block) for block in reversed(layout.blocks)]

    def most_entries(self) -> int:
        """Largest number of entries read for one draw in one step."""
        return max((step.rows.size for step in self._steps), default=1)

    def draw(self, beliefs: FloatArray, rng: np.random.Generator, n: int) -> IntArray:
        """States drawn jointly.

        Parameters
        ----------
        beliefs : float array, shape (n_rows, 1 or n)
            Tables of one problem, or of one problem for each draw: calibrated, or as collected from below, which differ
            by a factor of the separator alone.
        rng : numpy.random.Generator
            Source of random numbers.
        n : int
            Number of draws.

        Returns
        -------
        int array, shape (n_variables, n)
        """
        states = np.zeros((self._n_variables + 1, n), np.intp)
        n_columns = beliefs.shape[1]
        columns = np.arange(n) if n_columns > 1 else np.zeros(n, np.intp)
        flat = beliefs.reshape(-1)
        for step in self._steps:
            given = (states[step.separator.variables] * step.separator.steps[:, :, None]).sum(axis=0)
            given *= n_columns
            given += columns
            chances = flat.take((step.rows * n_columns)[:, :, None] + given).cumsum(axis=0)
            marks = rng.random(given.shape) * chances[-1]
            drawn = np.minimum((chances <= marks).sum(axis=0), len(chances) - 1)
            for variables, steps, sizes in zip(step.own.variables, step.own.steps, step.own.sizes, strict=True):
                states[variables] = drawn // steps[:, None] % sizes[:, None]
        return states[:-1]


@dataclass(frozen=True)
class _Step:
    """Rows of one block by state of the own variables and by clique, and the variables behind the states.

    A state of the separator moves on by `separator.steps` rows.
    """

    rows: IntArray
    own: Digits
    separator: Digits


def _step(layout: Layout, block: Block) -> _Step:
    count = len(block.cliques)
    is_root = layout.forest.above[block.cliques[0]] < 0
    separators = [() if is_root else layout.separator(clique) for clique in block.cliques]
    cliques = [layout.forest.cliques[clique] for clique in block.cliques]
    own = [clique[: len(clique) - len(below)] for clique, below in zip(cliques, separators, strict=True)]
    within = 1 if is_root else block.separator
    states = block.own * block.separator // within
    rows = block.start + np.arange(states)[:, None] * (within * count) + np.arange(count)
    sizes = layout.graph.sizes
    moved = Digits.of(separators, sizes)
    digits = Digits.of(own, sizes)
    return _Step(
        rows,
        Digits(digits.variables, np.maximum(digits.steps, 1), digits.sizes),
        Digits(moved.variables, moved.steps * count, moved.sizes),
    )
