"""Compiled order of elimination that makes little fill: approximate minimum degree on a quotient graph.

An eliminated node becomes an *element*, the set of nodes it leaves connected; elements met on the way are absorbed. The
members of an element are the rows of its column of L, so that the order, the pattern of L and the fill come at once.

References
----------
Amestoy, Davis and Duff (1996), An approximate minimum degree ordering algorithm. SIAM J. Matrix Anal. Appl. 17:886.
(from memory)
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from holdback.size.sparse.forest import BoolArray
from holdback.size.sparse.model import IndexArray, PlaceArray

HUB = 2.0
HUB_LEAST = 16.0
"""A node with more links than 16 + 2 sqrt(n), a sire of hundreds or a group, is a hub: it goes last, unsearched."""


class _Graph(NamedTuple):
    """The quotient graph: each node's elements, then its neighbours that no element holds yet.

    `rows` holds the members of the element of each eliminated node from `element_starts` on. `marks` tells who is in
    the newest element and `seen` for which elements `outside`, their members outside it, is of this step.
    """

    neighbours: PlaceArray
    starts: IndexArray
    element_counts: PlaceArray
    variable_starts: IndexArray
    variable_counts: PlaceArray
    element_starts: IndexArray
    element_sizes: PlaceArray
    is_alive: BoolArray
    is_hub: BoolArray
    marks: PlaceArray
    seen: PlaceArray
    outside: PlaceArray


class _Queue(NamedTuple):
    """Nodes by degree: the first of each degree, and the nodes after and before each in its list."""

    degrees: PlaceArray
    heads: PlaceArray
    after: PlaceArray
    before: PlaceArray


@njit(cache=True, nogil=True)
def ordered(starts: IndexArray, neighbours: PlaceArray, most: int) -> tuple[PlaceArray, IndexArray, PlaceArray]:
    """Order of elimination with the pattern of the factor.

    Parameters
    ----------
    starts : int64 array, shape (n + 1,)
        First neighbour of each node.
    neighbours : int32 array
        Neighbours, each link from both ends; changed in place.
    most : int
        Entries of L, without its diagonal, from which to stop.

    Returns
    -------
    (int32 array, int64 array, int32 array)
        Node of each position, shape (n,), or fewer if it was stopped; first row of each column of L; rows as nodes.
    """
    n = len(starts) - 1
    graph, queue = _prepared(starts, neighbours)
    order = np.empty(n, np.int32)
    col_starts = np.zeros(n + 1, np.int64)
    rows = np.empty(max(1024, 2 * len(neighbours)), np.int32)
    n_others = n - int(graph.is_hub.sum())
    lowest = 0
    for step in range(n_others):
        while queue.heads[lowest] < 0:
            lowest += 1
        pivot = queue.heads[lowest]
        _taken_out(pivot, queue)
        order[step] = pivot
        begin = col_starts[step]
        rows = _with_room(rows, begin, pivot, graph)
        end = _eliminated(pivot, step, rows, begin, graph)
        col_starts[step + 1] = end
        if end > most:
            return order[: step + 1].copy(), col_starts[: step + 2].copy(), rows[:0].copy()
        _measured(step, rows[begin:end], graph)
        for place in range(begin, end):
            x = rows[place]
            if graph.is_hub[x]:
                continue
            _taken_out(x, queue)
            bound = min(queue.degrees[x] + end - begin - 1, n - step - 2)
            queue.degrees[x] = min(bound, end - begin - 1 + _pruned(x, pivot, step, graph))
            lowest = min(lowest, queue.degrees[x])
            _put_in(x, queue)
    return _with_hubs(order, col_starts, rows, graph.is_hub, n_others)


@njit(cache=True, nogil=True)
def _prepared(starts: IndexArray, neighbours: PlaceArray) -> tuple[_Graph, _Queue]:
    """The graph before any elimination, and all nodes but hubs by their degree."""
    n = len(starts) - 1
    counts = (starts[1:] - starts[:-1]).astype(np.int32)
    is_hub = counts > HUB_LEAST + HUB * np.sqrt(n)
    graph = _Graph(
        neighbours,
        starts,
        np.zeros(n, np.int32),
        starts[:-1].copy(),
        counts,
        np.zeros(n, np.int64),
        np.zeros(n, np.int32),
        np.zeros(n, np.bool_),
        is_hub,
        np.full(n, -1, np.int32),
        np.full(n, -1, np.int32),
        np.zeros(n, np.int32),
    )
    queue = _Queue(counts.copy(), np.full(n + 1, -1, np.int32), np.full(n, -1, np.int32), np.full(n, -1, np.int32))
    for x in range(n - 1, -1, -1):
        if not is_hub[x]:
            _put_in(x, queue)
    return graph, queue


@njit(cache=True, nogil=True)
def _with_room(rows: PlaceArray, used: int, pivot: int, graph: _Graph) -> PlaceArray:
    """The rows, moved to a larger array if the pivot's element may not fit."""
    room = graph.variable_counts[pivot]
    first = graph.starts[pivot]
    for entry in range(first, first + graph.element_counts[pivot]):
        room += graph.element_sizes[graph.neighbours[entry]]
    if used + room <= len(rows):
        return rows
    larger = np.empty(max(used + room, len(rows) * 3 // 2), np.int32)
    larger[:used] = rows[:used]
    return larger


@njit(cache=True, nogil=True)
def _eliminated(pivot: int, step: int, rows: PlaceArray, begin: int, graph: _Graph) -> int:
    """Make the pivot's element of its neighbours and of its elements, which it absorbs; where the element ends."""
    graph.marks[pivot] = step
    end = begin
    first = graph.starts[pivot]
    for entry in range(first, first + graph.element_counts[pivot]):
        element = graph.neighbours[entry]
        graph.is_alive[element] = False
        start = graph.element_starts[element]
        end = _joined(rows[start : start + graph.element_sizes[element]], step, rows, end, graph.marks)
    first = graph.variable_starts[pivot]
    end = _joined(graph.neighbours[first : first + graph.variable_counts[pivot]], step, rows, end, graph.marks)
    graph.element_starts[pivot], graph.element_sizes[pivot], graph.is_alive[pivot] = begin, end - begin, True
    return end


@njit(cache=True, nogil=True)
def _joined(nodes: PlaceArray, step: int, rows: PlaceArray, end: int, marks: PlaceArray) -> int:
    """Append the nodes that are not marked yet; where the rows end now."""
    for x in nodes:
        if marks[x] != step:
            marks[x] = step
            rows[end] = x
            end += 1
    return end


@njit(cache=True, nogil=True)
def _measured(step: int, members: PlaceArray, graph: _Graph) -> None:
    """Find how many members of every other element are outside the newest."""
    for x in members:
        if graph.is_hub[x]:
            continue
        for entry in range(graph.starts[x], graph.starts[x] + graph.element_counts[x]):
            element = graph.neighbours[entry]
            if graph.is_alive[element]:
                if graph.seen[element] != step:
                    graph.seen[element] = step
                    graph.outside[element] = graph.element_sizes[element]
                graph.outside[element] -= 1


@njit(cache=True, nogil=True)
def _pruned(x: int, pivot: int, step: int, graph: _Graph) -> int:
    """Drop what the newest element covers from a member's lists and add the element; links that lead out of it."""
    neighbours = graph.neighbours
    degree = 0
    kept = int(graph.starts[x])
    for entry in range(graph.starts[x], graph.starts[x] + graph.element_counts[x]):
        element = neighbours[entry]
        if graph.is_alive[element] and graph.outside[element] > 0:
            neighbours[kept] = element
            kept += 1
            degree += graph.outside[element]
    left = first = int(graph.variable_starts[x])
    for entry in range(first, first + graph.variable_counts[x]):
        other = neighbours[entry]
        if graph.marks[other] != step:
            neighbours[left] = other
            left += 1
    graph.variable_counts[x] = left - first
    if kept == first:
        # x was a neighbour of the pivot itself, so that the place after the last is free now
        neighbours[left] = neighbours[first]
        graph.variable_starts[x] += 1
    neighbours[kept] = pivot
    graph.element_counts[x] = kept + 1 - graph.starts[x]
    return degree + left - first


@njit(cache=True, nogil=True)
def _with_hubs(
    order: PlaceArray, col_starts: IndexArray, rows: PlaceArray, is_hub: BoolArray, n_others: int
) -> tuple[PlaceArray, IndexArray, PlaceArray]:
    """The hubs after all others, each linked to every later one."""
    hubs = np.flatnonzero(is_hub)
    size = col_starts[n_others] + len(hubs) * (len(hubs) - 1) // 2
    found = np.empty(size, np.int32)
    end = col_starts[n_others]
    found[:end] = rows[:end]
    for number, hub in enumerate(hubs):
        order[n_others + number] = hub
        more = len(hubs) - 1 - number
        found[end : end + more] = hubs[number + 1 :]
        end += more
        col_starts[n_others + number + 1] = end
    return order, col_starts, found


@njit(cache=True, nogil=True)
def _put_in(x: int, queue: _Queue) -> None:
    """Put a node first in the list of its degree."""
    first = queue.heads[queue.degrees[x]]
    queue.after[x], queue.before[x] = first, -1
    if first >= 0:
        queue.before[first] = x
    queue.heads[queue.degrees[x]] = x


@njit(cache=True, nogil=True)
def _taken_out(x: int, queue: _Queue) -> None:
    """Take a node from the list of its degree."""
    if queue.before[x] >= 0:
        queue.after[queue.before[x]] = queue.after[x]
    else:
        queue.heads[queue.degrees[x]] = queue.after[x]
    if queue.after[x] >= 0:
        queue.before[queue.after[x]] = queue.before[x]
