"""Parents before offspring, and the generation of each animal."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable

import numpy as np
import numpy.typing as npt

IntArray = npt.NDArray[np.int32]


def parents_first(nodes: Iterable[str], above: Callable[[str], Iterable[str]]) -> list[str]:
    """Nodes in an order in which each stands after those above it.

    Parameters
    ----------
    nodes : iterable of str
        All nodes; among those free to stand, the order given is kept.
    above : callable
        Nodes that must stand before a node.

    Notes
    -----
    The pedigree has no loop: that is checked before. Linear in the number of links.
    """
    listed = list(nodes)
    waiting = {node: len(set(above(node))) for node in listed}
    below: dict[str, list[str]] = {node: [] for node in listed}
    for node in listed:
        for parent in set(above(node)):
            below[parent].append(node)
    free = deque(node for node in listed if not waiting[node])
    order = []
    while free:
        node = free.popleft()
        order.append(node)
        for child in below[node]:
            waiting[child] -= 1
            if not waiting[child]:
                free.append(child)
    assert len(order) == len(listed), "a loop among ancestors is refused before"
    return order


def birth_order(parents: IntArray) -> IntArray:
    """Longest way up to a founder.

    Parameters
    ----------
    parents : int32 array, shape (n, 2)
        Sire and dam, -1 where unknown, parents before offspring.

    Returns
    -------
    int32 array, shape (n,)
        0 for founders, else one more than the larger of the parents'.
    """
    n = len(parents)
    found = np.zeros(n, dtype=np.int32)
    sires, dams = parents[:, 0].tolist(), parents[:, 1].tolist()
    listed = [0] * (n + 1)
    listed[n] = -1  # where index -1 points
    for node in range(n):
        listed[node] = 1 + max(listed[sires[node]], listed[dams[node]])
    found[:] = listed[:n]
    return found
