"""Joint draws from a calibrated forest: from the roots down, the own variables of each clique given its separator."""

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
        longest = max(map(len, lists))
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
        self._layout = layout
        self._digits: list[tuple[Block, Digits, Digits]] = []
        sizes = layout.graph.sizes
        for block in reversed(layout.blocks):
            separators = [
                () if layout.forest.above[clique] < 0 else layout.separator(clique) for clique in block.cliques
            ]
            own = [
                layout.forest.cliques[clique][: len(layout.forest.cliques[clique]) - len(separator)]
                for clique, separator in zip(block.cliques, separators, strict=True)
            ]
            self._digits.append((block, Digits.of(own, sizes), Digits.of(separators, sizes)))

    def most_entries(self) -> int:
        """Largest number of entries read for one draw in one step."""
        return max((block.own * block.separator * len(block.cliques) for block, *_ in self._digits), default=1)

    def draw(self, beliefs: FloatArray, rng: np.random.Generator, n: int) -> IntArray:
        """States drawn jointly.

        Parameters
        ----------
        beliefs : float array, shape (n_rows, 1 or n)
            Calibrated tables of one problem, or of one problem for each draw.
        rng : numpy.random.Generator
            Source of random numbers.
        n : int
            Number of draws.

        Returns
        -------
        int array, shape (n_variables, n)
        """
        states = np.zeros((len(self._layout.graph.sizes) + 1, n), np.intp)
        columns = np.arange(n) if beliefs.shape[1] > 1 else np.zeros(n, np.intp)
        flat = beliefs.reshape(-1)
        for block, own, separator in self._digits:
            count = len(block.cliques)
            is_root = self._layout.forest.above[block.cliques[0]] < 0
            own_states, separator_states = (block.own * block.separator, 1) if is_root else (block.own, block.separator)
            given = (states[separator.variables] * separator.steps[:, :, None]).sum(axis=0)
            rows = block.start + np.arange(own_states)[:, None, None] * (separator_states * count)
            rows = rows + (given * count + np.arange(count)[:, None])
            chances = flat.take(rows * beliefs.shape[1] + columns).cumsum(axis=0)
            marks = rng.random((count, n)) * chances[-1]
            drawn = np.minimum((chances <= marks).sum(axis=0), own_states - 1)
            digits = drawn // np.maximum(own.steps, 1)[:, :, None] % own.sizes[:, :, None]
            states[own.variables.reshape(-1)] = digits.reshape(-1, n)
        return states[:-1]
