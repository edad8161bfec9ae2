"""Beliefs of a calibrated forest, and what is read off them."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from holdback.heredity.network.axes import project
from holdback.heredity.network.beliefs import chances, shares
from holdback.heredity.network.draws import Draws
from holdback.heredity.network.graph import FloatArray, IntArray
from holdback.heredity.network.joints import Walk, joint
from holdback.heredity.network.layout import Layout


class Calibrated:
    """Likelihood, marginals and joints of every problem of a batch.

    Where the factors leave no state possible, the logarithm is ``-inf`` and the beliefs are NaN.

    Attributes
    ----------
    log_likelihood : float array, shape (n_batch,)
        Natural logarithm of the sum of the product of all factors over all states.
    component_log : float array, shape (n_batch, n_components)
        The same for each connected piece of the graph.
    component_of : int array, shape (n_variables,)
        Piece that each variable belongs to.
    """

    def __init__(self, layout: Layout, beliefs: FloatArray, separators: FloatArray, piece_logs: FloatArray) -> None:
        self._layout = layout
        self._beliefs = beliefs
        self._separators = separators
        self.component_log = np.ascontiguousarray(piece_logs[:-1].T)
        self.log_likelihood = piece_logs.sum(axis=0)

    @property
    def n_batch(self) -> int:
        """Number of problems."""
        return int(self._beliefs.shape[1])

    @cached_property
    def component_of(self) -> IntArray:
        """Piece that each variable belongs to, shape (n_variables,)."""
        forest = self._layout.forest
        return np.array([forest.pieces[owner] for owner in forest.owner], np.intp)

    def marginal(self, variable: int) -> FloatArray:
        """Chance of each state of a variable.

        Parameters
        ----------
        variable : int
            Number of the variable.

        Returns
        -------
        float array, shape (n_batch, size)
            Sums to 1.
        """
        return self.cluster((variable,))

    def marginals(self) -> list[FloatArray]:
        """Chance of each state of every variable, in the order of the graph.

        Returns
        -------
        list of float array, each of shape (n_batch, size)
        """
        return [found[0] for found in chances(self._layout, self._beliefs)]

    def cluster(self, variables: tuple[int, ...]) -> FloatArray:
        """Joint chances of variables that share a clique.

        Parameters
        ----------
        variables : tuple of int
            Distinct variables, such as the scope of a factor or a kept set.

        Returns
        -------
        float array, shape (n_batch, sizes of the variables)
            Sums to 1; axes in the order asked.

        Raises
        ------
        KeyError
            If no clique holds them all.
        """
        layout = self._layout
        clique = layout.holding(variables)
        positions = layout.positions(clique, variables)
        table = project(self._beliefs[layout.table_rows(clique)], layout.shapes[clique], positions)
        return shares(table, (0,)).T.reshape(-1, *[layout.graph.sizes[variable] for variable in variables])

    def joint(self, first: int, second: int) -> FloatArray:
        """Joint chances of any two variables.

        Parameters
        ----------
        first, second : int
            Numbers of the variables.

        Returns
        -------
        float array, shape (n_batch, size of first, size of second)
            Sums to 1; the product of the marginals where the two are not connected.
        """
        layout = self._layout
        if first == second:
            return _diagonal(self.marginal(first))
        if layout.forest.pieces[layout.forest.owner[first]] != layout.forest.pieces[layout.forest.owner[second]]:
            return self.marginal(first)[:, :, None] * self.marginal(second)[:, None, :]
        found = joint(layout, self._beliefs, self._separators, first, second)
        return shares(found.reshape(len(found), layout.graph.sizes[first], -1), (0, 1)).transpose(2, 1, 0)

    def joints_with(self, variable: int) -> list[FloatArray]:
        """Joint chances of a variable with every variable, by one walk over the forest.

        Parameters
        ----------
        variable : int
            Number of the variable.

        Returns
        -------
        list of float array, each of shape (n_batch, size of the variable, size of the other)
            In the order of the graph; that with itself is a diagonal table.
        """
        walk = Walk(self._layout, self._beliefs, self._separators, variable)
        own = self.marginal(variable)
        tables = walk.everywhere(np.ascontiguousarray(own.T))
        joints = [found.transpose(1, 0, 2) for found in chances(self._layout, tables, walk.size)]
        joints[variable] = _diagonal(own)
        return joints

    @cached_property
    def _draws(self) -> Draws:
        return Draws(self._layout)

    def sample(self, rng: np.random.Generator, n: int, *, problem: int = 0) -> IntArray:
        """Exact joint draws of all variables, for one problem.

        Parameters
        ----------
        rng : numpy.random.Generator
            Source of random numbers.
        n : int
            Number of draws.
        problem : int
            Number of the problem in the batch.

        Returns
        -------
        int array, shape (n, n_variables)
            State of each variable in each draw.
        """
        assert np.isfinite(self.log_likelihood[problem]), "an impossible problem has no draws"
        beliefs = np.ascontiguousarray(self._beliefs[:, problem : problem + 1])
        at_once = max(1, 4_000_000 // self._draws.most_entries())
        parts = [self._draws.draw(beliefs, rng, min(at_once, n - done)) for done in range(0, n, at_once)]
        return np.concatenate(parts, axis=1).T if parts else np.empty((0, len(self._layout.graph.sizes)), np.intp)


def _diagonal(marginal: FloatArray) -> FloatArray:
    """Joint table of a variable with itself."""
    return marginal[:, :, None] * np.eye(marginal.shape[1])
