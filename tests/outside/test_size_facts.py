"""Usual masses of the species file and the growth curve, against what is published of the species.

Gorzula, Nsiah & Oduro (1997), wild hatchlings of 25 to 90 g; Ellis & Chappell (1987), four times the hatchling in the
first year; Aubret and others (2005), females larger than males, and a heaviest wild
female of 1,635 g (second-hand). The captive bands themselves are common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from holdback.size.curves import FloatArray, free_shape
from holdback.species import load
from holdback.species.model import GrowthRow

pytestmark = pytest.mark.outside

BERTALANFFY, GOMPERTZ, ASYMPTOTIC = 1 / 3, 0.0, 1.0
FIRST_YEAR = 4.0
HEAVIEST_WILD_G = 1635.0


def rows(sex: str) -> list[GrowthRow]:
    return sorted((one for one in load().growth if one.sex == sex), key=lambda one: one.age_months)


def through_the_middles(sex: str, shape: float) -> tuple[FloatArray, FloatArray, float]:
    """Least squares of one shape through the middles of the bands: parameters, masses, residual sd on the log scale."""
    years = np.array([one.age_months for one in rows(sex)]) / 12
    middles = np.array([np.log(one.low_g * one.high_g) / 2 for one in rows(sex)])
    at = np.array([7.4, 4.1, 0.0])
    for _ in range(200):
        curve = free_shape(years, at[0], at[1], at[2], shape)
        slopes = np.column_stack([curve.alpha, curve.eta, curve.log_rate])
        at = at + np.clip(np.linalg.lstsq(slopes, middles - curve.value, rcond=None)[0], -0.3, 0.3)
    left = middles - free_shape(years, at[0], at[1], at[2], shape).value
    return at, np.exp(middles - left), float(np.sqrt(left @ left / (len(years) - 3)))


@pytest.mark.parametrize("sex", ["female", "male"])
def test_usual_masses__hatchlings_are_within_the_wild_range(sex: str) -> None:
    first = rows(sex)[0]
    assert first.age_months == 0
    assert 25 <= first.low_g < first.high_g <= 90


def test_usual_masses__females_are_no_lighter_and_grow_faster() -> None:
    for female, male in zip(rows("female"), rows("male"), strict=True):
        assert female.low_g >= male.low_g
        assert female.high_g >= male.high_g


@pytest.mark.parametrize("sex", ["female", "male"])
def test_usual_masses__four_times_a_hatchling_is_below_the_captive_band_at_a_year(sex: str) -> None:
    """Feeding makes the difference: the published animals grew at half the pace of the trade's."""
    year = next(one for one in rows(sex) if one.age_months == 12)
    assert FIRST_YEAR * 62.0 == 248.0 < year.low_g


def test_usual_masses__the_heaviest_wild_female_is_an_ordinary_captive_one() -> None:
    assert rows("female")[-1].low_g < HEAVIEST_WILD_G < rows("female")[-1].high_g


@pytest.mark.parametrize("sex", ["female", "male"])
def test_free_shape__one_curve_runs_through_all_bands(sex: str) -> None:
    """Von Bertalanffy's shape stays within the bands of all ages, and fits better than Gompertz's or the asymptotic."""
    _, masses, sd = through_the_middles(sex, BERTALANFFY)
    assert all(one.low_g < mass < one.high_g for one, mass in zip(rows(sex), masses, strict=True))
    assert sd < 0.09
    assert sd < min(through_the_middles(sex, other)[2] for other in (GOMPERTZ, ASYMPTOTIC))


def test_free_shape__slow_growth_as_published_is_on_it() -> None:
    """The same adult, reached more slowly: a rate exists that makes four times the hatchling in a year."""
    (alpha, _, log_rate), _, _ = through_the_middles("female", BERTALANFFY)
    rates = log_rate + np.linspace(-3.0, 0.0, 301)
    at_a_year = free_shape(1.0, alpha, np.log(62.0), rates, BERTALANFFY).value
    assert at_a_year[0] < np.log(248.0) < at_a_year[-1]


def test_free_shape__a_large_line_is_on_it() -> None:
    """Reported, no source: hatchlings of 120 g and adults of 7,000 g. The form is no evidence for them."""
    curve = free_shape(np.linspace(0.0, 60.0, 601), np.log(7000.0), np.log(120.0), np.log(0.5), BERTALANFFY)
    np.testing.assert_allclose(np.exp(curve.value[[0, -1]]), [120.0, 7000.0], rtol=1e-9)
    assert np.all(np.diff(curve.value) >= 0)
    assert np.all(np.isfinite(np.stack(curve)))
