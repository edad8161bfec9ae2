"""Gene drop with one bit a marker: which parts are of the line, 64 markers on each chromosome, all replicates at once.

A haplotype is one 64-bit word for each chromosome; markers are evenly spaced. A gamete takes the bits of one or the
other haplotype by a mask that changes at crossovers. The mask begins with either, so that a crossover before the first
marker changes nothing in law; hence a crossover is one of 64 places, all alike.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from holdback.descent.drop_plan import BRED, FOUNDER, ONE_OF, DropPlan
from holdback.descent.meioses import pair_of_gametes

WordArray = npt.NDArray[np.uint64]
FloatArray = npt.NDArray[np.float64]

MARKERS = 64
ALL = np.uint64(0xFFFFFFFFFFFFFFFF)
AFTER = np.array([(0xFFFFFFFFFFFFFFFF << one) & 0xFFFFFFFFFFFFFFFF for one in range(MARKERS)], dtype=np.uint64)
"""Markers from each place on."""


def drop_bits(
    plan: DropPlan, lengths: FloatArray, weights: FloatArray, words: WordArray, rng: np.random.Generator
) -> FloatArray:
    """Share of set bits of the nodes asked for.

    Parameters
    ----------
    plan : DropPlan
        Nodes.
    lengths, weights : float array, shape (c,)
        Morgans of each chromosome, and its part of the genome.
    words : uint64 array, shape (replicates, f, c, 2)
        Bits of the founders' haplotypes.
    rng : Generator
        Random numbers.

    Returns
    -------
    float array, shape (replicates, k)
        In [0, 1].
    """
    replicates = len(words)
    found: dict[int, WordArray] = {}
    for number, one in enumerate(plan.founders.tolist()):
        found[one] = np.moveaxis(words[:, number], 2, 0)
    for one, kind in enumerate(plan.kind.tolist()):
        if kind == ONE_OF:
            found[one] = _one_of(plan, one, found, rng.random(replicates))
        elif kind != FOUNDER:
            sire, dam = found[plan.sire[one]], found[plan.dam[one]]
            masks = _masks(plan, kind == BRED, lengths, replicates, rng)
            found[one] = np.stack([_gamete(sire, masks[0]), _gamete(dam, masks[1])])
    counts = [np.bitwise_count(found[one]).sum(axis=0, dtype=np.int64) for one in plan.asked.tolist()]
    shares = [count @ weights / (2.0 * MARKERS) for count in counts]
    return np.stack(shares, axis=1) if shares else np.empty((replicates, 0))


def _gamete(parent: WordArray, mask: WordArray) -> WordArray:
    made: WordArray = parent[0] ^ ((parent[0] ^ parent[1]) & mask)
    return made


def _masks(
    plan: DropPlan, is_bred: bool, lengths: FloatArray, replicates: int, rng: np.random.Generator
) -> list[WordArray]:
    """Masks of the gametes of both sides."""
    masks = []
    for gamete in pair_of_gametes(plan, is_bred, lengths, replicates, rng):
        mask = np.where(gamete.second, ALL, np.uint64(0))
        np.bitwise_xor.at(mask, gamete.lists, AFTER[gamete.places >> np.uint64(26)])
        masks.append(mask.reshape(replicates, len(lengths)))
    return masks


def _one_of(plan: DropPlan, one: int, found: dict[int, WordArray], draws: FloatArray) -> WordArray:
    """Haplotypes of the candidate drawn in each replicate."""
    span = slice(plan.first[one], plan.first[one + 1])
    chosen = np.searchsorted(plan.up_to[span][:-1], draws, side="right")
    made = np.empty_like(found[plan.candidate[span][0]])
    for number, candidate in enumerate(plan.candidate[span].tolist()):
        made[:, chosen == number] = found[candidate][:, chosen == number]
    return made
