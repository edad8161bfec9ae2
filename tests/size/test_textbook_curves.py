"""Textbook curves: values at known points, derivatives, and a first guess that finds them again."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.size.curve_fits import first_guess
from holdback.size.textbook_curves import ASYMPTOTIC, BERTALANFFY, CURVES, GOMPERTZ, LOGISTIC, RICHARDS, Curve

PARAMETERS = {
    "Gompertz": (1700.0, 3.2, 0.6),
    "logistic": (1700.0, 4.0, 1.5),
    "von Bertalanffy": (1700.0, 0.65, 0.4),
    "Richards": (1700.0, 1.6, 0.5, 3.0),
    "asymptotic": (1700.0, 60.0, -1.0),
}
AGES = np.linspace(0.0, 12.0, 25)


def test_gompertz__by_hand() -> None:
    """2000 exp(-3 e^{-t/10}) on a pocket calculator; the bend is at ln 3 / 0.1, where it is 2000 / e."""
    found = GOMPERTZ.value(np.array([0.0, 10.0, 20.0, 40.0, np.log(3) / 0.1]), np.array([2000.0, 3.0, 0.1]))
    np.testing.assert_allclose(found, [99.5741, 663.3244, 1332.6125, 1893.0708, 2000 / np.e], rtol=0, atol=5e-5)


def test_richards__is_logistic_at_two() -> None:
    """2000 / (1 + e^{-(t - 15) / 10}) on a pocket calculator."""
    t = np.array([0.0, 10.0, 20.0, 40.0])
    found = RICHARDS.value(t, np.array([2000.0, 2.0, 0.1, 15.0]))
    np.testing.assert_allclose(found, [364.8510, 755.0813, 1244.9187, 1848.2836], rtol=0, atol=6e-5)
    np.testing.assert_allclose(found, LOGISTIC.value(t, np.array([2000.0, 15.0, 10.0])), rtol=1e-14)


def test_richards__is_bertalanffy_at_two_thirds() -> None:
    midpoint = np.log(3 * 0.65) / 0.4
    found = RICHARDS.value(AGES, np.array([1700.0, 2 / 3, 0.4, midpoint]))
    np.testing.assert_allclose(found, BERTALANFFY.value(AGES, np.array([1700.0, 0.65, 0.4])), rtol=1e-13)


def test_richards__is_gompertz_at_one_and_smooth_there() -> None:
    gompertz = GOMPERTZ.value(AGES, np.array([1700.0, np.exp(1.5), 0.5]))
    np.testing.assert_allclose(RICHARDS.value(AGES, np.array([1700.0, 1.0, 0.5, 3.0])), gompertz, rtol=1e-14)
    for near in (-1e-6, 1e-6):
        np.testing.assert_allclose(RICHARDS.value(AGES, np.array([1700.0, 1 + near, 0.5, 3.0])), gompertz, rtol=2e-5)


def test_richards__no_mass_before_it_begins() -> None:
    found = RICHARDS.value(np.array([0.0, 1.0, 5.0]), np.array([1700.0, 0.2, 0.9, 3.0]))
    assert found[0] == found[1] == 0.0
    assert found[2] > 0.0


@pytest.mark.parametrize("curve", CURVES, ids=lambda one: one.name)
def test_gradient__is_the_slope(curve: Curve) -> None:
    at = np.array(PARAMETERS[curve.name])
    found = curve.gradient(AGES, at)
    for place in range(len(at)):
        step = 1e-6 * abs(at[place])
        up, down = at.copy(), at.copy()
        up[place] += step
        down[place] -= step
        slope = (curve.value(AGES, up) - curve.value(AGES, down)) / (2 * step)
        np.testing.assert_allclose(found[:, place], slope, rtol=1e-6, atol=1e-6 * np.abs(slope).max())


@pytest.mark.parametrize("n", [0.999999, 1.0, 1.000001, 1.0002])
def test_gradient__richards_near_gompertz(n: float) -> None:
    at = np.array([1700.0, n, 0.5, 3.0])
    step = np.array([0.0, 1e-5, 0.0, 0.0])
    slope = (RICHARDS.value(AGES, at + step) - RICHARDS.value(AGES, at - step)) / 2e-5
    np.testing.assert_allclose(RICHARDS.gradient(AGES, at)[:, 1], slope, rtol=1e-5, atol=1e-4)


@pytest.mark.parametrize("curve", [GOMPERTZ, LOGISTIC, BERTALANFFY, ASYMPTOTIC], ids=lambda one: one.name)
def test_first_guess__is_near_where_growth_is_done(curve: Curve) -> None:
    at = np.array(PARAMETERS[curve.name])
    guess = first_guess(curve, AGES, curve.value(AGES, at))
    np.testing.assert_allclose(curve.value(AGES, guess), curve.value(AGES, at), atol=0.12 * at[0])
