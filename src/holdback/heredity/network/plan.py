"""Everything about a graph that does not depend on the numbers, made once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from holdback.heredity.network.calibrated import Calibrated
from holdback.heredity.network.collected import Collected, collect
from holdback.heredity.network.elimination import TooWide, clique_tree
from holdback.heredity.network.forest import rooted
from holdback.heredity.network.graph import FloatArray, Graph
from holdback.heredity.network.inputs import Inputs
from holdback.heredity.network.layout import Layout


class Plan:
    """Elimination order, junction forest and index maps of one graph; used with any number of table sets.

    Parameters
    ----------
    graph : Graph
        Variables and factors.
    most_entries : int, optional
        Entries that all clique tables together may have.

    Raises
    ------
    TooWide
        If the tables would be larger than allowed; known before any of them is built.

    Notes
    -----
    Time and memory grow with the entries, not with the states of all variables together. A chance below about 1e-290
    of the likeliest in its clique is lost in rounding.

    Examples
    --------
    >>> import numpy as np
    >>> plan = Plan(Graph(sizes=(2, 2), scopes=((0,), (0, 1))))
    >>> found = plan.calibrate([np.array([[0.5, 0.5]]), np.array([[[1.0, 0.0], [0.5, 0.5]]])])
    >>> found.marginal(1).round(6).tolist()
    [[0.75, 0.25]]
    """

    def __init__(self, graph: Graph, *, most_entries: int | None = None) -> None:
        tree = clique_tree(graph)
        self.graph = graph
        self.entries = tree.entries(graph.sizes)
        self.width = tree.width
        if most_entries is not None and self.entries > most_entries:
            raise TooWide(self.entries, self.width, most_entries)
        self._layout = Layout(graph, rooted(graph, tree))
        self._inputs = Inputs(graph, self._layout)

    def collect(self, tables: Sequence[FloatArray]) -> Collected:
        """Messages up to the roots, as far as a set of weights on the first kept set is not needed.

        Parameters
        ----------
        tables : sequence of float array, each of shape (n_batch or 1, sizes of its scope)
            Tables of the factors, with entries of at least 0.

        Returns
        -------
        Collected
            What the factors say of the first kept set.
        """
        return self._collect_flat(self._inputs.flat(tables))

    def _collect_flat(self, flat: FloatArray) -> Collected:
        return collect(self._layout, self._inputs, flat)

    def calibrate(self, tables: Sequence[FloatArray]) -> Calibrated:
        """Likelihood and all marginals.

        Parameters
        ----------
        tables : sequence of float array, each of shape (n_batch or 1, sizes of its scope)
            Tables of the factors, with entries of at least 0. Rows of the batch are problems of their own.

        Returns
        -------
        Calibrated
            Likelihood, marginals and joints of every problem of the batch.
        """
        gathered = [self.graph.sizes[variable] for variable in self.graph.gathered]
        return self.collect(tables).distribute(np.ones((1, *gathered)))
