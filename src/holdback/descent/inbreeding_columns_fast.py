"""Compiled relationships of one sire with all his mates, in two ways.

With A = T D T' (Henderson 1976), a_sd = sum over x of T_sx D_x T_dx, where T_sx is the sum of (1/2)^steps over all ways
from s up to x.

`_by_paths` goes up every way from the sire, then every way from each mate, and adds where both arrive. The next places
in memory are known beforehand, so that many are asked for at once. Right where animals have few ways to an ancestor.

`_by_column` visits each ancestor once: T_sx from the youngest ancestor of s to the oldest, then the column of A from
the oldest on, a_sx = D_x T_sx + (a_s,sire of x + a_s,dam of x) / 2, for ancestors of the mates only (Colleau 2002;
Sargolzaei, Iwaisaki & Colleau 2005). Right where a sire has many mates, who share their ancestors.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from holdback.descent.inbreeding_order_fast import Breeders, FloatArray, IntArray

MOST_PATHS = 1 << 15
"""Number of ways up from which an animal is not handled by paths."""

_NOT_YET = -1.0


class Work(NamedTuple):
    """Arrays that one thread works in; every call leaves the first three as it found them.

    Parameters
    ----------
    reach : float64 array, shape (b,)
        T_sx of one sire; all zero.
    column : float64 array, shape (b,)
        a_sx of one sire; 0 for founders, -1 for others.
    head : int32 array, shape (g,)
        First ancestor waiting in each generation; all zero.
    following : int32 array, shape (b,)
        Next one waiting in the same generation.
    visited : int32 array
        Animals in the order of the visit.
    stack : int32 array
        Animals of which the parents are looked at first.
    seen : int32 array, shape (b,)
        Row of `matings` in which each dam was met last.
    """

    reach: FloatArray
    column: FloatArray
    head: IntArray
    following: IntArray
    visited: IntArray
    stack: IntArray
    seen: IntArray


def workplace(breeders: Breeders, generations: int) -> Work:
    """Arrays for one thread."""
    size = len(breeders.row)
    column = np.full(size, _NOT_YET)
    column[: breeders.founders] = 0.0
    return Work(
        np.zeros(size),
        column,
        np.zeros(generations, dtype=np.int32),
        np.zeros(size, dtype=np.int32),
        np.zeros(size + 4 * MOST_PATHS, dtype=np.int32),
        np.zeros(2 * generations + 2, dtype=np.int32),
        np.full(size, -1, dtype=np.int32),
    )


@njit(cache=True, nogil=True)
def of_sires(
    start: int, end: int, step: int, leave: int, by_paths: bool, breeders: Breeders, work: Work, inbreeding: FloatArray
) -> tuple[int, float]:
    """Inbreeding of the young of some sires, written to their rows.

    Parameters
    ----------
    start, end, step : int
        Numbers of the sires.
    leave : int
        Leave out every so many, the first too; 0 for none.
    by_paths : bool
        Take the ways up instead of the column, where they are fewer than `MOST_PATHS`.

    Returns
    -------
    visits : int
        Ancestors visited for columns.
    ways : float
        Ways up that the same would have taken.
    """
    visits, ways = 0, 0.0
    for s in range(start, end, step):
        if leave and (s - start) % leave == 0:
            continue
        most = total = breeders.paths[s]
        for m in range(breeders.first[s], breeders.first[s + 1]):
            of_dam = breeders.paths[breeders.matings[m, 0]]
            most = max(most, of_dam)
            total += of_dam
        if by_paths and most < MOST_PATHS:
            _by_paths(s, breeders, work, inbreeding)
        else:
            visits += _by_column(s, breeders, work, inbreeding)
            ways += total
    return visits, ways


@njit(cache=True, nogil=True)
def _by_paths(s: int, breeders: Breeders, work: Work, inbreeding: FloatArray) -> None:
    """Inbreeding of the young of a sire, along all ways up."""
    visited, reach, matings = work.visited, work.reach, breeders.matings
    reached = _reach_by_paths(s, breeders, reach, visited)
    first = breeders.first[s]
    for m in range(first, breeders.first[s + 1]):
        dam, young = matings[m]
        before = work.seen[dam]
        if before >= first and matings[before, 0] == dam:
            inbreeding[young] = inbreeding[matings[before, 1]]
        else:
            work.seen[dam] = m
            inbreeding[young] = 0.5 * _met_by_paths(dam, breeders, reach, visited, reached)
    for k in range(reached):
        reach[visited[k]] = 0.0


@njit(cache=True, nogil=True)
def _reach_by_paths(s: int, breeders: Breeders, reach: FloatArray, visited: IntArray) -> int:
    """Add T_sx to `reach` and list every x, as often as a way leads there; the number listed."""
    parents, founders = breeders.parents, breeders.founders
    visited[0] = s
    reach[s] = 1.0
    at, end, half = 0, 1, 1.0
    while at < end:
        half *= 0.5
        stop = end
        for k in range(at, stop):
            x = visited[k]
            if x >= founders:
                sire, dam = parents[x, 0], parents[x, 1]
                reach[sire] += half
                reach[dam] += half
                visited[end], visited[end + 1] = sire, dam
                end += 2
        at = stop
    reach[0] = 0.0
    return end


@njit(cache=True, nogil=True)
def _met_by_paths(dam: int, breeders: Breeders, reach: FloatArray, visited: IntArray, start: int) -> float:
    """Sum of T_sx D_x T_dx over the ways up from d; the list is used from `start` on."""
    parents, founders, variance = breeders.parents, breeders.founders, breeders.variance
    total: float = reach[dam] * variance[dam]
    visited[start] = dam
    at, end, half = start, start + (1 if dam >= founders else 0), 1.0
    while at < end:
        half *= 0.5
        met, stop = 0.0, end
        for k in range(at, stop):
            a, b = parents[visited[k], 0], parents[visited[k], 1]
            to_a, to_b = reach[a], reach[b]
            if to_a != 0.0:
                met += to_a * variance[a]
            if to_b != 0.0:
                met += to_b * variance[b]
            # written always and kept if it has parents: no jump that the processor could guess wrong
            visited[end] = a
            end += a >= founders
            visited[end] = b
            end += b >= founders
        at = stop
        total += half * met
    return total


@njit(cache=True, nogil=True)
def _by_column(s: int, breeders: Breeders, work: Work, inbreeding: FloatArray) -> int:
    """Inbreeding of the young of a sire, along his column of A; the number of animals visited."""
    column, visited = work.column, work.visited
    count = _column_of_ancestors(s, breeders, work)
    for m in range(breeders.first[s], breeders.first[s + 1]):
        dam, young = breeders.matings[m]
        if column[dam] < 0.0:
            count = _column_up_to(dam, breeders, work, count)
        inbreeding[young] = 0.5 * column[dam]
    for k in range(count):
        column[visited[k]] = _NOT_YET if visited[k] >= breeders.founders else 0.0
    return count


@njit(cache=True, nogil=True)
def _column_of_ancestors(s: int, breeders: Breeders, work: Work) -> int:
    """Fill the column for a sire and his ancestors, and list them; their number."""
    parents, generation, variance = breeders.parents, breeders.generation, breeders.variance
    reach, column, head, following, visited = work.reach, work.column, work.head, work.following, work.visited
    reach[s] = 1.0
    head[generation[s]] = s
    following[s] = 0
    count = 0
    for g in range(generation[s], -1, -1):
        x = head[g]
        head[g] = 0
        while x > 0:
            visited[count] = x
            count += 1
            for side in range(2):
                p = parents[x, side]
                if p > 0:
                    if reach[p] == 0.0:
                        following[p] = head[generation[p]]
                        head[generation[p]] = p
                    reach[p] += 0.5 * reach[x]
            x = following[x]
    for k in range(count - 1, -1, -1):
        x = visited[k]
        column[x] = variance[x] * reach[x] + 0.5 * (column[parents[x, 0]] + column[parents[x, 1]])
        reach[x] = 0.0
    return count


@njit(cache=True, nogil=True)
def _column_up_to(dam: int, breeders: Breeders, work: Work, count: int) -> int:
    """Fill the column for a mate that is no ancestor of the sire, parents first; the number listed so far."""
    parents, column, stack = breeders.parents, work.column, work.stack
    stack[0] = dam
    top = 0
    while top >= 0:
        x = stack[top]
        a, b = parents[x, 0], parents[x, 1]
        if column[a] >= 0.0 and column[b] >= 0.0:
            top -= 1
            if column[x] < 0.0:
                column[x] = 0.5 * (column[a] + column[b])
                work.visited[count] = x
                count += 1
            continue
        for p in (a, b):
            if column[p] < 0.0:
                top += 1
                stack[top] = p
    return count
