"""Gene drop against msprime (1.4), an independent simulator, in a fixed pedigree.

Chromosomes are stretches of one sequence, joined by one base at which half of all gametes change over: Haldane's rate
for that is log 2, not 1/2. A sample of no relation is added, as a stretch on which all samples have met is not followed
up to its founder. Each share is asked with that animal alone as sample, so that the way up does not end at another one.
"""

from __future__ import annotations

import math

import msprime
import numpy as np
import numpy.typing as npt
import pytest

from holdback.descent.gene_drop import drop_segments
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.segments import Simulated

pytestmark = [pytest.mark.outside, pytest.mark.slow]

FloatArray = npt.NDArray[np.float64]

BASES = 10**8
"""Of one chromosome."""
PAIRS = 18
PARENTS = {"5": "1 2", "6": "1 3", "7": "5 6", "8": "1 7", "9": "8 4", "10": "7 8", "11": "5 6"}
TIMES = {"1": 10, "2": 10, "3": 10, "4": 10, "5": 8, "6": 8, "7": 6, "8": 4, "9": 0, "10": 0, "11": 0}
ASKED = ("7", "8", "9", "10", "11")
MEANS = (0.5, 0.75, 0.375, 0.625, 0.5)
SPREADS = (0.06279, 0.04050, 0.03446, 0.06175, 0.06279)
"""Exact, by the two-locus recursion."""
REPLICATES = 3000


@pytest.fixture(scope="module")
def looped() -> Pedigree:
    return Pedigree.from_parents({name: (pair.split()[0], pair.split()[1]) for name, pair in PARENTS.items()})


@pytest.fixture(scope="module")
def theirs(looped: Pedigree) -> FloatArray:
    """Shares of animal 1 in those asked for by msprime, shape (replicates, 5)."""
    positions, rates = [0], []
    for pair in range(PAIRS):
        positions.append(positions[-1] + BASES - 1)
        rates.append(1.0 / (BASES - 1))
        if pair + 1 < PAIRS:
            positions.append(positions[-1] + 1)
            rates.append(math.log(2.0))
    genome = msprime.RateMap(position=positions, rate=rates)
    builder = msprime.PedigreeBuilder()
    for name, pair in zip(looped.ids, looped.parents.tolist(), strict=True):
        parents = None if pair[0] < 0 else pair
        builder.add_individual(time=TIMES[name], parents=parents, is_sample=name in ASKED)
    builder.add_individual(time=0, is_sample=True)
    drops = msprime.sim_ancestry(
        initial_state=builder.finalise(genome.sequence_length),
        model="fixed_pedigree",
        recombination_rate=genome,
        num_replicates=REPLICATES,
        random_seed=int(np.random.SeedSequence(8).generate_state(1)[0]),
    )
    line = [2 * looped.index["1"], 2 * looped.index["1"] + 1]
    found = []
    for drop in drops:
        tables = drop.dump_tables()
        edges = [tables.link_ancestors([2 * looped.index[one], 2 * looped.index[one] + 1], line) for one in ASKED]
        found.append([float((each.right - each.left).sum()) / (2.0 * genome.sequence_length) for each in edges])
    return np.array(found)


@pytest.mark.parametrize("fast", [False, True])
def test_drop_segments__agrees_with_msprime(looped: Pedigree, theirs: FloatArray, *, fast: bool) -> None:
    """Means and spreads within 4 standard errors of the difference, and each within 4 of the exact value."""
    nodes = [looped.index[one] for one in ASKED]
    drops = drop_segments(looped, GenomeMap.equal(PAIRS, 1.0), replicates=REPLICATES, seed=9, nodes=nodes, fast=fast)
    ours = drops.share_of([2 * looped.index["1"], 2 * looped.index["1"] + 1])
    for number, (mean, spread) in enumerate(zip(MEANS, SPREADS, strict=True)):
        for power, expected in ((1, 0.0), (2, spread**2)):
            mine, other = (Simulated.mean((each[:, number] - mean) ** power) for each in (ours, theirs))
            error = math.hypot(mine.standard_error, other.standard_error)
            assert abs(mine.value - other.value) < 4.0 * error
            assert abs(mine.value - expected) < 4.0 * mine.standard_error
            assert abs(other.value - expected) < 4.0 * other.standard_error


def test_drop_segments__covariance_with_msprime(looped: Pedigree, theirs: FloatArray) -> None:
    """Of 7 and its young 8: .00197107 exactly."""
    nodes = [looped.index[one] for one in ASKED]
    drops = drop_segments(looped, GenomeMap.equal(PAIRS, 1.0), replicates=REPLICATES, seed=10, nodes=nodes, fast=True)
    for each in (drops.share_of([2 * looped.index["1"], 2 * looped.index["1"] + 1]), theirs):
        found = Simulated.mean((each[:, 0] - 0.5) * (each[:, 1] - 0.75))
        assert abs(found.value - 0.00197107) < 4.0 * found.standard_error
