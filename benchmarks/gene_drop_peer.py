"""The same gene drop by msprime: a fixed pedigree, chromosomes joined end to end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

import msprime
import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import Pedigree

BASES = 10**8
"""Of one chromosome."""


@cache
def genome(pairs: int, morgan: float) -> msprime.RateMap:
    """Equal chromosomes; at the base between two half of all gametes change over, which as a rate is log 2."""
    positions, rates = [0], []
    for pair in range(pairs):
        positions.append(positions[-1] + BASES - 1)
        rates.append(morgan / (BASES - 1))
        if pair + 1 < pairs:
            positions.append(positions[-1] + 1)
            rates.append(math.log(2.0))
    return msprime.RateMap(position=positions, rate=rates)


def drops(
    pedigree: Pedigree, asked: Sequence[int], line: Sequence[int], *, replicates: int, seed: int, shares: bool
) -> npt.NDArray[np.float64]:
    """Share of some founders in some animals of the last generation, shape (replicates, k); empty if not wanted."""
    at = genome(18, 1.0)
    builder = msprime.PedigreeBuilder()
    last = int(pedigree.generations.max())
    for node, parents in enumerate(pedigree.parents.tolist()):
        time = last - int(pedigree.generations[node])
        builder.add_individual(time=time, parents=None if parents[0] < 0 else parents, is_sample=node in set(asked))
    # of no relation: what all other samples have in common is followed up to its founder for its sake
    builder.add_individual(time=0, is_sample=True)
    made = msprime.sim_ancestry(
        initial_state=builder.finalise(at.sequence_length),
        model="fixed_pedigree",
        recombination_rate=at,
        num_replicates=replicates,
        random_seed=seed,
    )
    samples = [2 * node + copy for node in asked for copy in range(2)]
    founders = [2 * node + copy for node in line for copy in range(2)]
    found = []
    for drop in made:
        if shares:
            edges = drop.dump_tables().link_ancestors(samples, founders)
            share = np.bincount(edges.child // 2, edges.right - edges.left, len(pedigree))
            found.append(share[list(asked)] / (2.0 * at.sequence_length))
    return np.array(found)
