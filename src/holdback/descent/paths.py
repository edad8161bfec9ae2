"""Paths over which young of two nodes are inbred (Wright 1922), the costliest first.

F = sum over paths of (1/2)^(n1 + n2 + 1) (1 + F_A). A path goes up from the sire to a common ancestor A and down to the
dam, and meets no node twice. From a pair of nodes the younger is always replaced by its sources, until both are one: so
every path comes up once. The step to a dam without a sire has the coefficient 1 in place of 1/2, that to a candidate
its weight. What a pair still holds is its kinship, which says exactly what is left where a list is cut.

References
----------
Wright (1922), Coefficients of inbreeding and relationship. Am. Nat. 56:330.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from itertools import count
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import inbreeding, offspring_inbreeding, relationship
from holdback.descent.pedigree import UNKNOWN, Pedigree

FloatArray = npt.NDArray[np.float64]

_STEPS = 100
"""Steps for each path asked for, after which the rest is searched one path at a time, costly or not."""

_ROUNDING = 1e-12
"""Difference of sums that is no path left out."""

NO_PATHS = "A young without a sire has both copies from its dam; no path between two parents says that."
NOT_ONE_ANIMAL = "This stands for one of several males; paths are those of each of them."


@dataclass(frozen=True, slots=True)
class Path:
    """One path.

    Parameters
    ----------
    ancestor : int
        Common ancestor.
    chain : tuple of int
        Nodes from the sire up to the ancestor and down to the dam, all of them once.
    contribution : float
        What it adds to the inbreeding coefficient.
    """

    ancestor: int
    chain: tuple[int, ...]
    contribution: float


@dataclass(frozen=True)
class Paths:
    """Paths between two nodes.

    Parameters
    ----------
    ids : tuple of str
        Ids of all nodes of the pedigree.
    paths : tuple of Path
        The costliest first.
    total : float
        Exact inbreeding coefficient of the young, in [0, 1].
    note : str
        Why there are no paths, where the rule has none; else empty.
    """

    ids: tuple[str, ...]
    paths: tuple[Path, ...]
    total: float
    note: str = ""

    @property
    def listed(self) -> float:
        """Sum of the paths listed."""
        return sum(one.contribution for one in self.paths)

    @property
    def rest(self) -> float:
        """What the paths listed do not account for; 0 where all are."""
        left = self.total - self.listed
        return left if abs(left) > _ROUNDING else 0.0

    @cached_property
    def by_ancestor(self) -> Mapping[int, float]:
        """Sum of the paths listed by common ancestor, the costliest first."""
        sums: dict[int, float] = {}
        for one in self.paths:
            sums[one.ancestor] = sums.get(one.ancestor, 0.0) + one.contribution
        return MappingProxyType(dict(sorted(sums.items(), key=lambda one: (-one[1], one[0]))))


def inbreeding_paths(pedigree: Pedigree, sire: int, dam: int, *, most: int = 200) -> Paths:
    """Paths over which young of two nodes would be inbred.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    sire, dam : int
        Indices; the same index twice asks for young without a sire, which have no paths.
    most : int
        Number of paths listed at most.

    Returns
    -------
    Paths
        With the exact total.

    Notes
    -----
    Holds the relationships of all ancestors of both, 8 n^2 bytes. Up to about `100 * most` steps the paths listed are
    the costliest of all; in a pedigree so tangled that it takes more, they need not be, and `rest` is what is not
    listed.

    Examples
    --------
    >>> family = Pedigree.from_parents({"A": ("S", "D"), "B": ("S", "E")})
    >>> found = inbreeding_paths(family, family.index["A"], family.index["B"])
    >>> [[found.ids[node] for node in path.chain] for path in found.paths], found.total
    ([['A', 'S', 'B']], 0.125)
    """
    if sire == dam:
        return Paths(pedigree.ids, (), offspring_inbreeding(pedigree, sire, dam), NO_PATHS)
    kept = pedigree.ancestors([sire, dam])
    part = pedigree.part(kept)
    search = _Search(part, relationship(part) / 2.0, kept)
    total = float(search.kinship[kept.index(sire), kept.index(dam)])
    return Paths(pedigree.ids, search.paths(kept.index(sire), kept.index(dam), most), total)


def inbreeding_paths_of(pedigree: Pedigree, node: int, *, most: int = 200) -> Paths:
    """Paths over which a node of the pedigree is inbred; none where a parent is unknown.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    node : int
        Index.
    most : int
        Number of paths listed at most.
    """
    if node in pedigree.candidates:
        return Paths(pedigree.ids, (), float(inbreeding(pedigree.part([node]))[-1]), NOT_ONE_ANIMAL)
    sire, dam = pedigree.parents[node].tolist()
    if UNKNOWN in (sire, dam):
        return Paths(pedigree.ids, (), 0.0)
    return inbreeding_paths(pedigree, sire, dam, most=most)


def common_ancestors(pedigree: Pedigree, first: int, second: int) -> tuple[int, ...]:
    """Nodes that two nodes both descend from, or may, nearest first; one of the two where the other descends from it.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    first, second : int
        Indices.

    Returns
    -------
    tuple of int
        Ordered by the steps up from both together, the shortest way; to a candidate is no step. Younger ones first
        among equals.
    """
    one, other = _steps_up(pedigree, first), _steps_up(pedigree, second)
    return tuple(sorted(one.keys() & other.keys(), key=lambda node: (one[node] + other[node], -node)))


def _steps_up(pedigree: Pedigree, start: int) -> dict[int, int]:
    """Fewest generations from a node up to each of its ancestors."""
    found = {start: 0}
    for node in reversed(pedigree.ancestors([start])):
        above = found[node] + (node not in pedigree.candidates)
        for source, _ in pedigree.sources(node):
            found[source] = min(found.get(source, above), above)
    return found


_State = tuple[float, int, float, tuple[int, ...], tuple[int, ...]]
"""Minus what the state holds, number, coefficient so far, way up from the sire, way up from the dam."""


@dataclass(frozen=True)
class _Search:
    """Search for paths in a pedigree of ancestors, with kinships and the numbers of its nodes in the whole."""

    pedigree: Pedigree
    kinship: FloatArray
    numbers: list[int]

    def paths(self, sire: int, dam: int, most: int) -> tuple[Path, ...]:
        """Costliest first: no path in a state costs more than the state holds, so the first one found is the next."""
        numbered = count()
        heap: list[_State] = []
        if self.kinship[sire, dam] > 0:
            heap.append((-float(self.kinship[sire, dam]), next(numbered), 1.0, (sire,), (dam,)))
        found: list[Path] = []
        steps = 0
        while heap and len(found) < most:
            steps += 1
            if steps == _STEPS * most:
                heap.sort(reverse=True)
            # sorted once and then used as a stack, the list gives one path after another without growing wide
            state = heappop(heap) if steps < _STEPS * most else heap.pop()
            if state[3][-1] == state[4][-1]:
                found.append(self._path(state))
                continue
            for one in self._next(state, numbered):
                if steps < _STEPS * most:
                    heappush(heap, one)
                else:
                    heap.append(one)
        return tuple(sorted(found, key=lambda one: -one.contribution))

    def _next(self, state: _State, numbered: count[int]) -> list[_State]:
        """States after one step up from the younger of both ends."""
        _, _, coefficient, up, down = state
        younger, older = max(up[-1], down[-1]), min(up[-1], down[-1])
        found: list[_State] = []
        for source, share in self.pedigree.sources(younger):
            held = coefficient * share * float(self.kinship[source, older])
            if held > 0:
                ways = ((*up, source), down) if up[-1] == younger else (up, (*down, source))
                found.append((-held, next(numbered), coefficient * share, *ways))
        return found

    def _path(self, state: _State) -> Path:
        held, _, _, up, down = state
        chain = tuple(self.numbers[node] for node in (*up, *reversed(down[:-1])))
        return Path(self.numbers[up[-1]], chain, -held)
