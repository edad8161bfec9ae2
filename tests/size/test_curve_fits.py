"""Least squares of one curve: it finds what was put in, says how well, and refuses what it cannot tell."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.errors import SizeError
from holdback.size.curve_fits import climb, curve_fit, first_guess, least_squares
from holdback.size.textbook_curves import (
    ASYMPTOTIC,
    BERTALANFFY,
    CURVES,
    GOMPERTZ,
    LOGISTIC,
    RICHARDS,
    Curve,
    FloatArray,
)

PARAMETERS = {
    GOMPERTZ.name: (1700.0, 3.2, 0.6),
    LOGISTIC.name: (1700.0, 4.0, 1.5),
    BERTALANFFY.name: (1700.0, 0.65, 0.4),
    RICHARDS.name: (1700.0, 1.6, 0.5, 3.0),
    ASYMPTOTIC.name: (1700.0, 60.0, -1.0),
}
AGES = np.linspace(0.0, 12.0, 25)


@pytest.mark.parametrize("curve", CURVES, ids=lambda one: one.name)
def test_curve_fit__finds_a_curve_without_error(curve: Curve) -> None:
    at = np.array(PARAMETERS[curve.name])
    found = curve_fit(curve, AGES, curve.value(AGES, at))
    np.testing.assert_allclose(found.parameters, at, rtol=1e-9)
    assert found.residual_sd < 1e-9
    assert found.asymptote == found.parameters[0]


@pytest.mark.parametrize("power", [0.0, 1.0])
def test_curve_fit__standard_errors_are_the_spread_of_fits(power: float) -> None:
    """200 drawn data sets: a standard deviation is then good to 5 %, and three times that is allowed."""
    random = np.random.default_rng(20262)
    at = np.array(PARAMETERS[GOMPERTZ.name])
    mean = GOMPERTZ.value(AGES, at)
    sd = 0.03 * mean if power else np.full_like(mean, 25.0)
    fits = [curve_fit(GOMPERTZ, AGES, mean + sd * random.standard_normal(len(AGES)), power=power) for _ in range(200)]
    spread = np.std([one.parameters for one in fits], axis=0)
    said = np.sqrt(np.mean([one.standard_errors**2 for one in fits], axis=0))
    np.testing.assert_allclose(said, spread, rtol=0.15)
    np.testing.assert_allclose(np.mean([one.residual_sd**2 for one in fits]) ** 0.5, 0.03 if power else 25.0, rtol=0.03)


def test_curve_fit__weights_from_the_mean_stay() -> None:
    """At the answer the weighted residuals stand upright on the curve's directions, with weights from the answer."""
    y = GOMPERTZ.value(AGES, np.array(PARAMETERS[GOMPERTZ.name])) * np.exp(0.05 * np.sin(7 * AGES))
    found = curve_fit(GOMPERTZ, AGES, y, power=1.0)
    weight = found.value(AGES) ** -2.0
    slope = GOMPERTZ.gradient(AGES, found.parameters).T @ (weight * (y - found.value(AGES)))
    np.testing.assert_allclose(slope * found.standard_errors / found.residual_sd**2, 0.0, atol=1e-6)
    np.testing.assert_allclose(found.residual_sum_of_squares, weight @ (y - found.value(AGES)) ** 2, rtol=1e-9)


def code(curve: Curve, t: FloatArray, y: FloatArray) -> str:
    with pytest.raises(SizeError) as raised:
        curve_fit(curve, t, y)
    return raised.value.faults[0].code


def test_curve_fit__too_few_weights() -> None:
    assert code(GOMPERTZ, AGES[:3], 60 + AGES[:3]) == "SIZ-301"
    assert code(GOMPERTZ, np.array([0.0, 0.0, 1.0, 1.0, 1.0]), np.arange(60.0, 65.0)) == "SIZ-301"


@pytest.mark.parametrize("curve", [GOMPERTZ, LOGISTIC], ids=lambda one: one.name)
def test_curve_fit__growth_without_an_end(curve: Curve) -> None:
    assert code(curve, AGES, 60 * np.exp(0.3 * AGES)) == "SIZ-302"


def test_curve_fit__an_end_that_may_be_twice_as_far_is_no_end() -> None:
    """The top of the likelihood is there, at 1,405 g, but the standard error is more than that."""
    t = np.linspace(0.0, 1.0, 8)
    y = GOMPERTZ.value(t, np.array(PARAMETERS[GOMPERTZ.name])) + 12 * (-1.0) ** np.arange(8)
    top = least_squares(GOMPERTZ, t, y, np.ones(8), first_guess(GOMPERTZ, t, y))
    np.testing.assert_allclose(top[0], 1405, atol=1)
    assert code(GOMPERTZ, t, y) == "SIZ-302"


def test_curve_fit__losing_weight() -> None:
    assert code(LOGISTIC, AGES, 90 - AGES) == "SIZ-303"


def test_curve_fit__full_grown_at_the_second_weight() -> None:
    """How fast it grew in between cannot be told."""
    assert code(GOMPERTZ, np.arange(6.0), np.array([60.0, 1730.0, 1690.0, 1690.0, 1690.0, 1690.0])) == "SIZ-302"


def test_curve_fit__weights_that_never_settle() -> None:
    y = GOMPERTZ.value(AGES, np.array(PARAMETERS[GOMPERTZ.name])) * np.exp(0.3 * np.sin(5 * AGES))
    with pytest.raises(SizeError, match="SIZ-302"):
        curve_fit(GOMPERTZ, AGES, y, power=4.0)


def test_climb__a_slope_without_a_top() -> None:
    with pytest.raises(SizeError, match="SIZ-302"):
        climb(GOMPERTZ, lambda at: (float(at[0]), np.ones(1), np.full((1, 1), 1e-3)), np.zeros(1))


def test_climb__no_step_leads_on() -> None:
    """The slope is said to lead up, and does not."""
    with pytest.raises(SizeError, match="SIZ-302"):
        climb(GOMPERTZ, lambda at: (1.0 - abs(float(at[0])), np.ones(1), np.ones((1, 1))), np.zeros(1))


def test_climb__a_gain_lost_in_the_last_digits_is_a_top() -> None:
    found = climb(GOMPERTZ, lambda at: (1.0 - 1e-12 * (at[0] != 0), np.full(1, 1e-6), np.ones((1, 1))), np.zeros(1))
    assert found.tolist() == [0.0]
