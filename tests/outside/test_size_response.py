"""Selection intensities, responses and numbers needed against handbook tables, SciPy and drawn populations."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate, special, stats  # type: ignore[import-untyped]

from holdback.size.intensity import intensity, intensity_variance, truncation_intensity, variance_kept
from holdback.size.response import Chosen, expected_change, realised_change
from holdback.size.seeing import animals_needed, power_to_see

pytestmark = pytest.mark.outside

TRUNCATED = {
    0.01: 2.6652,
    0.02: 2.4209,
    0.05: 2.0627,
    0.10: 1.7550,
    0.20: 1.3998,
    0.25: 1.2711,
    0.30: 1.1590,
    0.40: 0.9659,
    0.50: 0.7979,
    0.60: 0.6439,
    0.80: 0.3500,
}
"""Falconer & Mackay (1996), Introduction to Quantitative Genetics, appendix A, of very many (values from memory, worked
out again)."""

BEST = {
    5: (1.1630, 0.8290, 0.5527),
    6: (1.2672, 0.9545, 0.7035),
    8: (1.4236, 1.1379, 0.9162),
    10: (1.5388, 1.2701, 1.0654, 0.8930),
    20: (1.8675, 1.6375, 1.4687, 1.3318, 1.2145),
    50: (2.2491, 2.0520, 1.9109, 1.7991, 1.7055),
}
"""Falconer & Mackay, appendix B: mean of the best 1, 2, ... of n (values from memory, worked out again)."""


@pytest.mark.parametrize("kept, expected", TRUNCATED.items())
def test_truncation_intensity__table(kept: float, expected: float) -> None:
    assert truncation_intensity(kept) == pytest.approx(expected, abs=5e-5)
    assert truncation_intensity(kept) == pytest.approx(stats.truncnorm.mean(stats.norm.isf(kept), np.inf), abs=1e-9)


@pytest.mark.parametrize("n, expected", BEST.items())
def test_intensity__table(n: int, expected: tuple[float, ...]) -> None:
    assert [intensity(n, kept + 1) for kept in range(len(expected))] == pytest.approx(expected, abs=5.1e-5)


@pytest.mark.parametrize("n, kept", [(4, 1), (7, 3), (25, 20), (60, 7)])
def test_intensity__sum_of_order_statistics_by_quadrature(n: int, kept: int) -> None:
    """Each order statistic by its own integral, SciPy's adaptive quadrature of x over the Beta law of its rank."""

    def expected(rank: int) -> float:
        law = stats.beta(n + 1 - rank, rank)
        return float(integrate.quad(lambda x: x * law.pdf(special.ndtr(x)) * stats.norm.pdf(x), -9, 9)[0])

    assert intensity(n, kept) == pytest.approx(np.mean([expected(rank) for rank in range(1, kept + 1)]), abs=1e-7)


@pytest.mark.parametrize("n, kept, tolerance", [(5, 1, 0.07), (10, 2, 0.05), (20, 5, 0.04), (50, 20, 0.03)])
def test_intensity_variance__drawn(n: int, kept: int, tolerance: float) -> None:
    """100,000 drawn samples; the formula is one for many candidates."""
    drawn = np.sort(np.random.default_rng(8123).normal(size=(100_000, n)), axis=1)[:, -kept:].mean(axis=1)
    assert intensity_variance(n, kept) == pytest.approx(drawn.var(), rel=tolerance)


def test_variance_kept__truncated_normal() -> None:
    """A fifth kept, heritability 0.4: 1 - r^2 (1 - variance of SciPy's truncated normal); 0.68746."""
    cut = float(stats.norm.isf(0.2))
    left = 1 - 0.4 * (1 - stats.truncnorm.var(cut, np.inf))
    assert variance_kept(0.2, math.sqrt(0.4)) == pytest.approx(left, abs=1e-9)
    assert left == pytest.approx(0.68746, abs=5e-6)


def test_breeders_equation__worked_numbers() -> None:
    """Spread 10, heritability 0.4: a fifth of both sexes kept gives 5.5992; 5 % of males, 40 % of females 6.0571."""
    assert 0.4 * 10 * truncation_intensity(0.2) == pytest.approx(5.5992, abs=5e-5)
    both = (truncation_intensity(0.05) + truncation_intensity(0.4)) / 2
    assert 0.4 * 10 * both == pytest.approx(6.0571, abs=6e-5)


def test_expected_change__drawn_populations() -> None:
    """20,000 populations: breeding values, estimates of the right reliability, parents chosen, young drawn."""
    random = np.random.default_rng(41)
    males, females, n_young, sd, n = Chosen(6, 1, 0.36, 2.0), Chosen(12, 4, 0.5, 4.0), 8, 0.12, 20_000
    parents = []
    for sex in (males, females):
        estimate = random.normal(0, math.sqrt(sex.reliability) * sd, (n, sex.n_candidates))
        true = estimate + random.normal(0, math.sqrt(1 - sex.reliability) * sd, estimate.shape)
        best = np.argsort(-estimate, axis=1)[:, : sex.n_kept]
        parents.append(np.take_along_axis(true, best, axis=1).mean(axis=1))
    young = sum(parents) / 2 + random.normal(0, sd * math.sqrt(0.5 / n_young), n)
    found = expected_change(males, females, genetic_sd=[sd], n_young=n_young)
    assert math.log1p(found.per_generation.mean / 100) == pytest.approx(
        young.mean(), abs=4 * young.std() / math.sqrt(n)
    )
    assert found.by_chance == pytest.approx(young.std(), rel=0.03)
    low, high = (math.log1p(one / 100) for one in (found.per_generation.low, found.per_generation.high))
    assert ((young > low) & (young < high)).mean() == pytest.approx(0.9, abs=0.012)
    assert found.chance_larger == pytest.approx((young > 0).mean(), abs=0.012)


def test_realised_change__slope_is_scipys_and_its_error_holds() -> None:
    """Slope of scipy.stats.linregress; error against 20,000 draws of means that err together."""
    years, covariance = np.array([2018.0, 2019, 2020, 2022]), np.diag([0.01, 0.02, 0.01, 0.03]) + 0.005
    means = np.array([0.0, 0.05, 0.02, 0.11])
    found = realised_change(years, means, covariance)
    assert found.slope == pytest.approx(stats.linregress(years, means).slope, abs=1e-12)
    drawn = np.random.default_rng(5).multivariate_normal(means, covariance, 20_000)
    slopes = np.polyfit(years - years.mean(), drawn.T, 1)[0]
    assert found.slope_sd == pytest.approx(slopes.std(), rel=0.02)


def test_animals_needed__two_sample_plan() -> None:
    """Half a standard deviation, two-sided 5 %, power 0.8: 63 in each group (Cohen 1988 has 64 by the t law)."""
    assert animals_needed(0.5, sd=1.0).n_animals == 63


def test_power_to_see__drawn_trends() -> None:
    """50,000 trends of five years with clumped years, tested against the known error."""
    random = np.random.default_rng(99)
    years, n, sd, year_sd, change = np.arange(5.0), 12, 0.16, 0.03, 0.04
    means = change * years + random.normal(0, math.hypot(sd / math.sqrt(n), year_sd), (50_000, 5))
    slopes = np.polyfit(years, means.T, 1)[0]
    error = math.sqrt((sd**2 / n + year_sd**2) / 10)
    seen = (slopes / error > 1.959964).mean()
    found = power_to_see(change, n, years=years.tolist(), sd=sd, year_sd=year_sd)
    assert found == pytest.approx(seen, abs=4 * math.sqrt(0.25 / 50_000))


def test_intensity__more_candidates_always_help() -> None:
    rising = [intensity(n, 3) for n in (3, 4, 10, 100, 1000)]
    assert all(first < second for first, second in pairwise(rising))
    assert rising[-1] == pytest.approx(truncation_intensity(0.003), abs=0.06)
