"""Laws of shares: how often ranges hold simulated truths, ends and certain values, scenarios, many nodes at once."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.descent.clear_genome import chance_clear
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Draft, Pedigree, assembled
from holdback.descent.scenarios import MOST_SCENARIOS
from holdback.descent.share_distribution import share_distribution, share_intervals
from holdback.descent.shares import LineFounder, share_moments

ALL = LineFounder(1.0, 1.0)
GENOME = GenomeMap((1.6, 1.1, 0.8) + (0.5,) * 9, (0.24, 0.16, 0.15) + (0.05,) * 9)
"""Twelve pairs, large ones and small ones (invented)."""
DROPS = 1500


def crossed() -> Pedigree:
    """Backcrosses both ways, F2, sibs, a doubtful founder, a doubtful sire, an animal without a sire."""
    parents: dict[str, tuple[str | None, str | None]] = {
        "F1": ("D", "R0"),
        "G1": ("D", "R0"),
        "B1": ("F1", "R1"),
        "B2": ("B1", "R2"),
        "B3": ("B2", "R3"),
        "B4": ("B3", "R4"),
        "up": ("D", "F1"),
        "F2": ("F1", "G1"),
        "sib": ("F1", "G1"),
        "F3": ("F2", "sib"),
        "alone": ("F2", "F2"),
        "maybe": ("Q", "R0"),
        "maybe2": ("maybe", "R1"),
        "half1": ("H", "R2"),
        "of one": ("?sire", "R1"),
        "of one2": ("of one", "maybe2"),
    }
    founders = {"D", "Q", "H", "?sire", *(f"R{number}" for number in range(5))}
    draft = Draft.of_parents({**parents, **dict.fromkeys(founders, (None, None))}, {})
    draft.candidates["?sire"] = (("F2", 0.6), ("R3", 0.3), ("D", 0.1))
    return assembled(draft, {}, 0.3)


def said(p: Pedigree) -> dict[int, LineFounder]:
    return {p.index["D"]: ALL, p.index["Q"]: LineFounder(0.5, 1.0), p.index["H"]: LineFounder(0.25, 0.25)}


def reference_shares(p: Pedigree, founders: dict[int, LineFounder], draws: int) -> np.ndarray:
    """Shares by dropping haplotypes of 100 places on each chromosome, one animal after the other, plain and slow."""
    rng = np.random.default_rng(11)
    places, count = 100, len(GENOME.lengths)
    crossing = -np.expm1(-2 * np.array(GENOME.lengths) / places)[:, None] / 2

    def gamete(pair: np.ndarray, chance: np.ndarray = crossing) -> np.ndarray:
        changes = rng.random((draws, count, places)) < chance
        changes[:, :, 0] = rng.random((draws, count)) < 0.5
        from_second = np.cumsum(changes, axis=2) % 2 == 1
        return np.where(from_second, pair[:, 1], pair[:, 0])

    found: list[np.ndarray] = []
    for node in range(len(p)):
        pair = np.zeros((draws, 2, count, places), dtype=np.bool_)
        if node in p.candidates:
            who = rng.choice([one for one, _ in p.candidates[node]], draws, p=[w for _, w in p.candidates[node]])
            pair = np.stack(found)[who, np.arange(draws)]
        elif p.is_founder[node]:
            one = founders.get(node, LineFounder(0.0, 0.0))
            share = np.where(rng.random(draws) < one.weight_high, one.high, one.low)[:, None, None]
            drawn = rng.random((draws, count, 1))
            pair[:, 0], pair[:, 1] = drawn < 2 * share, drawn < 2 * share - 1
        elif p.without_sire[node]:
            first, second = (gamete(found[int(p.parents[node, 0])]) for _ in range(2))
            pair[:, 0], pair[:, 1] = first, second
        else:
            pair[:, 0], pair[:, 1] = (gamete(found[parent]) for parent in p.parents[node].tolist())
        found.append(pair)
    weights = np.array(GENOME.weights)
    return np.array([pair.mean(axis=(1, 3)) @ weights for pair in found]).T


def test_share_intervals__hold_simulated_shares_nine_times_in_ten() -> None:
    """Over all kinds together 88 to 92 %; each kind 87 to 93 % but for four standard errors.

    The animal without a sire is dropped as by selfing, as `kept` is set to one half here.
    """
    crossed_here = crossed()
    p = Pedigree(
        crossed_here.ids,
        crossed_here.parents,
        crossed_here.sexes,
        crossed_here.on_record,
        crossed_here.candidates,
        crossed_here.born,
        0.5,
        crossed_here.mates,
    )
    shares = reference_shares(p, said(p), DROPS)
    moments = share_moments(p, said(p), GENOME)
    assert shares.mean(axis=0) == pytest.approx(moments.mean, abs=4 * 0.5 / DROPS**0.5)
    assert shares.std(axis=0) == pytest.approx(moments.sd, rel=0.1, abs=1e-6)
    ranges = share_intervals(p, said(p), GENOME, list(range(len(p))))
    held = (shares >= ranges[:, 0] - 1e-9) & (shares <= ranges[:, 1] + 1e-9)
    kinds = ["B1", "B2", "B3", "B4", "up", "F2", "sib", "F3", "alone", "maybe2", "half1", "of one2"]
    each = held.mean(axis=0)[[p.index[one] for one in kinds]]
    error = (0.9 * 0.1 / DROPS) ** 0.5
    assert 0.88 < each.mean() < 0.92
    assert (each > 0.87 - 4 * error).all()
    assert (each < 0.93 + 4 * error).all()


def test_share_distribution__has_the_exact_mean_and_spread() -> None:
    p = crossed()
    genome = GenomeMap(GENOME.lengths, GENOME.weights, 0.6, 1.7)
    moments = share_moments(p, said(p), genome)
    for node in range(len(p)):
        law = share_distribution(p, said(p), genome, node)
        assert (law.mean, law.sd) == pytest.approx((moments.mean[node], moments.sd[node]), abs=1e-9)


def test_share_intervals__are_those_of_the_laws() -> None:
    p = crossed()
    genome = GenomeMap(GENOME.lengths, GENOME.weights, 0.6, 1.7)
    nodes = list(range(len(p)))
    ranges = share_intervals(p, said(p), genome, nodes)
    alone = [share_distribution(p, said(p), genome, node).interval() for node in nodes]
    assert ranges == pytest.approx(np.array(alone), abs=1e-8)


def test_share_distribution__certain_values_are_points() -> None:
    p = crossed()
    f1 = share_distribution(p, said(p), GENOME, p.index["F1"])
    assert (f1.exact, f1.mean, f1.sd, f1.interval(), f1.method) == (True, 0.5, 0.0, (0.5, 0.5), "Exact.")
    assert (f1.above(0.5), f1.below(0.5), f1.above(0.49), f1.below(0.51)) == (0.0, 0.0, 1.0, 1.0)
    either = share_distribution(p, said(p), GENOME, p.index["Q"])
    assert either.exact
    assert (either.quantile(0.4), either.quantile(0.6), either.above(0.75)) == (0.5, 1.0, 0.5)
    assert either.density([0.25, 0.75]).tolist() == [0.0, 0.0]


def test_share_distribution__a_law_and_its_parts_agree() -> None:
    p = crossed()
    law = share_distribution(p, said(p), GENOME, p.index["of one2"])
    assert not law.exact
    grid = np.linspace(0.0, 1.0, 4001)
    density = law.density(grid)
    assert float(np.sum(density) * (grid[1] - grid[0])) == pytest.approx(1.0, abs=2e-3)
    for q in (0.02, 0.3, 0.5, 0.9):
        assert law.below(law.quantile(q)) == pytest.approx(q, abs=1e-6)
    assert law.above(0.3) + law.below(0.3) == pytest.approx(1.0, abs=1e-12)
    assert law.low <= law.interval(0.999)[0] <= law.interval()[0] < law.mean < law.interval()[1] <= law.high


def test_share_distribution__many_doubts_are_pooled_and_said_so() -> None:
    parents: dict[str, tuple[str | None, str | None]] = {}
    below = [f"Q{number}" for number in range(16)]
    for level in range(4):
        parents |= {f"k{level}{n}": (below[2 * n], below[2 * n + 1]) for n in range(len(below) // 2)}
        below = [f"k{level}{n}" for n in range(len(below) // 2)]
    p = Pedigree.from_parents(parents)
    founders = {p.index[f"Q{number}"]: LineFounder(0.1, 0.5 + number / 40) for number in range(16)}
    law = share_distribution(p, founders, GENOME, p.index["k30"])
    assert law.method.endswith("8 lesser doubts are part of the spread of each.")
    assert str(MOST_SCENARIOS) in law.method
    moments = share_moments(p, founders, GENOME, nodes=[p.index["k30"]])
    assert (law.mean, law.sd) == pytest.approx((moments.mean[0], moments.sd[0]), abs=1e-9)


@pytest.mark.parametrize("morgan, expected", [(0.5, 0.3033), (1.0, 0.1839)])
def test_chance_clear__a_chromosome_after_one_backcross(morgan: float, expected: float) -> None:
    """exp(-L) / 2: no crossover, and the other haplotype; .3033 at 0.5 and .1839 at 1 Morgan."""
    clear = chance_clear(np.array([0.25]), np.array([0.25]), GenomeMap.equal(1, morgan))
    assert chance_clear(np.array([0.5]), np.array([0.5]), GenomeMap.equal(1, morgan))[0] == 0.0
    assert np.exp(-morgan) / 2 == pytest.approx(expected, abs=5e-5)
    assert clear[0] == pytest.approx(0.75 * np.exp(-morgan / 3), rel=1e-9)


def test_chance_clear__after_many_backcrosses_by_simulation() -> None:
    """Six backcrosses of 1 Morgan: 20,000 plain drops with 200 places, within four standard errors."""
    rng = np.random.default_rng(4)
    draws, places, backcrosses = 20_000, 200, 6
    share = np.ones((draws, places), dtype=np.bool_)
    for _ in range(backcrosses):
        changes = rng.random((draws, places)) < -np.expm1(-2 / places) / 2
        changes[:, 0] = rng.random(draws) < 0.5
        share &= np.cumsum(changes, axis=1) % 2 == 1
    clear = chance_clear(np.array([2.0**-6]), np.array([6 * 2.0**-6]), GenomeMap.equal(1, 1.0))[0]
    assert float((~share.any(axis=1)).mean()) == pytest.approx(
        clear, abs=4 * (clear * (1 - clear) / draws) ** 0.5 + 1e-3
    )
