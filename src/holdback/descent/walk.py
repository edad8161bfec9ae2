"""Inbreeding by walking up from each pair of parents, for pedigrees of any size and any kind of node.

The diagonal of A = T D T' is a_ii = sum over ancestors j of t_ij^2 d_j (Quaas 1976). The row t_i is followed from the
node upwards, youngest ancestor first, so that each ancestor is left once with its whole coefficient (Meuwissen and Luo
1992); parents with coefficients 1/2 are here any sources with any coefficients. Young of one pair share a walk.

References
----------
Quaas (1976), Computing the diagonal elements and inverse of a large numerator relationship matrix. Biometrics 32:949.
Meuwissen and Luo (1992), Computing inbreeding coefficients in large populations. Genet. Sel. Evol. 24:305.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from heapq import heapify, heappop, heappush

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import UNKNOWN, Pedigree

FloatArray = npt.NDArray[np.float64]
_Sources = Sequence[tuple[int, float]]


def inbreeding_by_walk(pedigree: Pedigree) -> FloatArray:
    """Inbreeding coefficient of each node, without a table of all pairs.

    Parameters
    ----------
    pedigree : Pedigree
        Of any size and with any kind of node.

    Returns
    -------
    float array, shape (n,)
        In [0, 1]; 0 where a parent is unknown.

    Notes
    -----
    Plain Python; the time grows with the number of different pairs times the number of their ancestors.
    """
    above = [pedigree.sources(node) for node in range(len(pedigree))]
    found = [0.0] * len(pedigree)
    variances = [1.0] * len(pedigree)
    pairs: dict[tuple[int, int], tuple[float, float]] = {}
    for node, (sire, dam) in enumerate(pedigree.parents.tolist()):
        if node in pedigree.candidates:
            found[node] = sum(weight * found[one] for one, weight in above[node])
            variances[node] = _variance_of_one_of(above[node], above, variances)
        elif sire == dam != UNKNOWN:
            found[node] = 1.0 - pedigree.kept * (1.0 - found[dam])
            variances[node] = (1.0 - pedigree.kept) * (1.0 - found[dam])
        elif UNKNOWN in (sire, dam):
            known = max(sire, dam)
            variances[node] = 1.0 if known == UNKNOWN else 0.75 - found[known] / 4.0
        else:
            pair = (min(sire, dam), max(sire, dam))
            if pair not in pairs:
                variance = 0.5 - (found[sire] + found[dam]) / 4.0
                pairs[pair] = (max(0.0, variance + _variance_above(above[node], above, variances) - 1.0), variance)
            found[node], variances[node] = pairs[pair]
    return np.array(found, dtype=np.float64)


def mendelian_variances(pedigree: Pedigree, inbreeding: FloatArray) -> FloatArray:
    """Variance of the Mendelian part of each node, the diagonal of D in A = T D T'.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes.
    inbreeding : float array, shape (n,)
        Inbreeding coefficient of each; zeros ignore inbreeding.

    Returns
    -------
    float array, shape (n,)
        In [0, 1], as a part of the additive variance; 0 where nothing is left to chance: one candidate only, a young
        without a sire of a dam that is inbred throughout, or parents that both are.

    Notes
    -----
    1/2 - (F_sire + F_dam) / 4 with F = -1 for an unknown parent; (1 - h) (1 - F_dam) without a sire; for one of
    several candidates sum p_s a_ss - p' A p.
    """
    sire, dam = pedigree.parents[:, 0], pedigree.parents[:, 1]
    coefficients = np.append(inbreeding, -1.0)  # where index -1 points
    found: FloatArray = 0.5 - (coefficients[sire] + coefficients[dam]) / 4.0
    alone = pedigree.without_sire
    found[alone] = (1.0 - pedigree.kept) * (1.0 - inbreeding[dam[alone]])
    if pedigree.candidates:
        above = [pedigree.sources(node) for node in range(len(pedigree))]
        listed = found.tolist()
        for node in sorted(pedigree.candidates):
            listed[node] = _variance_of_one_of(above[node], above, listed)
        found = np.array(listed, dtype=np.float64)
    return found


def _variance_of_one_of(candidates: _Sources, above: Sequence[_Sources], variances: Sequence[float]) -> float:
    """Sum p_s a_ss - p' A p: how far the candidates differ, one drawn by its weight."""
    if len(candidates) == 1:
        return 0.0
    apart = sum(weight * _variance_above([(one, 1.0)], above, variances) for one, weight in candidates)
    return max(0.0, apart - _variance_above(candidates, above, variances))


def _variance_above(start: Iterable[tuple[int, float]], above: Sequence[_Sources], variances: Sequence[float]) -> float:
    """C' A c for coefficients c of some nodes, by the walk; nodes without ancestors in common add up."""
    coefficients = dict(start)
    heap = [-node for node in coefficients]
    heapify(heap)
    total = 0.0
    while heap:
        node = -heappop(heap)
        mine = coefficients.pop(node)
        total += mine * mine * variances[node]
        for source, share in above[node]:
            if source in coefficients:
                coefficients[source] += share * mine
            else:
                coefficients[source] = share * mine
                heappush(heap, -source)
    return total
