"""Gene drop in plain NumPy: what is passed on, and that its means and spreads are those of theory."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from holdback.descent.drop_plan import DropPlan
from holdback.descent.gene_drop import drop_segments, drop_shares, founder_labels
from holdback.descent.genome import GenomeMap
from holdback.descent.kinship import inbreeding
from holdback.descent.meioses import Gametes, pair_of_gametes
from holdback.descent.pedigree import Pedigree
from holdback.descent.segments import DroppedSegments, Simulated, founder_genomes

FloatArray = npt.NDArray[np.float64]

GENOME = GenomeMap.equal(18, 1.0)
ERRORS = 4.5
"""Standard errors that a mean may be off; some sixty are asked for."""


class Line:
    """A founder whose share of the line is one of two."""

    def __init__(self, low: float, high: float | None = None, weight_high: float = 0.0) -> None:
        self.low, self.high, self.weight_high = low, low if high is None else high, weight_high


def pedigree(rows: Mapping[str, str], *, kept: float = 0.3) -> Pedigree:
    """Pedigree of parents written as "sire dam", `-` for unknown."""
    split = {name: [None if one == "-" else one for one in pair.split()] for name, pair in rows.items()}
    return Pedigree.from_parents({name: (pair[0], pair[1]) for name, pair in split.items()}, kept=kept)


def with_candidates(made: Pedigree, name: str, sires: Mapping[str, float]) -> Pedigree:
    """The pedigree with a founder turned into one of several males."""
    return replace(made, candidates={made.index[name]: tuple((made.index[one], w) for one, w in sires.items())})


LOOPED = pedigree({"5": "1 2", "6": "1 3", "7": "5 6", "8": "1 7", "9": "8 4", "10": "7 8", "11": "5 6"})
"""Of the methods' page; 1 is of the line, 2 and 3 are not, 4 is or is not."""

EVERY_KIND = with_candidates(
    pedigree(dict.fromkeys("ABSD", "- -") | {"K": "S D", "L": "S D", "W": "L K", "V": "W W", "H": "- V", "X": "W V"}),
    "S",
    {"A": 0.7, "B": 0.3},
)
"""S is A or B, V has no sire, of H one parent is known."""


def off(drawn: FloatArray, expected: float) -> float:
    """Standard errors by which the mean of some drops differs."""
    mean = Simulated.mean(drawn)
    return abs(mean.value - expected) / max(mean.standard_error, 1e-12)


def spread_off(drawn: FloatArray, expected: float) -> float:
    """Standard errors by which the standard deviation of some drops differs from its known value."""
    return off((drawn - drawn.mean()) ** 2, expected**2)


def test_drop_shares__looped_pedigree() -> None:
    """Exact values: means, spreads and the covariance of the two-locus recursion for 18 chromosomes of 1 M."""
    line = {LOOPED.index["1"]: Line(1.0), LOOPED.index["4"]: Line(0.0, 1.0, 0.5)}
    nodes = [LOOPED.index[name] for name in ("7", "8", "9", "10", "11")]
    found = drop_shares(LOOPED, GENOME, line, replicates=20_000, seed=1, nodes=nodes)
    for drawn, mean in zip(found.T, (0.5, 0.75, 0.625, 0.625, 0.5), strict=True):
        assert off(drawn, mean) < ERRORS
    for drawn, spread in zip(found.T, (0.06279, 0.04050, 0.25236, 0.06175, 0.06279), strict=True):
        assert spread_off(drawn, spread) < ERRORS
    assert off((found[:, 0] - 0.5) * (found[:, 1] - 0.75), 0.00197107) < ERRORS


def test_drop_segments__looped_pedigree() -> None:
    """As above; 4 is not of the line here."""
    found = drop_segments(LOOPED, GENOME, replicates=2500, seed=2, fast=False)
    shares = found.share_of([2 * LOOPED.index["1"], 2 * LOOPED.index["1"] + 1])
    for name, mean, spread in (
        ("7", 0.5, 0.06279),
        ("8", 0.75, 0.04050),
        ("9", 0.375, 0.03446),
        ("10", 0.625, 0.06175),
    ):
        drawn = shares[:, LOOPED.index[name]]
        assert off(drawn, mean) < ERRORS
        assert spread_off(drawn, spread) < ERRORS


@pytest.mark.parametrize("length, spreads", [(0.5, (0.05054, 0.04207, 0.03078)), (1.5, (0.03977, 0.03213, 0.02281))])
def test_drop_shares__backcrosses(length: float, spreads: tuple[float, ...]) -> None:
    """Spread of the donor's share in BC1 to BC3, 18 equal chromosomes (Hill 1993, J Hered 84:212, from memory)."""
    made = pedigree({"F1": "D R0", "BC1": "F1 R1", "BC2": "BC1 R2", "BC3": "BC2 R3"})
    nodes = [made.index[f"BC{t}"] for t in (1, 2, 3)]
    donor = {made.index["D"]: Line(1.0)}
    found = drop_shares(made, GenomeMap.equal(18, length), donor, replicates=20_000, seed=3, nodes=nodes)
    for t, (drawn, spread) in enumerate(zip(found.T, spreads, strict=True), start=1):
        assert off(drawn, 0.5 ** (t + 1)) < ERRORS
        assert spread_off(drawn, spread) < ERRORS


def test_drop_shares__sibs_of_second_cross() -> None:
    """Full sibs of F2 parents: spread .05728 and correlation .60073 of their shares (two-locus recursion)."""
    made = pedigree({"F": "P Q", "G": "P Q", "S": "F G", "D": "F G", "K": "S D", "L": "S D"})
    nodes = [made.index["K"], made.index["L"]]
    found = drop_shares(made, GENOME, {made.index["P"]: Line(1.0)}, replicates=20_000, seed=4, nodes=nodes)
    assert spread_off(found[:, 0], 0.05728) < ERRORS
    assert off((found[:, 0] - 0.5) * (found[:, 1] - 0.5), 0.60073 * 0.05728**2) < ERRORS


@pytest.mark.parametrize("share, high, weight", [(0.0, 1.0, 0.3), (0.5, None, 0.0)])
def test_drop_shares__founders_in_doubt(share: float, high: float | None, weight: float) -> None:
    """All or nothing with chance 0.3 spreads a grandchild by .11712 (two-locus recursion); a half is certain."""
    made = pedigree({"K": "P Q", "L": "K R"})
    line = {made.index["P"]: Line(share, high, weight)}
    found = drop_shares(made, GENOME, line, replicates=20_000, seed=5, nodes=[made.index["P"], made.index["L"]])
    expected = share if high is None else weight
    assert off(found[:, 1], expected / 4.0) < ERRORS
    if high is not None:
        assert spread_off(found[:, 1], 0.11712) < ERRORS
    else:
        assert (found[:, 0] == 0.5).all()


@pytest.mark.parametrize("share", [0.2, 0.8])
def test_drop_shares__founder_with_a_part(share: float) -> None:
    """One haplotype of the line at most, or at least, on each chromosome; as often as the share tells."""
    made = pedigree({"K": "P Q"})
    found = drop_shares(made, GenomeMap.equal(1, 1.0), {made.index["P"]: Line(share)}, replicates=9000, seed=6)
    of_founder = found[:, made.index["P"]]
    assert set(of_founder.tolist()) == ({0.0, 0.5} if share < 0.5 else {0.5, 1.0})
    assert off(of_founder, share) < ERRORS


def test_drop_shares__unknown_parents_have_an_entry_of_their_own() -> None:
    made = pedigree({"K": "P -", "L": "Q -"})
    found = drop_shares(made, GENOME, {-1: Line(0.0, 1.0, 0.4)}, replicates=4000, seed=7, nodes=[2, 3])
    assert set(np.unique(found)) == {0.0, 0.5}
    assert off(found[:, 0], 0.2) < ERRORS
    assert off((found[:, 0] - 0.2) * (found[:, 1] - 0.2), 0.0) < ERRORS


@pytest.mark.parametrize("kept", [0.0, 0.3, 0.5, 0.8, 1.0])
def test_drop_segments__inbreeding_is_that_of_the_pedigree(kept: float) -> None:
    """Mean of the realised part alike in both copies against the coefficient, nodes of every kind."""
    made = replace(EVERY_KIND, kept=kept)
    found = drop_segments(made, GenomeMap.equal(4, 1.0), replicates=2500, seed=8, fast=False)
    expected = inbreeding(made)
    for node in range(len(made)):
        assert off(found.ibd(node), expected[node]) < ERRORS, made.ids[node]


@pytest.mark.parametrize("length", [0.5, 1.0, 1.5])
def test_drop__selfing(length: float) -> None:
    """At `kept` = 1/2 an animal without a sire is one by selfing: spread in F3 (formula in print, see the methods).

    Var = (20 L + 8 e^-2L + e^-4L - 9) / (128 L^2) on one chromosome of L Morgan.
    """
    made = pedigree({"F1": "P Q", "F2": "F1 F1", "F3": "F2 F2"}, kept=0.5)
    genome = GenomeMap.equal(1, length)
    variance = (20 * length + 8 * np.exp(-2 * length) + np.exp(-4 * length) - 9) / (128 * length**2)
    by_bits = drop_shares(
        made, genome, {made.index["P"]: Line(1.0)}, replicates=20_000, seed=9, nodes=[made.index["F3"]]
    )
    assert spread_off(by_bits[:, 0], np.sqrt(variance)) < ERRORS
    segments = drop_segments(made, genome, replicates=20_000, seed=10, nodes=[made.index["F3"]], fast=False)
    one = made.index["P"]
    assert spread_off(segments.share_of([2 * one, 2 * one + 1])[:, 0], np.sqrt(variance)) < ERRORS


@pytest.mark.parametrize("kept", [0.0, 0.2, 0.7, 1.0])
def test_pair_of_gametes__without_a_sire(kept: float) -> None:
    """Either copy has crossovers at rate 1; the copies differ on a part `kept`, and forget it at the rate they should.

    The state "copies differ" is a chain with two states: over a distance d it keeps exp(-2 d (a + b)) of what it was,
    a and b the two chances of `DropPlan.switching` (own derivation).
    """
    made = pedigree({"V": "D D"}, kept=kept)
    plan = DropPlan.of(made, None)
    n = 20_000
    pair = pair_of_gametes(plan, False, np.array([1.0]), n, np.random.default_rng(11))
    for one in pair:
        assert off(np.bincount(one.lists, minlength=n).astype(float), 1.0) < ERRORS
        assert spread_off(np.bincount(one.lists, minlength=n).astype(float), 1.0) < ERRORS
    places = [(np.arange(n, dtype=np.uint64) << np.uint64(32)) + np.uint64(part * 2**32) for part in (0.2, 0.7)]
    first, second = (pair[0].second_at(place) ^ pair[1].second_at(place) for place in places)
    assert off(first.astype(float), kept) < ERRORS
    assert off(second.astype(float), kept) < ERRORS
    memory = np.exp(-2.0 * 0.5 * sum(plan.switching))
    assert off((first & second).astype(float), kept * (kept + (1.0 - kept) * memory)) < ERRORS


def test_gametes__changes_at_one_place_cancel() -> None:
    key = np.uint64(7 << 32 | 5)
    made = Gametes(np.array([False] * 7 + [True]), np.array([key, key], dtype=np.uint64))
    assert made.second_at(np.array([7 << 32, 7 << 32 | 9, 3 << 32], dtype=np.uint64)).tolist() == [True, True, False]


def test_drop_segments__one_candidate_for_the_whole_brood() -> None:
    """In each drop the clutch mates have the same sire, drawn by his weight."""
    found = drop_segments(EVERY_KIND, GENOME, replicates=2000, seed=12, fast=False)
    of_a = found.share_of([0, 1])
    place = EVERY_KIND.index
    is_a = of_a[:, place["S"]]
    assert set(is_a.round(12).tolist()) == {0.0, 1.0}
    assert off(is_a, 0.7) < ERRORS
    for name in ("K", "L"):
        assert np.allclose(of_a[:, place[name]], is_a / 2.0, atol=1e-12)


@pytest.fixture(scope="module")
def every_kind() -> DroppedSegments:
    return drop_segments(EVERY_KIND, GENOME, replicates=300, seed=13, fast=False)


def test_drop_segments__segments_are_in_order_and_whole(every_kind: DroppedSegments) -> None:
    begins = np.concatenate([[0], every_kind.ends.ravel()[:-1]])
    assert (every_kind.starts[begins] == 0).all()
    inner = np.setdiff1d(np.arange(1, len(every_kind.starts)), begins)
    assert (every_kind.starts[inner] > every_kind.starts[inner - 1]).all()
    assert (every_kind.founder_haplotypes[inner] != every_kind.founder_haplotypes[inner - 1]).all()
    everybody = [2 * one + copy for one in every_kind.founders for copy in range(2)]
    assert np.allclose(every_kind.share_of(everybody), 1.0, atol=1e-12)


def test_drop_segments__founders_are_numbered_by_the_pedigree(every_kind: DroppedSegments) -> None:
    n, half_known = len(EVERY_KIND), EVERY_KIND.index["H"]
    unknown_sire = n + 2 * half_known
    assert every_kind.founders == (*(EVERY_KIND.index[name] for name in ("A", "B", "D")), unknown_sire)
    assert np.allclose(every_kind.share_of([2 * unknown_sire, 2 * unknown_sire + 1])[:, half_known], 0.5, atol=1e-12)
    part = drop_segments(EVERY_KIND, GENOME, replicates=2, seed=1, nodes=[half_known], fast=False)
    assert set(part.founders) == set(every_kind.founders)


def test_haplotype__is_what_the_shares_are_made_of(every_kind: DroppedSegments) -> None:
    node = EVERY_KIND.index["X"]
    of_a = 0.0
    for copy in range(2):
        for chromosome in range(18):
            begins, ids = every_kind.haplotype(5, node, copy, chromosome)
            of_a += float(np.diff(begins, append=1.0)[np.isin(ids, [0, 1])].sum()) / 36.0
    assert of_a == pytest.approx(every_kind.share_of([0, 1])[5, node], abs=1e-12)


def test_retained__counts_what_lies_in_any_haplotype(every_kind: DroppedSegments) -> None:
    """Against a grid of a thousand places on each chromosome."""
    cohort = [EVERY_KIND.index[name] for name in ("V", "H", "X")]
    retained = every_kind.retained(cohort)
    grid = (np.arange(1000) + 0.5) / 1000.0
    for number, founder in enumerate(every_kind.founders):
        seen = np.zeros((2, 18, 1000), dtype=bool)
        for node in cohort:
            for copy in range(2):
                for chromosome in range(18):
                    begins, ids = every_kind.haplotype(3, node, copy, chromosome)
                    here = ids[np.searchsorted(begins, grid, side="right") - 1]
                    for own in range(2):
                        seen[own, chromosome] |= here == 2 * founder + own
        assert retained[3, number] == pytest.approx(seen.mean(), abs=2e-3)


def test_share_by__labels_of_single_chromosomes(every_kind: DroppedSegments) -> None:
    founders = every_kind.founders
    labels = np.zeros((1, len(founders), 18, 2), dtype=bool)
    labels[0, founders.index(EVERY_KIND.index["D"])] = True
    of_d = [2 * EVERY_KIND.index["D"] + copy for copy in range(2)]
    assert np.allclose(every_kind.share_by(labels), every_kind.share_of(of_d), atol=1e-12)
    parts = []
    for pair in range(18):
        one = np.zeros_like(labels)
        one[:, :, pair] = labels[:, :, pair]
        parts.append(every_kind.share_by(one))
    assert np.max(parts) < 1.0 / 18.0 + 1e-12
    assert np.allclose(sum(parts), every_kind.share_of(of_d), atol=1e-12)


@pytest.mark.parametrize("share", [0.3, 0.5, 0.85])
def test_share_by__agrees_with_the_drop_of_bits(share: float) -> None:
    """Segments with labels drawn for the founders have the mean and spread of `drop_shares`."""
    made = pedigree({"F": "P Q", "G": "P R", "K": "F G"})
    line = Line(share)
    nodes = [made.index["K"]]
    segments = drop_segments(made, GenomeMap.equal(6, 1.0), replicates=6000, seed=18, nodes=nodes, fast=False)
    foundings = [line if made.ids[one] == "P" else None for one in segments.founders]
    labels = founder_labels(foundings, 6000, 6, np.random.default_rng(19))
    first = segments.share_by(labels)[:, 0]
    of_line = {made.index["P"]: line}
    second = drop_shares(made, GenomeMap.equal(6, 1.0), of_line, replicates=20_000, seed=20, nodes=nodes)[:, 0]
    assert off(first, share / 2.0) < ERRORS
    assert off(second, share / 2.0) < ERRORS
    one, other = (Simulated.mean((each - share / 2.0) ** 2) for each in (first, second))
    assert abs(one.value - other.value) < ERRORS * np.hypot(one.standard_error, other.standard_error)


def test_founder_genomes__by_retention() -> None:
    """Against 200,000 drops of one locus: r (.7798, .5318, .5316, .5000) and 2.1896."""
    made = pedigree({"5": "1 2", "6": "1 2", "7": "1 3", "8": "1 3", "9": "5 7", "10": "6 8", "11": "5 8", "12": "9 4"})
    cohort = [made.index[name] for name in ("9", "10", "11", "12")]
    found = drop_segments(made, GENOME, replicates=2500, seed=14, nodes=cohort, fast=False)
    retained = found.retained(cohort)
    order = [found.founders.index(made.index[name]) for name in "1234"]
    for place, expected in zip(order, (0.7798, 0.5318, 0.5316, 0.5000), strict=True):
        # those numbers are rounded and have an error of their own, about .0006 of one locus in 200,000 drops
        assert abs(retained[:, place].mean() - expected) < ERRORS * np.hypot(
            6e-4, Simulated.mean(retained[:, place]).standard_error
        )
    contributions = np.array(
        [{"1": 0.4375, "2": 0.21875, "3": 0.21875, "4": 0.125}[made.ids[one]] for one in found.founders]
    )
    genomes = founder_genomes(contributions, retained)
    assert abs(genomes.value - 2.1896) < ERRORS * np.hypot(0.002, genomes.standard_error)
    assert 0.0 < genomes.standard_error < 0.005


def test_founder_genomes__error_is_the_spread_of_the_estimate() -> None:
    """Standard error by the delta method against eighty estimates from fifty drops each."""
    made = pedigree({"5": "1 2", "6": "1 3", "7": "5 6", "8": "5 6"})
    cohort = [made.index[name] for name in ("7", "8")]
    found = drop_segments(made, GENOME, replicates=4000, seed=15, nodes=cohort, fast=False)
    contributions = np.array([{"1": 0.5, "2": 0.25, "3": 0.25}[made.ids[one]] for one in found.founders])
    each = [founder_genomes(contributions, part) for part in np.split(found.retained(cohort), 80)]
    assert np.std([one.value for one in each]) == pytest.approx(np.mean([one.standard_error for one in each]), rel=0.3)


def test_drop__the_same_seed_gives_the_same_drops() -> None:
    seed = np.random.SeedSequence(16)
    line = {0: Line(0.0, 1.0, 0.5)}
    first, second, other = (drop_shares(EVERY_KIND, GENOME, line, replicates=40, seed=one) for one in (seed, 16, 17))
    assert (first == second).all()
    assert (first != other).any()
    again = [drop_segments(EVERY_KIND, GENOME, replicates=9, seed=seed, fast=False).starts for _ in range(2)]
    assert (again[0] == again[1]).all()


def test_drop__small_jobs_do_not_load_numba() -> None:
    code = (
        "import sys\n"
        "from holdback.descent.gene_drop import drop_segments, drop_shares\n"
        "from holdback.descent.genome import GenomeMap\n"
        "from holdback.descent.pedigree import Pedigree\n"
        "made = Pedigree.from_parents({'K': ('S', 'D')})\n"
        "drop_shares(made, GenomeMap.equal(2, 1.0), {}, replicates=5, seed=1)\n"
        "drop_segments(made, GenomeMap.equal(2, 1.0), replicates=5, seed=1)\n"
        "print('numba' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "False"
