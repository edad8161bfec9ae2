"""One block of a blocked sampler: some variables held fixed, the rest calculated exactly and drawn jointly.

All chains are worked together, one column each.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

import numpy as np

from holdback.heredity.network.axes import fibres
from holdback.heredity.network.calibrated import Calibrated
from holdback.heredity.network.draws import Digits, Draws
from holdback.heredity.network.graph import FloatArray, Graph, IntArray
from holdback.heredity.network.plan import Plan


@dataclass(frozen=True)
class _Reading:
    """Where tables of one shape are read from the beliefs, and where they are added."""

    rows: IntArray
    places: IntArray
    fixed: Digits


class FreeBlock:
    """The rest of a graph with some variables held fixed.

    Parameters
    ----------
    graph : Graph
        The whole graph.
    breakers : frozenset of int
        Variables held fixed.
    clusters : sequence of tuple of int
        Sets of variables, each within one factor or alone, whose joint chances are added up.
    """

    def __init__(self, graph: Graph, breakers: frozenset[int], clusters: Sequence[tuple[int, ...]]) -> None:
        self.free = [variable for variable in range(len(graph.sizes)) if variable not in breakers]
        number = {variable: place for place, variable in enumerate(self.free)}
        self._graph = graph
        self._number = number
        scopes = tuple([tuple([number[v] for v in scope if v in number]) for scope in graph.scopes])
        keep = tuple({tuple([number[v] for v in cluster if v in number]) for cluster in clusters if len(cluster) > 1})
        self.plan = Plan(Graph(tuple([graph.sizes[v] for v in self.free]), scopes, ((), *keep)))
        self._draws = Draws(self.plan._layout)
        self._slices(breakers)
        self._readings = self._read(clusters, breakers)

    def _slices(self, breakers: frozenset[int]) -> None:
        """Where the part of each table that goes with the fixed states is found."""
        sizes = self._graph.sizes
        starts, entries, fixed, steps = 0, [], [], []
        for scope in self._graph.scopes:
            shape = tuple([sizes[variable] for variable in scope])
            rows = np.arange(starts, starts + prod(shape)).reshape(shape)
            entries.append(rows[tuple([0 if variable in breakers else slice(None) for variable in scope])].reshape(-1))
            held = [place for place, variable in enumerate(scope) if variable in breakers]
            fixed.append([scope[place] for place in held])
            steps.append([prod(shape[place + 1 :]) for place in held])
            starts += prod(shape)
        most = max(map(len, fixed), default=0)
        self._entries = np.concatenate(entries) if entries else np.empty(0, np.intp)
        self._factor = np.repeat(np.arange(len(entries)), [len(one) for one in entries])
        self._fixed = np.array([one + [len(sizes)] * (most - len(one)) for one in fixed], np.intp).reshape(
            len(fixed), most
        )
        self._steps = np.array([one + [0] * (most - len(one)) for one in steps], np.intp).reshape(len(steps), most)

    def _read(self, clusters: Sequence[tuple[int, ...]], breakers: frozenset[int]) -> list[_Reading]:
        layout, sizes = self.plan._layout, self._graph.sizes
        alike: dict[tuple[int, int], list[tuple[IntArray, IntArray, tuple[int, ...], int]]] = defaultdict(list)
        start = 0
        self.counted = np.zeros(len(clusters), np.bool_)
        for index, cluster in enumerate(clusters):
            shape = tuple([sizes[variable] for variable in cluster])
            own = tuple([self._number[variable] for variable in cluster if variable not in breakers])
            if own:
                self.counted[index] = True
                clique = layout.smallest[own[0]] if len(own) == 1 else layout.forest.host(own)
                rows = layout.table_rows(clique)
                from_ = fibres(layout.shapes[clique], layout.positions(clique, own)) * rows.step + rows.start
                entries = np.arange(prod(shape)).reshape(shape)
                to = entries[tuple([0 if variable in breakers else slice(None) for variable in cluster])].reshape(-1)
                alike[from_.shape].append((from_, to + start, cluster, index))
            start += prod(shape)
        readings = []
        for group in alike.values():
            gathered = np.array([one[0] for one in group]).transpose(1, 2, 0)
            digits = Digits.of([one[2] for one in group], sizes)
            held = np.isin(digits.variables, list(breakers))
            fixed = Digits(np.where(held, digits.variables, len(sizes)), digits.steps * held, digits.sizes)
            rows_ = np.ascontiguousarray(gathered).reshape(len(gathered), -1)
            readings.append(_Reading(rows_, np.array([one[1] for one in group]).T, fixed))
        return readings

    def sweep(self, flat: FloatArray, states: IntArray, sums: FloatArray | None, rng: np.random.Generator) -> None:
        """Draw the free variables of all chains given the fixed ones, and add up the exact chances.

        Parameters
        ----------
        flat : float array, shape (n_entries,)
            All tables of the whole graph, one after the other.
        states : int array, shape (n_variables + 1, n_chains)
            State of every variable in every chain, changed in place; the last row is 0.
        sums : float array, shape (entries of all clusters, n_chains), or None
            Added to in place, for clusters with a free variable.
        rng : numpy.random.Generator
            Source of random numbers.
        """
        offsets = (states[self._fixed] * self._steps[:, :, None]).sum(axis=1)
        tables = flat.take(self._entries[:, None] + offsets.take(self._factor, axis=0))
        n_chains = states.shape[1]
        found = self.plan._collect_flat(tables)
        if sums is not None:
            self._add_up(found.distribute(np.ones((1,))), states, sums)
        states[self.free] = self._draws.draw(found._rows, rng, n_chains)

    def _add_up(self, found: Calibrated, states: IntArray, sums: FloatArray) -> None:
        """Add the exact chances given the fixed states."""
        n_chains = states.shape[1]
        columns = np.arange(n_chains)
        for reading in self._readings:
            read = found._beliefs.take(reading.rows, axis=0).sum(axis=0).reshape(*reading.places.shape, n_chains)
            read /= read.sum(axis=0)
            places = (states[reading.fixed.variables] * reading.fixed.steps[:, :, None]).sum(axis=0)
            sums[reading.places[:, :, None] + places, columns] += read
