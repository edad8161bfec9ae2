"""Laws of lengths against scipy's Student law, brute-force integration and published days in the egg."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from scipy import integrate, stats  # type: ignore[import-untyped]

from holdback.collection.collection import Collection
from holdback.collection.model import Records
from holdback.season.dam_regression import SHARES, Fit, Mixture, Prior, Sample, beta_of, student_95
from holdback.season.intervals import Intervals, Span
from holdback.season.laying_past import RATES, WORTH, Rate
from holdback.species.catalogue import load
from holdback.species.model import Mark, Value

pytestmark = pytest.mark.outside


def _prior(weights: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Prior:
    return Prior(np.array([3.5]), np.array([[4.0]]), 10.0, 0.02, weights)


def _one_share(index: int) -> Prior:
    weights = np.full(len(SHARES), 1e-300)
    weights[index] = 1.0
    return _prior(weights)


@pytest.mark.parametrize("nu", [3.0, 10.0, 17.5, 60.0])
def test_student_95__scipy(nu: float) -> None:
    assert student_95(nu) == pytest.approx(stats.t.ppf(0.95, nu), abs=1e-3)


def test_density__scipy() -> None:
    y = np.linspace(2, 5, 31)
    mixture = Mixture(np.array([0.3, 0.7]), np.array([3.0, 3.6]), np.array([0.2, 0.1]), 7.0)
    expected = 0.3 * stats.t.pdf(y, 7, 3.0, 0.2) + 0.7 * stats.t.pdf(y, 7, 3.6, 0.1)
    assert mixture.density(y) == pytest.approx(expected, rel=1e-12)


def test_foretold__one_record_a_dam_is_the_textbook_case() -> None:
    """Normal-inverse-gamma update in closed form (Gelman and others, chapter 3, from memory)."""
    y = np.array([3.2, 3.4, 3.3, 3.7, 3.55])
    fit = Fit.of(Sample(y, np.ones((5, 1)), list("abcde")), _one_share(3))
    n, mean = len(y), y.mean()
    kappa, nu = 4.0 + n, 10.0 + n
    centre = (4.0 * 3.5 + n * mean) / kappa
    scale2 = (10.0 * 0.02 + ((y - mean) ** 2).sum() + 4.0 * n / kappa * (mean - 3.5) ** 2) / nu
    found = fit.foretold(np.ones(1))
    assert found.nu == nu
    assert found.weight[3] == pytest.approx(1.0)
    assert found.location[3] == pytest.approx(centre, rel=1e-12)
    assert found.scale[3] == pytest.approx(np.sqrt(scale2 * (1 + 1 / kappa)), rel=1e-12)


def test_foretold__dams_by_brute_force() -> None:
    """The next record of a dam, by integrating the joint normal law over s2, with a full covariance matrix."""
    y, dams, index = np.array([3.2, 3.25, 3.9, 3.85, 3.95, 3.5]), list("aabbbc"), 7
    share = SHARES[index]
    fit = Fit.of(Sample(y, np.ones((6, 1)), dams), _one_share(index))
    everyone = np.array([*dams, "b"])
    relative = 1 / 4 + share * (everyone[:, None] == everyone[None, :]) + (1 - share) * np.eye(7)

    def joint(s2: float, ahead: float) -> float:
        s2_law = stats.invgamma.pdf(s2, 5.0, scale=10.0 * 0.02 / 2)
        return float(s2_law * stats.multivariate_normal.pdf(np.append(y, ahead), np.full(7, 3.5), s2 * relative))

    def alone(s2: float) -> float:
        s2_law = stats.invgamma.pdf(s2, 5.0, scale=10.0 * 0.02 / 2)
        return float(s2_law * stats.multivariate_normal.pdf(y, np.full(6, 3.5), s2 * relative[:6, :6]))

    below = integrate.quad(alone, 1e-4, 2.0, epsabs=0, epsrel=1e-9, points=[0.02, 0.1])[0]
    for ahead in (3.4, 3.7, 3.9, 4.2):
        above = integrate.quad(joint, 1e-4, 2.0, args=(ahead,), epsabs=0, epsrel=1e-9, points=[0.02, 0.1])[0]
        found = float(fit.foretold(np.ones(1), "b").density(np.array([ahead]))[0])
        assert found == pytest.approx(above / below, rel=1e-6)


def test_weight__shares_by_their_marginal_likelihood() -> None:
    """Chance of each share of the dams, against the density of all records as a multivariate Student law."""
    rng = np.random.default_rng(1)
    dams = [f"d{number // 3}" for number in range(18)]
    y = 3.5 + np.repeat(rng.normal(0, 0.15, 6), 3) + rng.normal(0, 0.05, 18)
    fit = Fit.of(Sample(y, np.ones((18, 1)), dams), _prior(np.full(16, 1 / 16)))
    same = np.array(dams)[:, None] == np.array(dams)[None, :]
    log_density = np.array([
        stats.multivariate_t.logpdf(y, np.full(18, 3.5), 0.02 * (1 / 4 + r * same + (1 - r) * np.eye(18)), df=10)
        for r in SHARES
    ])  # fmt: skip
    expected = np.exp(log_density - log_density.max())
    assert fit.weight == pytest.approx(expected / expected.sum(), abs=1e-9)
    assert float(fit.weight @ SHARES) > 0.5


def test_foretold__line_by_weighted_least_squares() -> None:
    """Coefficients of a line with a prior, against the same as extra observations in scipy's least squares."""
    rng = np.random.default_rng(2)
    x = np.stack([np.ones(9), rng.normal(0, 1, 9)], axis=1)
    y = 4.0 - 0.05 * x[:, 1] + rng.normal(0, 0.03, 9)
    prior = Prior(np.array([4.05, -0.049]), np.diag([4.0, 9.0]), 10.0, 0.003, np.full(16, 1 / 16))
    fit = Fit.of(Sample(y, x, [str(number) for number in range(9)]), prior)
    stacked = np.vstack([x, np.diag([2.0, 3.0])])
    expected = np.linalg.lstsq(stacked, np.append(y, [2.0 * 4.05, 3.0 * -0.049]))[0]
    assert fit.mean == pytest.approx(np.tile(expected, (16, 1)), rel=1e-9)


def test_length__published_days_in_the_egg() -> None:
    """58 to 70 days at 29.2 degrees (Ellis and Chappell 1987, abstract); 53 to 62 at 31.5 is common practice."""
    usual = Intervals.learned(Collection.from_records(Records()), load(), before=dt.date(2030, 1, 1))
    for celsius, expected in ((29.2, (58, 70)), (31.5, (53, 62))):
        length = usual.length(Span.LAYING_TO_HATCHING, celsius=celsius)
        assert length is not None
        assert [day.toordinal() for day in length.law.window(0.9)] == pytest.approx(expected, abs=1)


@pytest.mark.parametrize("value, low, high", [(0.7, 0.6, 0.8), (0.5, 0.4, 0.6)])
def test_beta_of__range_holds_nine_of_ten(value: float, low: float, high: float) -> None:
    law = stats.beta(*beta_of(value, low, high))
    assert law.mean() == pytest.approx(value)
    assert law.cdf(high) - law.cdf(low) == pytest.approx(0.9, abs=0.005)


def test_rate__scipy_beta_binomial() -> None:
    value = Value(0.7, 0.6, 0.8, "", Mark.COMMON)
    seasons = [("a", True), ("a", True), ("a", False), ("b", True), ("c", False), ("c", False)]
    rate = Rate.learned(value, seasons)
    prior = stats.beta.pdf(RATES, *beta_of(0.7, 0.6, 0.8))[:, None] * np.ones(len(WORTH))
    up, down = RATES[:, None] * WORTH, (1 - RATES[:, None]) * WORTH
    for laid, n in ((2, 3), (1, 1), (0, 2)):
        prior = prior * stats.betabinom.pmf(laid, n, up, down)
    assert rate.weight == pytest.approx(prior / prior.sum(), rel=1e-9)
    weight, a, b = rate.of("a")
    expected = float((prior / prior.sum() * (up + 2) / (up + down + 3)).sum())
    assert float(weight @ (a / (a + b))) == pytest.approx(expected, rel=1e-9)
