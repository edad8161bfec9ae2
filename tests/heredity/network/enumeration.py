"""Slow and obvious: the whole table of all states, and small random graphs to hold it against."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from hypothesis import strategies as st

from holdback.heredity.network import Graph
from holdback.heredity.network.graph import FloatArray


@dataclass(frozen=True)
class Problem:
    """A graph with tables, and weights on its first kept set."""

    graph: Graph
    tables: list[FloatArray]
    weights: FloatArray


def reference_table(graph: Graph, tables: Sequence[FloatArray]) -> FloatArray:
    """Product of all factors over all states, shape (n_batch, sizes)."""
    found = np.ones((max(map(len, tables), default=1), *graph.sizes))
    for scope, table in zip(graph.scopes, tables, strict=True):
        found = found * over_all(graph, scope, table)
    return found


def over_all(graph: Graph, scope: tuple[int, ...], table: FloatArray) -> FloatArray:
    """Table of one factor with an axis for every variable."""
    ordered = table.transpose(0, *[scope.index(variable) + 1 for variable in sorted(scope)])
    return ordered.reshape(len(table), *[size if v in scope else 1 for v, size in enumerate(graph.sizes)])


def reference_sum(graph: Graph, table: FloatArray, variables: tuple[int, ...]) -> FloatArray:
    """Sum of a whole table over all variables but some, axes in the order given."""
    summed = table.sum(axis=tuple(v + 1 for v in range(len(graph.sizes)) if v not in variables))
    return np.asarray(summed.transpose(0, *[sorted(variables).index(v) + 1 for v in variables]))


def reference_shares(graph: Graph, table: FloatArray, variables: tuple[int, ...]) -> FloatArray:
    """Joint chances of some variables; NaN where nothing is possible."""
    sums = reference_sum(graph, table, variables)
    with np.errstate(invalid="ignore"):
        return np.asarray(sums / table.reshape(len(table), -1).sum(axis=1).reshape(-1, *[1] * len(variables)))


@st.composite
def problems(draw: st.DrawFn, *, zeros: bool = True, kept: bool = True) -> Problem:
    """Small problems of up to seven variables, a few with hard zeros."""
    sizes = tuple(draw(st.lists(st.integers(1, 3), min_size=1, max_size=7)))
    scope = st.lists(st.integers(0, len(sizes) - 1), unique=True, max_size=4).map(tuple)
    scopes = tuple(draw(st.lists(scope, max_size=8)))
    keep = tuple(draw(st.lists(scope, max_size=2))) if kept else ()
    graph = Graph(sizes, scopes, keep)
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    n_batch = draw(st.integers(1, 3))
    tables = []
    for variables in scopes:
        rows = n_batch if draw(st.booleans()) else 1
        table = rng.random((rows, *[sizes[v] for v in variables]))
        table[rng.random(table.shape) < (0.1 if zeros else 0.0)] = 0.0
        tables.append(table)
    weights = rng.random((1, *[sizes[v] for v in graph.gathered]))
    return Problem(graph, tables, weights)
