"""Odds of membership and accuracy against closed forms of the normal law, SciPy's laws, and integrals by quadrature."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats  # type: ignore[import-untyped]

from holdback.size.membership import Head, could_be_of_the_line, laws_of_shares
from holdback.size.of_line import of_the_line, share_of_the_line
from holdback.size.predictive import Predictive, precisions, predictives_alike
from holdback.size.telling_apart import best_accuracy

pytestmark = pytest.mark.outside

OTHER = Predictive.of(0.0, 1.0)

TABLE = {
    0.5: (0.6382, 0.5987, 0.1261),
    1.0: (0.7602, 0.6915, 0.2595),
    1.5: (0.8556, 0.7734, 0.4424),
    2.0: (0.9214, 0.8413, 0.6388),
    2.5: (0.9615, 0.8944, 0.8038),
    3.0: (0.9831, 0.9332, 0.9123),
}
"""Standard deviations apart: area, correct, found; closed forms of the normal law, worked out by hand."""


@pytest.mark.parametrize("apart, expected", TABLE.items())
def test_best_accuracy__normal_table(apart: float, expected: tuple[float, float, float]) -> None:
    found = best_accuracy(Predictive.of(apart, 1.0), OTHER)
    exact = (
        stats.norm.cdf(apart / math.sqrt(2)),
        stats.norm.cdf(apart / 2),
        stats.norm.sf(stats.norm.isf(0.05) - apart),
    )
    assert (found.ranked, found.correct, found.found) == pytest.approx(exact, abs=1e-12)
    assert exact == pytest.approx(expected, abs=5e-5)


@pytest.mark.parametrize(
    "x, ratio, at_20, at_50",
    [
        (0.0, 0.3247, 0.0751, 0.2451),
        (0.75, 1.0, 0.2, 0.5),
        (1.5, 3.0802, 0.4350, 0.7549),
        (2.25, 9.4877, 0.7034, 0.9047),
        (3.0, 29.2243, 0.8796, 0.9669),
    ],
)
def test_of_the_line__one_and_a_half_deviations_apart(x: float, ratio: float, at_20: float, at_50: float) -> None:
    """ln LR = d (x - d / 2), closed form."""
    found = of_the_line([x], Predictive.of(1.5, 1.0), OTHER, 0.2)
    assert found.log_likelihood_ratio == pytest.approx(1.5 * (x - 0.75), abs=1e-12)
    assert found.likelihood_ratio == pytest.approx(ratio, abs=5e-5)
    assert (found.posterior, found.posterior_at(0.5)) == pytest.approx((at_20, at_50), abs=5e-5)


def test_share_of_the_line__two_priors() -> None:
    """Posterior by Bayes' theorem with SciPy's normal densities."""
    shares = np.array([0, 0.25, 0.5, 0.75, 1])
    laws = [Predictive.of(1.5 * share, 1.0) for share in shares]
    prior = np.array([0.7, 0.1, 0.1, 0.05, 0.05])
    found = share_of_the_line([1.5], laws, prior=prior.tolist())
    weights = prior * stats.norm.pdf(1.5, 1.5 * shares)
    assert found.posterior == pytest.approx((weights / weights.sum()).tolist(), abs=1e-12)
    assert found.posterior == pytest.approx([0.5023, 0.1174, 0.1668, 0.1030, 0.1105], abs=5e-5)
    assert (found.expected, found.sd) == pytest.approx((0.3005, 0.3566), abs=5e-5)
    flat = share_of_the_line([1.5], laws, prior=[0.2] * 5)
    assert (flat.expected, flat.sd) == pytest.approx((0.6236, 0.3225), abs=5e-5)


def test_best_accuracy__a_second_trait_that_adds_nothing() -> None:
    """Mahalanobis (1936): 0.8 apart beside 1.5, correlated 0.6."""
    scale = np.array([[1.0, 0.6], [0.6, 1.0]])
    found = best_accuracy(Predictive(np.array([1.5, 0.8]), scale), Predictive(np.zeros(2), scale))
    assert found.apart == pytest.approx(1.5052, abs=5e-5)
    assert found.ranked == pytest.approx(0.8564, abs=5e-5)


@pytest.mark.parametrize("df, n_traits", [(1.0, 1), (4.0, 2), (17.0, 3), (math.inf, 2)])
def test_predictive__density_and_tail_are_scipys(df: float, n_traits: int) -> None:
    scale = 0.3 * np.eye(n_traits) + 0.2
    law = Predictive(np.linspace(-1, 1, n_traits), scale, df)
    other = (
        stats.multivariate_normal(law.mean, scale) if math.isinf(df) else stats.multivariate_t(law.mean, scale, df=df)
    )
    points = np.random.default_rng(20260).normal(size=(50, n_traits))
    np.testing.assert_allclose(law.log_density(points), other.logpdf(points).reshape(50), atol=1e-10)
    squares = law.distance2(points)
    tails = stats.chi2.sf(squares, n_traits) if math.isinf(df) else stats.f.sf(squares / n_traits, n_traits, df)
    np.testing.assert_allclose([law.beyond(point) for point in points], tails, atol=0.002)


@pytest.mark.parametrize("df", [1.0, 3.0, 12.5, 400.0])
def test_precisions__are_scipys_chi_square(df: float) -> None:
    uniform = np.array([0.001, 0.05, 0.3, 0.5, 0.9, 0.999])
    np.testing.assert_allclose(precisions(df, uniform), stats.chi2.ppf(uniform, df) / df, rtol=2e-3)


def test_predictive__of_animals_integrates_over_mean_and_spread() -> None:
    """One trait: the normal law averaged over mean and sd given five animals, prior 1 / sd, by Simpson's rule."""
    values = np.array([0.12, 0.31, 0.05, 0.22, 0.40])
    mean, log_sd = np.linspace(-6, 6, 6001)[:, None], np.linspace(-4, 3, 401)[None, :]
    sd = np.exp(log_sd)
    joint = np.exp(sum(stats.norm.logpdf(value, mean, sd) for value in values))

    def over(factor: object) -> float:
        return float(integrate.simpson(integrate.simpson(joint * factor, mean[:, 0], axis=0), log_sd[0]))

    law = Predictive.of_animals(values[:, None])
    for x in (-0.2, 0.2, 0.7):
        density = math.exp(float(law.log_density(np.array([x]))))
        assert density == pytest.approx(over(stats.norm.pdf(x, mean, sd)) / over(1.0), rel=1e-4)


def test_predictives_alike__is_the_two_sample_t_law() -> None:
    """Pooled spread: (x - mean) / sqrt(s2 (1 + 1/n)) has SciPy's t density with n1 + n2 - 2 degrees of freedom."""
    line, other = np.array([0.3, 0.5, 0.2, 0.6]), np.array([0.0, 0.1, -0.2, 0.15, -0.1, 0.05])
    pooled = (line.var(ddof=1) * 3 + other.var(ddof=1) * 5) / 8
    law, _ = predictives_alike(line[:, None], other[:, None])
    points = np.linspace(-1, 1.5, 11)
    expected = stats.t.logpdf(points, 8, line.mean(), math.sqrt(pooled * (1 + 1 / 4)))
    np.testing.assert_allclose(law.log_density(points[:, None]), expected, atol=1e-12)


@pytest.mark.parametrize("mean, sd, df", [(1.0, 1.6, math.inf), (1.5, 1.0, 4.0), (0.4, 0.7, 9.0)])
def test_best_accuracy__unequal_laws_by_quadrature(mean: float, sd: float, df: float) -> None:
    """A fine grid of one trait, ranked by SciPy's densities."""
    x = np.linspace(-400, 400, 2_000_001)
    first = (stats.norm if math.isinf(df) else stats.t(df)).pdf((x - mean) / sd) / sd
    second = stats.norm.pdf(x)
    order = np.argsort(-np.log(np.maximum(first, 1e-300)) + np.log(np.maximum(second, 1e-300)), kind="stable")
    hits, alarms = (np.concatenate([[0.0], np.cumsum(one[order])]) / one.sum() for one in (first, second))
    found = best_accuracy(Predictive.of(mean, sd, df), OTHER)
    assert found.ranked == pytest.approx(float(np.trapezoid(hits, alarms)), abs=0.002)
    assert found.correct == pytest.approx(float(np.maximum(first, second).sum() / (first + second).sum()), abs=0.002)
    assert found.found == pytest.approx(float(np.interp(0.05, alarms, hits)), abs=0.004)


def test_could_be_of_the_line__odds_come_true_in_drawn_animals() -> None:
    """200,000 animals, a fifth of the line, effect and readings in error: of those said to be p, p are."""
    random = np.random.default_rng(616)
    n, spread, effect, effect_sd, error = 200_000, 0.15, 0.3, 0.1, 0.08
    head = Head(0.0, 0.03, 0.06, 0.02, 0.05, 0.4)
    is_of_line = random.random(n) < 0.2
    covariance = np.array([[spread**2, 0.4 * spread * 0.05], [0.4 * spread * 0.05, 0.05**2]])
    true = random.multivariate_normal([0.0, 0.0], covariance, n)
    true += is_of_line[:, None] * random.normal([effect, head.effect], [effect_sd, head.effect_sd], (n, 2))
    seen = true + random.normal(0.0, [error, head.deviation_sd], (n, 2))
    line, other = laws_of_shares(
        deviation_sd=error, effect=effect, effect_sd=effect_sd, spread_sd=spread, head=head, shares=(1.0, 0.0)
    )
    ratio = np.exp(line.log_density(seen) - other.log_density(seen)) * 0.25
    posterior = ratio / (1 + ratio)
    one = replace(head, deviation=float(seen[7, 1]))
    found = could_be_of_the_line(
        deviation=float(seen[7, 0]), deviation_sd=error, effect=effect, effect_sd=effect_sd, spread_sd=spread, head=one
    )
    assert found.posterior == pytest.approx(posterior[7], abs=1e-12)
    for low in np.arange(0.0, 1.0, 0.1):
        among = (posterior >= low) & (posterior < low + 0.1)
        tolerance = 4 * math.sqrt(0.25 / among.sum())
        assert is_of_line[among].mean() == pytest.approx(posterior[among].mean(), abs=tolerance)
