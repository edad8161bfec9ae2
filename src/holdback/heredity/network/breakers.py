"""Sets of variables that, held fixed, leave a graph narrow enough to calculate exactly.

References
----------
Jensen, Kong & Kjaerulff (1995), Blocking Gibbs sampling in very large probabilistic expert systems.
"""

from __future__ import annotations

import numpy as np

from holdback.heredity.network.elimination import Elimination, TooWide, cost
from holdback.heredity.network.graph import Graph

_NOISE = 0.5
"""Least factor on the number of neighbours when a variable is chosen; it is what makes the sets different."""


def breaker_sets(graph: Graph, rng: np.random.Generator, *, n_pairs: int, clique_entries: int) -> list[frozenset[int]]:
    """Different sets of variables to hold fixed, none of them fixed in more than half of the sets.

    Each set comes from an elimination in which, whenever no clique is small enough, a variable with many neighbours is
    taken out instead. The sets come in pairs without a common variable: one that was fixed in every set would stay at
    its start for good and mislead all others.

    Parameters
    ----------
    graph : Graph
        The graph.
    rng : numpy.random.Generator
        Source of the differences.
    n_pairs : int
        Number of pairs.
    clique_entries : int
        Entries that one clique of the rest may have.

    Returns
    -------
    list of frozenset of int
        Twice as many as there are pairs.

    Raises
    ------
    TooWide
        If cliques of the allowed size would need some variable to be fixed in more than half of the sets.
    """
    sets = []
    for _ in range(n_pairs):
        first = _breakers(graph, rng, clique_entries, frozenset())
        sets += [first, _breakers(graph, rng, clique_entries, first)]
    fixed = np.bincount(np.array([variable for one in sets for variable in one], np.intp), minlength=1)
    assert fixed.max() <= n_pairs, "a variable is fixed in more than half of the sets"
    return sets


def _breakers(graph: Graph, rng: np.random.Generator, clique_entries: int, never: frozenset[int]) -> frozenset[int]:
    """One set without some variables.

    Where an elimination gets stuck among variables that may not be fixed, it starts again with some of their neighbours
    fixed from the beginning.
    """
    neighbours = graph.neighbours()
    ties = rng.random(len(graph.sizes)).tolist()
    before: set[int] = set()
    while True:
        breakers, stuck = _attempt(graph, rng, clique_entries, never, before, ties)
        if not stuck:
            return frozenset(breakers)
        count = {v: len(neighbours[v] & stuck) for v in set().union(*(neighbours[v] for v in stuck)) - never - before}
        if not count:
            raise TooWide(*cost(graph), clique_entries)
        ranked = sorted(count, key=lambda variable: -count[variable] * rng.uniform(_NOISE, 1.0))
        before.update(ranked[: 1 + len(stuck) // 4])


def _attempt(
    graph: Graph,
    rng: np.random.Generator,
    clique_entries: int,
    never: frozenset[int],
    before: set[int],
    ties: list[float],
) -> tuple[set[int], set[int]]:
    """Breakers of one elimination, and the variables at which it got stuck."""
    elimination = Elimination(graph, ties)
    breakers = set(before)
    for variable in sorted(before):
        elimination.remove(variable)
    while (following := elimination.next()) is not None:
        if elimination.entries(following) > clique_entries:
            left = sorted(elimination.left())
            following = min(left, key=elimination.entries)
            if elimination.entries(following) > clique_entries:
                free = [other for other in left if other not in never]
                if not free:
                    return breakers, set(left)
                degrees = np.array([elimination.degree(other) for other in free])
                chosen = free[int(np.argmax(degrees * rng.uniform(_NOISE, 1.0, len(free))))]
                elimination.remove(chosen)
                breakers.add(chosen)
                continue
        elimination.eliminate(following)
    return breakers, set()
