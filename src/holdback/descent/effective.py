"""Effective numbers: founders, ancestors, founder genomes and breeding animals that would do as much as there is.

Every number says what it assumes; where it cannot be said it is None.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.contributions import gene_parts
from holdback.descent.kinship import inbreeding, kinship
from holdback.descent.pedigree import UNKNOWN, Pedigree

FloatArray = npt.NDArray[np.float64]

_NOTHING = 1e-12


@dataclass(frozen=True, slots=True)
class Ancestor:
    """An ancestor chosen, with the part of the cohort's genes that no ancestor chosen before accounts for."""

    node: int
    contribution: float


@dataclass(frozen=True)
class EffectiveAncestors:
    """Effective number of ancestors.

    Parameters
    ----------
    value : float
        1 / sum of squared marginal contributions.
    ancestors : tuple of Ancestor
        In the order chosen, the largest marginal contribution first; they sum to 1.
    """

    value: float
    ancestors: tuple[Ancestor, ...]


@dataclass(frozen=True, slots=True)
class EffectiveSize:
    """Effective population size.

    Parameters
    ----------
    value : float or None
        Number of animals in an ideal population; None where it cannot be said.
    assumes : str
        What must hold for it, or why it cannot be said.
    n : int
        Animals, or generations, that it rests on.
    """

    value: float | None
    assumes: str
    n: int


def effective_founders(pedigree: Pedigree, cohort: Sequence[int]) -> float:
    """Effective number of founders f_e: founders of equal contribution that would give the same spread.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    cohort : sequence of int
        Indices, at least one.

    Returns
    -------
    float
        1 / sum p^2, at least 1. A parent with index -1 counts as a founder of its own.

    References
    ----------
    Lacy (1989), Analysis of founder representation in pedigrees. Zoo Biol. 8:111.
    """
    parts = gene_parts(pedigree, cohort)
    squares = float(np.sum(parts[pedigree.is_founder] ** 2))
    half_known = ((pedigree.parents == UNKNOWN).sum(axis=1) == 1) & ~pedigree.is_founder
    return 1.0 / (squares + float(np.sum((parts[half_known] / 2.0) ** 2)))


def effective_ancestors(pedigree: Pedigree, cohort: Sequence[int]) -> EffectiveAncestors:
    """Effective number of ancestors f_a, with the ancestors: it sees bottlenecks that f_e does not.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind. A node of candidates is not chosen itself, its candidates are.
    cohort : sequence of int
        Indices, at least one.

    Notes
    -----
    Greedy: the ancestor with the largest contribution that those chosen do not account for is chosen, its own ancestry
    is cut, and so on until all is accounted for. Of equal ones the oldest is chosen. The time grows with nodes times
    ancestors chosen.

    References
    ----------
    Boichard, Maignel and Verrier (1997), The value of using probabilities of gene origin. Genet. Sel. Evol. 29:5
    (algorithm from memory).
    """
    kept = pedigree.ancestors(cohort)
    part = pedigree.part(kept)
    place = {node: number for number, node in enumerate(kept)}
    members = {place[one] for one in cohort}
    above = [list(part.sources(node)) for node in range(len(part))]
    is_open = np.ones(len(part), dtype=np.bool_)
    is_open[list(part.candidates)] = False
    chosen: list[Ancestor] = []
    while True:
        margins = np.where(is_open, _given(above, members) * (1.0 - _accounted(above, chosen)), 0.0)
        best = int(np.flatnonzero(margins >= margins.max() - _NOTHING)[0])
        if margins[best] <= _NOTHING:
            break
        chosen.append(Ancestor(best, float(margins[best])))
        above[best], is_open[best] = [], False
    value = 1.0 / sum(one.contribution**2 for one in chosen)
    return EffectiveAncestors(value, tuple(Ancestor(kept[one.node], one.contribution) for one in chosen))


def _given(above: list[list[tuple[int, float]]], members: set[int]) -> FloatArray:
    """Part of the cohort's genes through each node."""
    found = [1.0 / len(members) if node in members else 0.0 for node in range(len(above))]
    for node in reversed(range(len(above))):
        for source, share in above[node]:
            found[source] += share * found[node]
    return np.array(found)


def _accounted(above: list[list[tuple[int, float]]], chosen: list[Ancestor]) -> FloatArray:
    """Part of each node's genes that the ancestors chosen account for."""
    found = [0.0] * len(above)
    for one in chosen:
        found[one.node] = 1.0
    for node, sources in enumerate(above):
        for source, share in sources:
            found[node] += share * found[source]
    return np.array(found)


def genome_equivalents(pedigree: Pedigree, cohort: Sequence[int]) -> float:
    """Founder genome equivalents as 1 / (2 mean kinship), each animal's kinship with itself included.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    cohort : sequence of int
        Indices, at least one.

    Returns
    -------
    float
        Founders, all their genes kept, whose genes would be as varied as the cohort's; at least 1/2.

    Raises
    ------
    ValueError
        If the cohort is empty.

    Notes
    -----
    Exact by the pedigree. The form that counts founder alleles surviving in gene drops, 1 / sum(p^2 / r), is another
    number in a cohort of few animals: founders' own alleles cannot all survive in it.
    """
    members = sorted(set(cohort))
    if not members:
        raise ValueError("a cohort has at least one animal")
    return 1.0 / (2.0 * float(kinship(pedigree, members).mean()))


def size_by_sex_ratio(n_males: int, n_females: int) -> EffectiveSize:
    """Effective size 4 N_m N_f / (N_m + N_f) of the animals that breed (Wright 1931, from memory).

    Examples
    --------
    >>> size_by_sex_ratio(2, 8).value
    6.4
    """
    if min(n_males, n_females) < 1:
        return EffectiveSize(None, "Breeding animals of both sexes are needed.", n_males + n_females)
    assumes = "Every male and every female that breeds has the same chance of young; unrelated parents; even mating."
    return EffectiveSize(4 * n_males * n_females / (n_males + n_females), assumes, n_males + n_females)


def size_over_generations(sizes: Sequence[float]) -> EffectiveSize:
    """Effective size over several generations: the harmonic mean (Wright 1938, from memory).

    Examples
    --------
    >>> round(size_over_generations([10, 50, 100]).value, 3)
    23.077
    """
    if not sizes or min(sizes) <= 0:
        return EffectiveSize(None, "The size of every generation, above 0, is needed.", len(sizes))
    assumes = "Each size is the effective size of its generation; generations do not overlap."
    return EffectiveSize(len(sizes) / sum(1.0 / one for one in sizes), assumes, len(sizes))


def size_by_rate(rate: float) -> EffectiveSize:
    """Effective size 1 / (2 dF) for a rate of inbreeding dF a generation (Wright 1931, from memory)."""
    if not 0 < rate <= 1:
        return EffectiveSize(None, "Inbreeding does not rise, so no size follows from it.", 0)
    return EffectiveSize(1.0 / (2.0 * rate), "Inbreeding rises at the same rate in every generation.", 0)


def size_by_inbreeding(pedigree: Pedigree, cohort: Sequence[int]) -> EffectiveSize:
    """Effective size by the individual increase in inbreeding of a cohort.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    cohort : sequence of int
        Indices.

    Returns
    -------
    EffectiveSize
        1 / (2 mean dF_i) with dF_i = 1 - (1 - F_i)^(1 / (t_i - 1)), t_i the equivalent complete generations. Animals
        with no more than one such generation say nothing and are left out; `n` counts the others.

    References
    ----------
    Gutierrez, Cervantes and Goyache (2009), Improving the estimation of realized effective population sizes in farm
    animals. J. Anim. Breed. Genet. 126:327 (from memory).
    """
    depth = equivalent_generations(pedigree)
    members = [node for node in sorted(set(cohort)) if depth[node] > 1.0 + 1e-9]
    if not members:
        return EffectiveSize(None, "No animal has more than one complete generation of ancestors on record.", 0)
    coefficients = inbreeding(pedigree)[members]
    rate = float(np.mean(1.0 - (1.0 - coefficients) ** (1.0 / (depth[members] - 1.0))))
    if rate <= 0:
        return EffectiveSize(None, "Nobody is inbred by the pedigree, so no size follows from it.", len(members))
    assumes = "Inbreeding rose at a steady rate in each animal's own ancestry; unrecorded ancestors were unrelated."
    return EffectiveSize(1.0 / (2.0 * rate), assumes, len(members))


def equivalent_generations(pedigree: Pedigree) -> FloatArray:
    """Equivalent complete generations of each node: sum of (1/2)^g over the ancestors known g generations up.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes; founders that are not on record count as not known.

    Returns
    -------
    float array, shape (n,)
        At least 0. An animal without a sire is complete with its dam; doubtful sires count by their weights.
    """
    known, found = _is_known(pedigree), np.zeros(len(pedigree))
    for node in range(len(pedigree)):
        for source, share in pedigree.sources(node):
            found[node] += share * (found[source] + (0.0 if node in pedigree.candidates else known[source]))
    return found


def completeness(pedigree: Pedigree, *, generations: int = 5) -> FloatArray:
    """Part of the ancestors of each node that is known, by generation up.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes; founders that are not on record count as not known.
    generations : int
        How far up.

    Returns
    -------
    float array, shape (n, generations)
        In [0, 1]; the first column is the parents.
    """
    found = np.zeros((len(pedigree), generations + 1))
    found[:, 0] = _is_known(pedigree)
    for node in range(len(pedigree)):
        for source, share in pedigree.sources(node):
            if node in pedigree.candidates:
                found[node, 1:] += share * found[source, 1:]
            else:
                found[node, 1:] += share * found[source, :-1]
    return found[:, 1:]


def _is_known(pedigree: Pedigree) -> FloatArray:
    """1 for known animals, 0 for unknown founders, the weight of known ones for a node of candidates."""
    known = (pedigree.on_record | ~pedigree.is_founder).astype(np.float64)
    for node in sorted(pedigree.candidates):
        known[node] = sum(weight * known[one] for one, weight in pedigree.candidates[node])
    return known
