"""Gene drop with exact segments: where each founder haplotype lies, all replicates of one node at once.

The chromosomes of all replicates are laid end to end; see `meioses` for the keys. A haplotype is a sorted array of the
keys at which a segment begins, one at the start of every list, and an array of founder haplotypes.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from holdback.descent.drop_plan import BRED, FOUNDER, ONE_OF, DropPlan
from holdback.descent.meioses import PLACES, SHIFT, Gametes, pair_of_gametes

WordArray = npt.NDArray[np.uint64]
IntArray = npt.NDArray[np.int32]
FloatArray = npt.NDArray[np.float64]
Haplotype = tuple[WordArray, IntArray]
Flat = tuple[npt.NDArray[np.uint32], IntArray, npt.NDArray[np.int64]]
"""Places at which segments begin, founder haplotypes, and the end of each list."""


def drop_segments_plain(plan: DropPlan, lengths: FloatArray, replicates: int, rng: np.random.Generator) -> Flat:
    """Segments of the nodes asked for, sorted by replicate, chromosome, node and copy."""
    starts = np.arange(replicates * len(lengths), dtype=np.uint64) << SHIFT
    found: dict[int, tuple[Haplotype, Haplotype]] = {}
    for one in plan.founders.tolist():
        first, second = (np.full(len(starts), 2 * plan.node[one] + copy, dtype=np.int32) for copy in range(2))
        found[one] = (starts, first), (starts, second)
    for one, kind in enumerate(plan.kind.tolist()):
        if kind == ONE_OF:
            found[one] = _one_of(plan, one, found, rng.random(replicates), len(lengths))
        elif kind != FOUNDER:
            pair = pair_of_gametes(plan, kind == BRED, lengths, replicates, rng)
            found[one] = passed_on(found[plan.sire[one]], pair[0]), passed_on(found[plan.dam[one]], pair[1])
    return _flat([found[one][copy] for one in plan.asked.tolist() for copy in range(2)], len(starts))


def passed_on(parent: tuple[Haplotype, Haplotype], made: Gametes) -> Haplotype:
    """What a parent passes on."""
    cuts = np.unique(np.concatenate([parent[0][0], parent[1][0], made.keys]))
    taken = np.where(made.second_at(cuts), _at(parent[1], cuts), _at(parent[0], cuts))
    return _merged(cuts, taken)


def _at(haplotype: Haplotype, cuts: WordArray) -> IntArray:
    """Founder haplotype from each cut on."""
    found: IntArray = haplotype[1][np.searchsorted(haplotype[0], cuts, side="right") - 1]
    return found


def _merged(cuts: WordArray, ids: IntArray) -> Haplotype:
    """Segments without those that go on with the same founder haplotype on the same list."""
    begins = np.ones(len(cuts), dtype=np.bool_)
    begins[1:] = (ids[1:] != ids[:-1]) | (cuts[1:] & np.uint64(PLACES - 1) == 0)
    return cuts[begins], ids[begins]


def _one_of(
    plan: DropPlan, one: int, found: dict[int, tuple[Haplotype, Haplotype]], draws: FloatArray, chromosomes: int
) -> tuple[Haplotype, Haplotype]:
    """Haplotypes of the candidate drawn in each replicate."""
    span = slice(plan.first[one], plan.first[one + 1])
    chosen = np.searchsorted(plan.up_to[span][:-1], draws, side="right").repeat(chromosomes)
    candidates = [found[candidate] for candidate in plan.candidate[span].tolist()]
    made = []
    for copy in range(2):
        parts = [
            (keys[mine], ids[mine])
            for number, (keys, ids) in enumerate(candidate[copy] for candidate in candidates)
            for mine in [chosen[(keys >> SHIFT).astype(np.int64)] == number]
        ]
        keys = np.concatenate([part[0] for part in parts])
        order = np.argsort(keys)
        made.append((keys[order], np.concatenate([part[1] for part in parts])[order]))
    return made[0], made[1]


def _flat(haplotypes: list[Haplotype], n_lists: int) -> Flat:
    """All segments, by list and within it by haplotype."""
    owners = np.repeat(np.arange(len(haplotypes)), [len(keys) for keys, _ in haplotypes])
    keys = np.concatenate([np.empty(0, dtype=np.uint64), *(keys for keys, _ in haplotypes)])
    ids = np.concatenate([np.empty(0, dtype=np.int32), *(ids for _, ids in haplotypes)])
    place_of = (keys >> SHIFT).astype(np.int64) * len(haplotypes) + owners
    order = np.argsort(place_of, kind="stable")
    ends = np.cumsum(np.bincount(place_of, minlength=n_lists * len(haplotypes)))
    return (keys[order] & np.uint64(PLACES - 1)).astype(np.uint32), ids[order], ends
