"""Order of elimination by least fill, and the cliques it makes.

Eliminating a variable joins all its neighbours; the missing links among them are its fill. The variable with the least
fill goes first (least clique table among equals). Counts are kept up to date as links come and go, never made anew.

References
----------
Lauritzen & Spiegelhalter (1988), Local computations with probabilities on graphical structures; the rule of least fill
is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from math import prod

from holdback.heredity.network.graph import Graph


class TooWide(Exception):
    """The tables of an exact calculation would be larger than allowed.

    Parameters
    ----------
    entries : int
        Entries of all clique tables together.
    width : int
        Most variables in one clique.
    most_entries : int
        What was allowed.
    """

    def __init__(self, entries: int, width: int, most_entries: int) -> None:
        super().__init__(
            f"An exact calculation needs tables of {entries:.3g} entries, with {width} variables in one; "
            f"{most_entries:.3g} are allowed. Allow more, or draw samples instead."
        )
        self.entries = entries
        self.width = width


class Elimination:
    """What is left of a graph while its variables are eliminated one by one.

    Parameters
    ----------
    graph : Graph
        The graph; it is not changed.
    ties : sequence of float, optional
        Rank of each variable among those of equal fill and table; by number where not given.
    """

    def __init__(self, graph: Graph, ties: Sequence[float] | None = None) -> None:
        self._sizes = graph.sizes
        self._ties = range(len(graph.sizes)) if ties is None else ties
        self._adjacent = graph.neighbours()
        self._fill = [self._missing(others) for others in self._adjacent]
        self._entries = [
            size * prod(self._sizes[other] for other in others)
            for size, others in zip(self._sizes, self._adjacent, strict=True)
        ]
        self._left = set(range(len(self._sizes)))
        self._heap = [self._key(variable) for variable in self._left]
        heapify(self._heap)

    def _missing(self, others: set[int]) -> int:
        """Links missing among some variables."""
        present = sum(len(self._adjacent[other] & others) for other in others)
        return (len(others) * (len(others) - 1) - present) // 2

    def _key(self, variable: int) -> tuple[int, int, float, int]:
        return self._fill[variable], self._entries[variable], self._ties[variable], variable

    def next(self) -> int | None:
        """Variable to eliminate next; None when none is left."""
        while self._heap:
            variable = self._heap[0][3]
            if variable in self._left and self._heap[0] == self._key(variable):
                return variable
            heappop(self._heap)
        return None

    def entries(self, variable: int) -> int:
        """Entries of the clique that eliminating a variable would make."""
        return self._entries[variable]

    def left(self) -> Iterator[int]:
        """Variables not yet eliminated or removed."""
        return iter(self._left)

    def degree(self, variable: int) -> int:
        """Neighbours a variable has now."""
        return len(self._adjacent[variable])

    def eliminate(self, variable: int) -> set[int]:
        """Join the neighbours of a variable, take it out, and return them."""
        adjacent, fill = self._adjacent, self._fill
        others = adjacent[variable]
        changed = set(others)
        if fill[variable]:
            waiting = set(others)
            for first in others:
                waiting.discard(first)
                for second in waiting - adjacent[first]:
                    changed |= self._join(first, second)
        degree, size = len(others), self._sizes[variable]
        for other in others:
            fill[other] -= len(adjacent[other]) - degree
            adjacent[other].discard(variable)
            self._entries[other] //= size
        self._take_out(variable, changed)
        return others

    def remove(self, variable: int) -> None:
        """Take a variable out with its links, joining nothing: its state is held fixed."""
        others = self._adjacent[variable]
        for other in others:
            theirs = self._adjacent[other]
            self._fill[other] -= len(theirs) - 1 - len(theirs & others)
            theirs.discard(variable)
            self._entries[other] //= self._sizes[variable]
        self._take_out(variable, set(others))

    def _take_out(self, variable: int, changed: set[int]) -> None:
        self._left.discard(variable)
        changed.discard(variable)
        for other in changed:
            heappush(self._heap, self._key(other))

    def _join(self, first: int, second: int) -> set[int]:
        """Link two variables and return those whose fill falls."""
        ours, theirs = self._adjacent[first], self._adjacent[second]
        shared = ours & theirs
        for other in shared:
            self._fill[other] -= 1
        self._fill[first] += len(ours) - len(shared)
        self._fill[second] += len(theirs) - len(shared)
        self._entries[first] *= self._sizes[second]
        self._entries[second] *= self._sizes[first]
        ours.add(second)
        theirs.add(first)
        return shared


@dataclass(frozen=True)
class CliqueTree:
    """Cliques of one elimination, none inside another, and the links of their forest.

    Parameters
    ----------
    cliques : list of set of int
        Variables of each clique.
    links : list of tuple of int
        Pairs of cliques that are neighbours in the forest.
    """

    cliques: list[set[int]]
    links: list[tuple[int, int]]

    @property
    def width(self) -> int:
        """Most variables in one clique."""
        return max(map(len, self.cliques), default=0)

    def entries(self, sizes: Sequence[int]) -> int:
        """Entries of all clique tables together."""
        return sum(prod(sizes[variable] for variable in clique) for clique in self.cliques)


def clique_tree(graph: Graph) -> CliqueTree:
    """Cliques and forest of a graph, eliminated by least fill."""
    order: list[tuple[int, set[int]]] = []
    elimination = Elimination(graph)
    while (variable := elimination.next()) is not None:
        order.append((variable, elimination.eliminate(variable)))
    place = {variable: number for number, (variable, _) in enumerate(order)}
    others_of = dict(order)
    home: dict[int, int] = {}
    cliques: list[set[int]] = []
    followed: list[tuple[int, int]] = []
    for variable, others in order:
        if variable not in home:
            home[variable] = len(cliques)
            cliques.append({variable, *others})
        if others:
            following = min(others, key=place.__getitem__)
            followed.append((variable, following))
            # Then the clique of the following variable is all inside this one.
            if following not in home and len(others) == len(others_of[following]) + 1:
                home[following] = home[variable]
    links = [(home[first], home[second]) for first, second in followed if home[first] != home[second]]
    return CliqueTree(cliques, links)


def cost(graph: Graph) -> tuple[int, int]:
    """Size of an exact calculation, found without building it.

    Parameters
    ----------
    graph : Graph
        The graph.

    Returns
    -------
    entries : int
        Entries of all clique tables together.
    width : int
        Most variables in one clique.

    Examples
    --------
    >>> cost(Graph((2, 2, 3), ((0, 1), (1, 2))))
    (10, 2)
    """
    tree = clique_tree(graph)
    return tree.entries(graph.sizes), tree.width
