"""Tables of the factors on their way into the cliques."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import prod

import numpy as np

from holdback.heredity.network.axes import pattern, product, spread
from holdback.heredity.network.graph import FloatArray, Graph, IntArray
from holdback.heredity.network.layout import Layout

TINY = float(np.finfo(np.float64).tiny)
RESCALE = 24
"""Tables multiplied into one clique before its largest entry is brought back to 1; each has entries of at most 1."""


class Inputs:
    """Where the table of each factor goes.

    Parameters
    ----------
    graph : Graph
        The graph.
    layout : Layout
        Rows of its cliques.
    """

    def __init__(self, graph: Graph, layout: Layout) -> None:
        self._layout = layout
        self.shapes = [tuple([graph.sizes[variable] for variable in scope]) for scope in graph.scopes]
        lengths = [prod(shape) for shape in self.shapes]
        self.lengths = np.array(lengths, np.intp)
        self.starts = np.concatenate(([0], np.cumsum(self.lengths)))
        hosts = [layout.forest.host(scope) for scope in graph.scopes]
        n_pieces = max(layout.forest.pieces, default=-1) + 1
        # Factors of no variable belong to no piece and are counted behind the last.
        self.pieces = np.array([layout.forest.pieces[host] if host >= 0 else n_pieces for host in hosts], np.intp)
        held: dict[int, list[int]] = defaultdict(list)
        for factor, host in enumerate(hosts):
            if host >= 0:
                held[host].append(factor)
        self._first = np.full(layout.n_small, self.starts[-1])
        self._turns: list[tuple[IntArray, IntArray]] = []
        self._wide: dict[int, list[tuple[int, tuple[int, ...]]]] = {}
        self._crowded = [clique for clique, factors in held.items() if len(factors) > RESCALE]
        self._place(graph, held)

    def _place(self, graph: Graph, held: dict[int, list[int]]) -> None:
        layout = self._layout
        turns: dict[int, list[tuple[IntArray, IntArray]]] = defaultdict(list)
        for clique, factors in held.items():
            rows = layout.table_rows(clique)
            for turn, factor in enumerate(factors):
                positions = layout.positions(clique, graph.scopes[factor])
                if layout.is_wide(clique):
                    self._wide.setdefault(clique, []).append((factor, positions))
                    continue
                entries = pattern(layout.shapes[clique], positions) + self.starts[factor]
                if turn:
                    turns[turn].append((np.arange(rows.start, rows.stop, rows.step), entries))
                else:
                    self._first[rows] = entries
        for turn in sorted(turns):
            rows_, entries_ = zip(*turns[turn], strict=True)
            self._turns.append((np.concatenate(rows_), np.concatenate(entries_)))

    def flat(self, tables: Sequence[FloatArray]) -> FloatArray:
        """All tables below one another, shape (n_entries, n_batch)."""
        assert len(tables) == len(self.shapes), "one table for each factor"
        assert all(table.shape[1:] == shape for table, shape in zip(tables, self.shapes, strict=True)), (
            "a table has the batch first and then the states of its variables"
        )
        n_batch = max((len(table) for table in tables), default=1)
        flat = np.empty((int(self.starts[-1]), n_batch))
        single = [factor for factor, table in enumerate(tables) if len(table) == 1]
        if len(single) == len(tables):
            if tables:
                np.concatenate([table.reshape(-1) for table in tables], out=flat[:, 0])
            return flat
        for factor, table in enumerate(tables):
            flat[self.starts[factor] : self.starts[factor + 1]] = table.reshape(len(table), -1).T
        return flat

    def load(self, flat: FloatArray, rows: FloatArray) -> tuple[FloatArray, FloatArray, IntArray]:
        """Multiply the tables into the cliques.

        Parameters
        ----------
        flat : float array, shape (n_entries, n_batch)
            Tables as `flat` lays them.
        rows : float array, shape (n_rows, n_batch)
            Tables of the cliques, filled here for the small ones.

        Returns
        -------
        scaled : float array, shape (n_entries + 1, n_batch)
            The tables, the largest entry of each 1, and a row of ones.
        logs : float array, shape (n_terms, n_batch)
            Logarithms taken out of the tables.
        pieces : int array, shape (n_terms,)
            Piece that each belongs to; factors of no variable behind the last.
        """
        scaled = np.ones((len(flat) + 1, flat.shape[1]))
        logs, pieces = np.empty((0, flat.shape[1])), self.pieces
        if len(flat):
            largest = np.maximum.reduceat(flat, self.starts[:-1], axis=0)
            peaks = np.maximum(largest, TINY)
            np.divide(flat, np.repeat(peaks, self.lengths, axis=0), out=scaled[:-1])
            logs = np.log(peaks)
            # A table of zeros alone has no largest entry to take out.
            logs[largest == 0.0] = -np.inf
        small = rows[: self._layout.n_small]
        np.take(scaled, self._first, axis=0, out=small, mode="clip")
        for turn, (places, entries) in enumerate(self._turns, start=1):
            rows[places] *= scaled.take(entries, axis=0)
            if turn % RESCALE == 0:
                extra, where = self._rescale(rows)
                logs, pieces = np.concatenate((logs, extra)), np.concatenate((pieces, where))
        return scaled, logs, pieces

    def _rescale(self, rows: FloatArray) -> tuple[FloatArray, IntArray]:
        """Bring the largest entry of each clique with many factors back to 1."""
        layout = self._layout
        cliques = [clique for clique in self._crowded if not layout.is_wide(clique)]
        logs = np.empty((len(cliques), rows.shape[1]))
        for number, clique in enumerate(cliques):
            own = rows[layout.table_rows(clique)]
            peak = np.maximum(own.max(axis=0), TINY)
            own /= peak
            logs[number] = np.log(peak)
        return logs, np.array([layout.forest.pieces[clique] for clique in cliques], np.intp)

    def wide(self, clique: int, scaled: FloatArray, messages: list[tuple[FloatArray, tuple[int, ...]]]) -> FloatArray:
        """Product of all factors and messages of a large clique, shape (entries, n_batch)."""
        shape = self._layout.shapes[clique]
        parts = [
            (spread(scaled[self.starts[factor] : self.starts[factor + 1]], shape, positions), positions)
            for factor, positions in self._wide.get(clique, ())
        ]
        parts += [(spread(message, shape, positions), positions) for message, positions in messages]
        return product(parts, shape, scaled.shape[1])
