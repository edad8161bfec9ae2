"""Where the numbers of a junction forest lie, and which numbers each step of a pass reads.

Cliques of one height, one shape of table and one shape of separator make a **block** and are computed together. A
block of G cliques with tables of K entries takes K * G rows: entry k of clique g is row ``start + k * G + g``. With a
clique's own variables first (R states together) and its separator last (S states), K = R * S, and summing out the own
variables adds R contiguous runs. Messages lie likewise, S * G rows for a block. Rows have one column for each problem
of the batch. Small cliques have the first rows, large ones the last.

Small cliques read factors, messages and beliefs through index arrays; a clique above `WIDE` entries is a block of its
own and works along axes instead, as its index arrays would be larger than its table.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import prod

import numpy as np

from holdback.heredity.network.axes import fibres, pattern
from holdback.heredity.network.forest import Forest
from holdback.heredity.network.graph import Graph, IntArray

WIDE = 1 << 13
"""Entries above which a clique is worked along its axes."""


@dataclass
class Block:
    """Cliques of one shape that are computed together.

    Parameters
    ----------
    cliques : list of int
        Numbers of the cliques; those with most cliques below them first.
    own, separator : int
        States of the own variables together (R) and of the separator together (S).
    start, message, scale : int
        First row of the tables, of the messages and of the scales (one row a clique).
    feeds : list of int array, shape (K, number of cliques fed)
        Rows of the messages from below, one array for the first clique below each, one for the second, and so on.
    wide_feeds : list of (int, tuple of int)
        The same for a wide clique: clique below, and the positions of its separator.
    pull : int array, shape (entries above / S, S * G) or None
        Rows of the belief above that sum to each entry of the separators; None below a wide clique and at a root.
    pull_positions : tuple of int
        Positions of the separator in a wide clique above.
    """

    cliques: list[int]
    own: int
    separator: int
    start: int
    message: int
    scale: int
    feeds: list[IntArray] = field(default_factory=list)
    wide_feeds: list[tuple[int, tuple[int, ...]]] = field(default_factory=list)
    pull: IntArray | None = None
    pull_positions: tuple[int, ...] = ()

    @property
    def rows(self) -> slice:
        """Rows of the tables."""
        return slice(self.start, self.start + self.own * self.separator * len(self.cliques))

    @property
    def messages(self) -> slice:
        """Rows of the messages."""
        return slice(self.message, self.message + self.separator * len(self.cliques))

    @property
    def scales(self) -> slice:
        """Rows of the scales."""
        return slice(self.scale, self.scale + len(self.cliques))


@dataclass(frozen=True)
class Reading:
    """Variables of one size, read off small cliques of one size.

    Parameters
    ----------
    variables : list of int
        The variables.
    rows : int array, shape (K / size, size * n_variables)
        Rows of the beliefs that sum to each state; the states of all variables, then the next state.
    """

    variables: list[int]
    rows: IntArray


class Layout:
    """Rows of all cliques, and the blocks in the order of the pass upwards.

    Parameters
    ----------
    graph : Graph
        The graph.
    forest : Forest
        Its rooted junction forest.
    """

    def __init__(self, graph: Graph, forest: Forest) -> None:
        count = len(forest.cliques)
        self.graph = graph
        self.shapes = [tuple([graph.sizes[variable] for variable in clique]) for clique in forest.cliques]
        self.lengths = [prod(shape) for shape in self.shapes]
        self.forest = forest
        self.places = [{variable: place for place, variable in enumerate(clique)} for clique in forest.cliques]
        self.below: list[list[int]] = [[] for _ in range(count)]
        for clique, above in enumerate(forest.above):
            if above >= 0:
                self.below[above].append(clique)
        self.block_of = [0] * count
        self.column_of = [0] * count
        self.blocks = self._blocks()
        self.n_rows = sum(self.lengths)
        self.n_messages = sum(block.separator * len(block.cliques) for block in self.blocks)
        for block in self.blocks:
            self._connect(block)

    def is_wide(self, clique: int) -> bool:
        """Whether a clique is worked along its axes."""
        return self.lengths[clique] > WIDE

    def separator(self, clique: int) -> tuple[int, ...]:
        """Variables that a clique shares with the one above."""
        length = self.forest.separators[clique]
        return self.forest.cliques[clique][-length:] if length else ()

    def positions(self, clique: int, variables: Sequence[int]) -> tuple[int, ...]:
        """Places of some variables in a clique."""
        places = self.places[clique]
        return tuple([places[variable] for variable in variables])

    def table_rows(self, clique: int) -> slice:
        """Rows of the table of one clique, in the order of its entries."""
        block = self.blocks[self.block_of[clique]]
        return slice(block.start + self.column_of[clique], block.rows.stop, len(block.cliques))

    def message_rows(self, clique: int) -> slice:
        """Rows of the message of one clique, in the order of the entries of its separator."""
        block = self.blocks[self.block_of[clique]]
        return slice(block.message + self.column_of[clique], block.messages.stop, len(block.cliques))

    @cached_property
    def scale_pieces(self) -> IntArray:
        """Piece of the clique behind each row of the scales, shape (n_cliques,)."""
        cliques = [clique for block in self.blocks for clique in block.cliques]
        return np.array([self.forest.pieces[clique] for clique in cliques], np.intp)

    @cached_property
    def finished(self) -> tuple[IntArray, IntArray]:
        """Rows of the messages of the roots that gather nothing, and their pieces."""
        forest = self.forest
        roots = [n for n, above in enumerate(forest.above) if above < 0 and n != forest.gathering]
        rows = np.array([self.message_rows(root).start for root in roots], np.intp)
        return rows, np.array([forest.pieces[root] for root in roots], np.intp)

    @cached_property
    def smallest(self) -> list[int]:
        """Clique with the fewest entries among those that hold each variable."""
        return [min(cliques, key=self.lengths.__getitem__) for cliques in self._cliques_of]

    @cached_property
    def readings(self) -> list[Reading]:
        """Where the marginals of all variables in small cliques are read, those of one shape together."""
        alike: dict[tuple[int, int], list[int]] = defaultdict(list)
        for variable, clique in enumerate(self.smallest):
            if not self.is_wide(clique):
                alike[self.graph.sizes[variable], self.lengths[clique]].append(variable)
        found = []
        for variables in alike.values():
            parts = []
            for variable in variables:
                clique = self.smallest[variable]
                rows = self.table_rows(clique)
                parts.append(fibres(self.shapes[clique], self.positions(clique, (variable,))) * rows.step + rows.start)
            gathered = np.ascontiguousarray(np.array(parts).transpose(1, 2, 0))
            found.append(Reading(variables, gathered.reshape(len(gathered), -1)))
        return found

    def holding(self, variables: tuple[int, ...]) -> int:
        """Smallest clique with all of some variables; KeyError if there is none."""
        among = min((self._cliques_of[variable] for variable in variables), key=len)
        fitting = [clique for clique in among if all(variable in self.places[clique] for variable in variables)]
        if not fitting:
            raise KeyError(f"no clique holds {variables}: ask for a pair by joint, or keep them together in the graph")
        return min(fitting, key=self.lengths.__getitem__)

    @cached_property
    def _cliques_of(self) -> list[list[int]]:
        """Cliques that hold each variable."""
        found: list[list[int]] = [[] for _ in self.graph.sizes]
        for clique, variables in enumerate(self.forest.cliques):
            for variable in variables:
                found[variable].append(clique)
        return found

    def _blocks(self) -> list[Block]:
        forest = self.forest
        alike: dict[tuple[int, int, int, int, int], list[int]] = defaultdict(list)
        for clique, above in enumerate(forest.above):
            separator = prod(self.shapes[clique][len(self.shapes[clique]) - forest.separators[clique] :])
            own = self.lengths[clique] // separator
            alone = -1
            if self.is_wide(clique) or (above >= 0 and self.is_wide(above)) or clique == forest.gathering:
                alone = clique
            over = self.lengths[above] if above >= 0 else 0
            alike[forest.heights[clique], own, separator, over, alone].append(clique)
        blocks: list[Block] = []
        start = message = scale = 0
        wide_start = sum(length for length in self.lengths if length <= WIDE)
        for key in sorted(alike):
            cliques = sorted(alike[key], key=lambda clique: -len(self.below[clique]))
            wide = self.is_wide(cliques[0])
            block = Block(cliques, key[1], key[2], wide_start if wide else start, message, scale)
            if wide:
                wide_start = block.rows.stop
            else:
                start = block.rows.stop
            message, scale = block.messages.stop, block.scales.stop
            for column, clique in enumerate(cliques):
                self.block_of[clique], self.column_of[clique] = len(blocks), column
            blocks.append(block)
        self.n_small = start
        return blocks

    def _connect(self, block: Block) -> None:
        """Set down what the cliques of a block read from below and from above."""
        first = block.cliques[0]
        if self.is_wide(first):
            for clique in self.below[first]:
                block.wide_feeds.append((clique, self.positions(first, self.separator(clique))))
        else:
            for turn in range(len(self.below[first])):
                fed = [clique for clique in block.cliques if len(self.below[clique]) > turn]
                block.feeds.append(self._feed(fed, [self.below[clique][turn] for clique in fed]))
        above = [self.forest.above[clique] for clique in block.cliques]
        if above[0] >= 0 and self.is_wide(above[0]):
            block.pull_positions = self.positions(above[0], self.separator(first))
        elif above[0] >= 0:
            block.pull = self._pull(block, above)

    def _feed(self, cliques: list[int], below: list[int]) -> IntArray:
        parts, steps, starts = [], [], []
        for clique, lower in zip(cliques, below, strict=True):
            parts.append(pattern(self.shapes[clique], self.positions(clique, self.separator(lower))))
            block = self.blocks[self.block_of[lower]]
            steps.append(len(block.cliques))
            starts.append(block.message + self.column_of[lower])
        return np.ascontiguousarray(np.array(parts).T * np.array(steps) + np.array(starts))

    def _pull(self, block: Block, above: list[int]) -> IntArray:
        parts, steps, starts = [], [], []
        for clique, upper in zip(block.cliques, above, strict=True):
            parts.append(fibres(self.shapes[upper], self.positions(upper, self.separator(clique))))
            over = self.blocks[self.block_of[upper]]
            steps.append(len(over.cliques))
            starts.append(over.start + self.column_of[upper])
        gathered = np.array(parts).transpose(1, 2, 0) * np.array(steps) + np.array(starts)
        return np.ascontiguousarray(gathered).reshape(len(gathered), -1)
