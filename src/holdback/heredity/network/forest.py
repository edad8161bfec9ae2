"""Rooted junction forest: cliques in an order in which every clique knows the way to its root.

A clique holds its own variables (those not in the clique above) first and the separator to the clique above last. All
cliques order their variables by one rank, so that a separator stands in the same order above and below.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain

from holdback.heredity.network.elimination import CliqueTree
from holdback.heredity.network.graph import Graph


@dataclass(frozen=True)
class Forest:
    """Rooted cliques, each after the one above it.

    Parameters
    ----------
    cliques : list of tuple of int
        Variables of each clique, its own first and those of its separator last.
    above : list of int
        Clique above each; -1 for a root.
    separators : list of int
        Length of each separator. That of a root is empty; at the root that gathers, it is the kept set.
    heights : list of int
        Longest way down from each clique.
    pieces : list of int
        Connected piece of each clique, counted from 0.
    owner : list of int
        Topmost clique of each variable.
    rank : list of int
        Order of the variables within every clique.
    gathering : int
        Root that holds the first kept set; -1 where that set is empty or missing.
    """

    cliques: list[tuple[int, ...]]
    above: list[int]
    separators: list[int]
    heights: list[int]
    pieces: list[int]
    owner: list[int]
    rank: list[int]
    gathering: int

    def host(self, variables: tuple[int, ...]) -> int:
        """Topmost clique with all of some variables that share a clique by the graph; -1 for none of them."""
        return self.owner[min(variables, key=self.rank.__getitem__)] if variables else -1


def rooted(graph: Graph, tree: CliqueTree) -> Forest:
    """Forest with the roots in the middle of their trees, or at the clique that gathers the first kept set."""
    links: list[list[int]] = [[] for _ in tree.cliques]
    for first, second in tree.links:
        links[first].append(second)
        links[second].append(first)
    gathered = set(graph.gathered)
    gathering = next((n for n, clique in enumerate(tree.cliques) if gathered <= clique), -1) if gathered else -1
    order, piece_of = _walks(links, gathering)
    owner = [-1] * len(graph.sizes)
    rank = [0] * len(graph.sizes)
    # Ranks fall from the root down, so that a clique sorted by rank has its own variables first.
    down = iter(range(0, -len(rank) - 1, -1))
    for variable in reversed(graph.gathered):
        rank[variable] = next(down)
    for number, clique in enumerate(order):
        for variable in sorted(tree.cliques[clique]):
            if owner[variable] < 0:
                owner[variable] = number
                if variable not in gathered:
                    rank[variable] = next(down)
    return _attached(graph, [tree.cliques[clique] for clique in order], piece_of, owner, rank)


def _walks(links: list[list[int]], gathering: int) -> tuple[list[int], list[int]]:
    """Cliques from the roots outwards, and the piece of each in that order."""
    order: list[int] = []
    pieces: list[int] = []
    seen = [False] * len(links)
    for start in chain(() if gathering < 0 else (gathering,), range(len(links))):
        if seen[start]:
            continue
        root = start if start == gathering else _middle(links, start)
        walk, _ = _outwards(links, root)
        for clique in walk:
            seen[clique] = True
        pieces += [pieces[-1] + 1 if pieces else 0] * len(walk)
        order += walk
    return order, pieces


def _outwards(links: list[list[int]], start: int) -> tuple[list[int], dict[int, int]]:
    """Cliques of one tree by distance from one of them, and the step before each."""
    before = {start: -1}
    walk = [start]
    for clique in walk:
        for other in links[clique]:
            if other not in before:
                before[other] = clique
                walk.append(other)
    return walk, before


def _middle(links: list[list[int]], start: int) -> int:
    """Middle of the longest path of a tree."""
    end = _outwards(links, start)[0][-1]
    walk, before = _outwards(links, end)
    path = [walk[-1]]
    while before[path[-1]] >= 0:
        path.append(before[path[-1]])
    return path[len(path) // 2]


def _attached(graph: Graph, cliques: list[set[int]], pieces: list[int], owner: list[int], rank: list[int]) -> Forest:
    """Forest with every clique hung from the highest one that holds its separator, which keeps it low."""
    above, separators, ordered = [], [], []
    gathering = 0 if graph.gathered else -1
    for number, clique in enumerate(cliques):
        variables = tuple(sorted(clique, key=rank.__getitem__))
        length = sum(owner[variable] != number for variable in variables)
        above.append(owner[variables[-length]] if length else -1)
        separators.append(len(graph.gathered) if number == gathering else length)
        ordered.append(variables)
    heights = [0] * len(cliques)
    for number in range(len(cliques) - 1, -1, -1):
        if above[number] >= 0:
            heights[above[number]] = max(heights[above[number]], heights[number] + 1)
    return Forest(ordered, above, separators, heights, pieces, owner, rank, gathering)
