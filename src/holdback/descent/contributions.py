"""Founder contributions: which part of a cohort's genes each founder is expected to have given.

With u = T m (see `links`) the contributions to a cohort with mean weights w are T' w (James 1972, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from holdback.descent.links import Links
from holdback.descent.pedigree import Pedigree

FloatArray = npt.NDArray[np.float64]

_CELLS = 2_000_000
"""Cells of one block of nodes."""


def founder_contributions(pedigree: Pedigree, cohort: Sequence[int]) -> dict[int, float]:
    """Expected part of each founder in the genes of a cohort.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    cohort : sequence of int
        Indices, each counted once and alike; at least one.

    Returns
    -------
    dict of int to float
        By index of every founder that the cohort descends from, or may, oldest first; in (0, 1]. They sum to 1 where
        no parent has index -1; what is missing came from such parents.

    Raises
    ------
    ValueError
        If the cohort is empty.

    Examples
    --------
    >>> family = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "E")})
    >>> found = founder_contributions(family, [family.index["K"], family.index["L"]])
    >>> {family.ids[node]: part for node, part in found.items()}
    {'S': 0.5, 'D': 0.25, 'E': 0.25}
    """
    parts = gene_parts(pedigree, cohort)
    return {int(node): float(parts[node]) for node in np.flatnonzero(pedigree.is_founder & (parts > 0))}


def contributions_of(pedigree: Pedigree, node: int) -> dict[int, float]:
    """Expected part of each founder in the genes of one node; see `founder_contributions`."""
    return contributions_of_each(pedigree, [node])[0]


def contributions_of_each(pedigree: Pedigree, nodes: Sequence[int]) -> tuple[dict[int, float], ...]:
    """Expected part of each founder in the genes of each of some nodes; see `founder_contributions`."""
    links = Links.of(pedigree)
    founders = np.flatnonzero(pedigree.is_founder)
    width = max(1, _CELLS // len(pedigree))
    found: list[dict[int, float]] = []
    for start in range(0, len(nodes), width):
        block = list(nodes[start : start + width])
        unit = np.zeros((len(pedigree), len(block)))
        unit[block, np.arange(len(block))] = 1.0
        for parts in links.summed_up(unit)[founders].T:
            given = np.flatnonzero(parts)
            found.append(dict(zip(founders[given].tolist(), parts[given].tolist(), strict=True)))
    return tuple(found)


def gene_parts(pedigree: Pedigree, cohort: Sequence[int]) -> FloatArray:
    """Part of a cohort's genes that is expected to have come through each node, itself included.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes of any kind.
    cohort : sequence of int
        Indices, at least one; an index that comes twice counts once.

    Returns
    -------
    float array, shape (n,)
        T' w, in [0, 1].

    Raises
    ------
    ValueError
        If the cohort is empty.
    """
    members = sorted(set(cohort))
    if not members:
        raise ValueError("a cohort has at least one animal")
    weights = np.zeros(len(pedigree))
    weights[members] = 1.0 / len(members)
    return Links.of(pedigree).summed_up(weights)
