"""Statistics beside published numbers and scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from holdback.season.dam_clutches import t_quantile
from holdback.season.rates import Counted, rates
from holdback.species.catalogue import load

pytestmark = pytest.mark.outside

EGGS, CLUTCHES, HATCHED = 5344, 783, 0.81
"""Morrill and others (2011): 5,344 eggs in 783 clutches, of which 81 % hatched."""


def test_published_clutches__mean_number_of_eggs_and_young() -> None:
    usual = load().reproduction
    assert pytest.approx(usual["clutch_size_mean"].value, abs=0.006) == EGGS / CLUTCHES
    assert usual["clutch_size_mean"].value * usual["hatch_rate"].value == pytest.approx(5.53, abs=0.005)


def test_rates__published_clutches_give_the_published_share() -> None:
    """783 clutches of six and seven eggs that sum to 5,344; each egg hatches with 81 %, drawn for 60 dams."""
    rng = np.random.default_rng(2011)
    sizes = np.full(CLUTCHES, EGGS // CLUTCHES)
    sizes[: EGGS - int(sizes.sum())] += 1
    assert int(sizes.sum()) == EGGS
    rows = [
        Counted(str(place % 60), str(place), int(size), int(rng.binomial(size, HATCHED)))
        for place, size in enumerate(sizes)
    ]
    found = rates(rows)
    assert found.whole is not None
    assert found.whole.n == EGGS
    assert found.whole.share.low < 100 * HATCHED < found.whole.share.high
    assert found.whole.share.high - found.whole.share.low < 4
    assert found.clumping is not None
    assert found.clumping.mean < 3


def test_rates__one_group_equals_a_sum_over_scipy_beta_binomials() -> None:
    """One group: scipy.stats.betabinom on a fine grid of m, the same grids of rho and tau, M drawn finely."""
    counts = [(7, 6), (6, 2), (5, 5)]
    grid = (np.arange(400) + 0.5) / 400
    rhos = 1 - (1 - (np.arange(200) + 0.5) / 200) ** 0.25
    law = np.zeros(len(grid))
    for rho in rhos:
        scale = (1 - rho) / rho
        law += np.prod([stats.betabinom.pmf(k, n, grid * scale, (1 - grid) * scale) for n, k in counts], axis=0)
    prior = np.zeros(len(grid))
    for tau in 1 - (1 - (np.arange(50) + 0.5) / 50) ** 0.25:
        scale = (1 - tau) / tau
        for mean in (np.arange(60) + 0.5) / 60:
            prior += np.diff(stats.beta.cdf(np.linspace(0, 1, 401), mean * scale, (1 - mean) * scale))
    posterior = law * prior / (law @ prior)
    share = rates([Counted("A", str(place), n, k) for place, (n, k) in enumerate(counts)]).groups[0].share
    assert share.mean == pytest.approx(100 * float(posterior @ grid), abs=0.7)
    sums = np.cumsum(posterior)
    assert share.low == pytest.approx(100 * float(np.interp(0.05, sums, grid)), abs=1.5)
    assert share.high == pytest.approx(100 * float(np.interp(0.95, sums, grid)), abs=1.5)


@pytest.mark.parametrize("freedom", [1, 2, 5, 30])
def test_t_quantile__equals_scipy(freedom: int) -> None:
    assert t_quantile(0.95, freedom) == pytest.approx(stats.t.ppf(0.95, freedom), rel=1e-8)
