"""The compiled gene drop: its random numbers, and that it draws by the law of the plain one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import numpy.typing as npt
import pytest
from scipy import stats  # type: ignore[import-untyped]

from holdback.descent import drop_bits_fast, drop_segments_fast
from holdback.descent.drop_segments import Haplotype, passed_on
from holdback.descent.gene_drop import drop_segments, drop_shares
from holdback.descent.gene_drop_fast import count_limits, next_unit, next_word, state_of
from holdback.descent.genome import GenomeMap
from holdback.descent.kinship import inbreeding
from holdback.descent.meioses import Gametes
from holdback.descent.pedigree import Pedigree
from holdback.descent.segments import Simulated
from holdback.descent.shares import LineFounder, share_moments

pytestmark = pytest.mark.outside

FloatArray = npt.NDArray[np.float64]

ERRORS = 4.5
"""Standard errors that a mean may be off; some two hundred are asked for."""


def every_kind(kept: float) -> Pedigree:
    """S is A or B, V and U have no sire, of H one parent is known."""
    parents: dict[str, tuple[str | None, str | None]] = dict.fromkeys("ABSD", (None, None))
    parents |= {"K": ("S", "D"), "L": ("S", "D"), "W": ("L", "K"), "V": ("W", "W"), "U": ("V", "V")}
    parents |= {"H": (None, "V"), "X": ("W", "U")}
    made = Pedigree.from_parents(parents, kept=kept)
    return replace(made, candidates={made.index["S"]: ((made.index["A"], 0.7), (made.index["B"], 0.3))})


def apart(first: FloatArray, second: FloatArray) -> float:
    """Standard errors between two means."""
    one, other = Simulated.mean(first), Simulated.mean(second)
    error = np.hypot(one.standard_error, other.standard_error)
    return abs(one.value - other.value) / max(float(error), 1e-9)


def test_next_word__is_the_stream_of_numpy() -> None:
    """numpy.random.SFC64, numpy 2."""
    seed = np.random.SeedSequence(7)
    state = state_of(seed)
    drawn = [int(next_word(state)) for _ in range(2000)]
    assert drawn == np.random.SFC64(seed).random_raw(2000).tolist()
    state = state_of(seed)
    units = [next_unit(state) for _ in range(200)]
    assert units == np.random.Generator(np.random.SFC64(seed)).random(200).tolist()


@pytest.mark.parametrize("rate", [1e-6, 0.5, 1.0, 4.4, 60.0])
def test_count_limits__are_those_of_poisson(rate: float) -> None:
    """scipy.stats.poisson."""
    limits = count_limits(np.array([rate]))[0].astype(float) / 2.0**32
    assert np.allclose(limits[:-1], stats.poisson(rate).cdf(np.arange(len(limits) - 1)), atol=2.0**-31)
    assert limits[-1] == 1.0
    assert stats.poisson(rate).sf(len(limits) - 2) < 2.0**-32


def test_count__of_bits() -> None:
    words = np.random.default_rng(1).integers(0, 2**64, 500, dtype=np.uint64)
    found = [int(drop_bits_fast.count_bits(word)) for word in [*words, np.uint64(0), np.uint64(2**64 - 1)]]
    assert found == [*np.bitwise_count(words).tolist(), 0, 64]


def _haplotype(rng: np.random.Generator) -> Haplotype:
    places = np.unique(np.append(rng.integers(1, 12, rng.integers(0, 6)), 0)).astype(np.uint64)
    ids = np.cumsum(rng.integers(1, 3, len(places))).astype(np.int32) % 4
    differs = np.append(True, ids[1:] != ids[:-1])
    return places[differs], ids[differs]


def test_passed_on__equals_the_plain_one() -> None:
    """Few places, so that changes fall upon each other and upon ends of segments; 3,000 gametes, equal one by one."""
    rng = np.random.default_rng(2)
    for _ in range(3000):
        parent = (_haplotype(rng), _haplotype(rng))
        changes = np.sort(rng.integers(1, 12, rng.integers(0, 6))).astype(np.uint64)
        second = bool(rng.integers(2))
        plain = passed_on(parent, Gametes(np.array([second]), changes))
        fast = _fast(parent, changes, second)
        assert fast[0].tolist() == plain[0].tolist()
        assert fast[1].tolist() == plain[1].tolist()


def _fast(parent: tuple[Haplotype, Haplotype], changes: npt.NDArray[np.uint64], second: bool) -> Haplotype:
    n = len(parent[0][0]) + len(parent[1][0])
    places, ids = np.zeros(n + 50, dtype=np.uint32), np.zeros(n + 50, dtype=np.int32)
    places[:n] = np.concatenate([one[0] for one in parent])
    ids[:n] = np.concatenate([one[1] for one in parent])
    begin, end = (np.array(one) for one in ([0, len(parent[0][0]), 0], [len(parent[0][0]), n, 0]))
    few = changes.astype(np.uint32)
    drop_segments_fast.passed_on(places, ids, n, begin, end, 0, np.int64(second), few, len(few), 2)
    span = slice(begin[2], end[2])
    return places[span].astype(np.uint64), ids[span]


@pytest.mark.parametrize("kept", [0.0, 0.3, 0.5, 0.8, 1.0])
def test_drop_segments_fast__every_kind_of_node(kept: float) -> None:
    """Realised parts alike in both copies, and shares of a founder, against exact means and against plain drops."""
    pedigree, genome = every_kind(kept), GenomeMap((0.3, 1.0, 2.2), (0.2, 0.3, 0.5))
    fast = drop_segments(pedigree, genome, replicates=6000, seed=3, fast=True)
    plain = drop_segments(pedigree, genome, replicates=3000, seed=4, fast=False)
    assert fast.compiled
    assert not plain.compiled
    assert fast.founders == plain.founders
    expected = inbreeding(pedigree)
    first, second = fast.share_of([0, 6]), plain.share_of([0, 6])
    for node in range(len(pedigree)):
        assert apart(fast.ibd(node), np.full(2, expected[node])) < ERRORS
        assert apart((fast.ibd(node) - expected[node]) ** 2, (plain.ibd(node) - expected[node]) ** 2) < ERRORS
        assert apart(first[:, node], second[:, node]) < ERRORS
        assert apart((first[:, node] - first.mean()) ** 2, (second[:, node] - first.mean()) ** 2) < ERRORS
    for one, other in zip(fast.retained([5, 8, 10]).T, plain.retained([5, 8, 10]).T, strict=True):
        assert apart(one, other) < ERRORS
        assert apart((one - one.mean()) ** 2, (other - one.mean()) ** 2) < ERRORS


@pytest.mark.parametrize("kept", [0.0, 0.3, 0.5, 0.8, 1.0])
def test_drop_bits_fast__every_kind_of_node(kept: float) -> None:
    """Means, spreads and products of shares of a line against plain drops."""
    pedigree, genome = every_kind(kept), GenomeMap((0.3, 1.0, 2.2), (0.2, 0.3, 0.5))
    line = {
        pedigree.index["A"]: SimpleNamespace(low=1.0, high=1.0, weight_high=1.0),
        pedigree.index["D"]: SimpleNamespace(low=0.2, high=0.7, weight_high=0.4),
        -1: SimpleNamespace(low=0.0, high=1.0, weight_high=0.3),
    }
    fast, plain = (
        drop_shares(pedigree, genome, line, replicates=8000, seed=5 + fast, fast=fast) for fast in (True, False)
    )
    middle = plain.mean(axis=0)
    products = np.triu_indices(len(pedigree))
    for node in range(len(pedigree)):
        assert apart(fast[:, node], plain[:, node]) < ERRORS
    for one, other in zip(*products, strict=True):
        assert apart(*((each - middle)[:, one] * (each - middle)[:, other] for each in (fast, plain))) < ERRORS


@pytest.mark.parametrize("kept", [0.0, 0.3, 0.5, 0.8, 1.0])
def test_drop_bits_fast__exact_spreads(kept: float) -> None:
    """Means, variances and covariances of shares against the two-locus recursion, nodes and founders of every kind."""
    pedigree, genome = every_kind(kept), GenomeMap((0.3, 1.0, 2.2), (0.2, 0.3, 0.5))
    line = {
        pedigree.index["A"]: LineFounder(1.0, 1.0, 1.0),
        pedigree.index["B"]: LineFounder(0.5, 0.5),
        pedigree.index["D"]: LineFounder(0.2, 0.7, 0.4),
        -1: LineFounder(0.0, 1.0, 0.3),
    }
    exact = share_moments(pedigree, line, genome)
    drawn = drop_shares(pedigree, genome, line, replicates=20_000, seed=7, fast=True) - exact.mean
    for node in range(len(pedigree)):
        assert apart(drawn[:, node], np.zeros(2)) < ERRORS
        for other in range(node + 1):
            product = drawn[:, node] * drawn[:, other]
            assert apart(product, np.full(2, exact.covariance[node, other])) < ERRORS


def test_drop_segments_fast__segments_are_in_order_and_whole() -> None:
    found = drop_segments(every_kind(0.3), GenomeMap.equal(18, 1.0), replicates=300, seed=6, fast=True)
    begins = np.concatenate([[0], found.ends.ravel()[:-1]])
    assert (found.starts[begins] == 0).all()
    inner = np.setdiff1d(np.arange(1, len(found.starts)), begins)
    assert (found.starts[inner] > found.starts[inner - 1]).all()
    assert (found.founder_haplotypes[inner] != found.founder_haplotypes[inner - 1]).all()


@pytest.mark.parametrize("drop", ["segments", "bits"])
def test_drop_fast__the_same_seed_gives_the_same_drops(drop: str) -> None:
    pedigree, genome = every_kind(0.3), GenomeMap.equal(3, 1.0)
    line = {0: SimpleNamespace(low=0.0, high=1.0, weight_high=0.5)}
    made: dict[str, Callable[[int], npt.NDArray[np.generic]]] = {
        "segments": lambda seed: drop_segments(pedigree, genome, replicates=20, seed=seed, fast=True).starts,
        "bits": lambda seed: drop_shares(pedigree, genome, line, replicates=20, seed=seed, fast=True),
    }
    first, second, other = (made[drop](seed) for seed in (1, 1, 2))
    assert np.array_equal(first, second)
    assert not np.array_equal(first, other)


def test_drop__large_jobs_are_compiled() -> None:
    """The choice by size takes the compiled drop from a hundred thousand nodes times drops on."""
    small, large = (
        drop_segments(every_kind(0.3), GenomeMap.equal(1, 1.0), replicates=n, seed=1, nodes=[0]) for n in (9, 100_000)
    )
    assert not small.compiled
    assert large.compiled
