"""Growth fits as R prints them, and against scipy; data sets and sources are in ``size_growth.json``."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats  # type: ignore[import-untyped]

from holdback.errors import SizeError
from holdback.size.curve_fits import CurveFit, curve_fit
from holdback.size.random_asymptote import log_likelihood, random_asymptote
from holdback.size.textbook_curves import ASYMPTOTIC, GOMPERTZ, LOGISTIC, Curve, FloatArray

pytestmark = pytest.mark.outside

DATA: dict[str, Any] = json.loads(Path(__file__).with_name("size_growth.json").read_text("utf-8"))
FITS, RANDOM = DATA["fits"], DATA["random_asymptote"]

PRINTED = 5e-6
"""Part of a value that its seven printed digits, and R's rule of when to stop, leave open."""
SHORT = 6e-5
"""The same where only four digits are printed."""


def chick(number: str) -> tuple[FloatArray, FloatArray]:
    one = DATA["chicks"][number]
    return np.array(one["t"], dtype=float), np.array(one["y"], dtype=float)


def dnase() -> tuple[FloatArray, FloatArray]:
    """Density against the logarithm of concentration."""
    one = DATA["dnase"]
    return np.repeat(np.log(one["conc"]), 2), np.array(one["density"]).ravel()


def together(name: str) -> tuple[FloatArray, FloatArray]:
    one = DATA[name]
    return np.tile(np.array(one["t"], dtype=float), len(one["y"])), np.array(one["y"], dtype=float).ravel()


def as_r_has_it(fit: CurveFit) -> FloatArray:
    """R's Gompertz curve has e^-rate for the rate."""
    if fit.curve is not GOMPERTZ:
        return fit.parameters
    return np.array([*fit.parameters[:2], np.exp(-fit.parameters[2])])


def check(fit: CurveFit, printed: dict[str, Any], *, rtol: float = PRINTED) -> None:
    np.testing.assert_allclose(as_r_has_it(fit), printed["parameters"], rtol=rtol)
    for key, value in printed.items():
        if key != "parameters":
            np.testing.assert_allclose(getattr(fit, key), value, rtol=SHORT)


def check_with_scipy(fit: CurveFit, t: FloatArray, y: FloatArray, start: Sequence[float]) -> None:
    """The curve written out anew, by scipy's least squares."""
    written = {
        "Gompertz": lambda t, a, b, k: a * np.exp(-b * np.exp(-k * t)),
        "logistic": lambda t, a, m, s: a / (1 + np.exp((m - t) / s)),
    }[fit.curve.name]
    parameters, covariance = optimize.curve_fit(written, t, y, p0=start, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    np.testing.assert_allclose(fit.parameters, parameters, rtol=2e-6)
    np.testing.assert_allclose(fit.standard_errors, np.sqrt(np.diag(covariance)), rtol=2e-4)


def test_chick_1__logistic() -> None:
    """R stopped a little short of the top, which is 937.021: growth is unfinished and the end hardly known."""
    fit = curve_fit(LOGISTIC, *chick("1"))
    check(fit, FITS["chick_1_logistic"], rtol=2e-5)
    assert fit.standard_errors[0] > 0.4 * fit.asymptote
    check_with_scipy(fit, *chick("1"), (900.0, 35.0, 11.0))


def test_chick_1__the_end_is_not_told_on_a_gompertz_curve() -> None:
    with pytest.raises(SizeError, match="SIZ-302"):
        curve_fit(GOMPERTZ, *chick("1"))


def test_chick_8__gompertz() -> None:
    fit = curve_fit(GOMPERTZ, *chick("8"))
    check(fit, FITS["chick_8_gompertz"])
    check_with_scipy(fit, *chick("8"), (160.0, 1.4, 0.1))


def test_dnase__gompertz_and_logistic() -> None:
    gompertz, logistic = (curve_fit(one, *dnase()) for one in (GOMPERTZ, LOGISTIC))
    check(gompertz, FITS["dnase_gompertz"])
    check(logistic, FITS["dnase_logistic"])
    check_with_scipy(gompertz, *dnase(), (4.6, 2.3, 0.33))
    check_with_scipy(logistic, *dnase(), (2.3, 1.5, 1.0))


def test_orange__all_trees_as_one() -> None:
    fit = curve_fit(LOGISTIC, *together("orange"))
    check(fit, FITS["orange_logistic"])
    check_with_scipy(fit, *together("orange"), (190.0, 700.0, 350.0))


@pytest.mark.parametrize("name,curve", [("orange", LOGISTIC), ("loblolly", ASYMPTOTIC)])
def test_random_asymptote__as_printed(name: str, curve: Curve) -> None:
    t, y = together(name)
    group = np.repeat(np.arange(len(DATA[name]["y"])), len(DATA[name]["t"]))
    exact, alternating = RANDOM[name]["exact"], RANDOM[name]["alternating"]
    fit = random_asymptote(curve, t, y, group)
    np.testing.assert_allclose(fit.parameters, exact["parameters"], rtol=PRINTED)
    np.testing.assert_allclose(fit.sd_asymptote, exact["sd"], rtol=PRINTED)
    np.testing.assert_allclose(fit.residual_sd, exact["residual_sd"], rtol=PRINTED)
    np.testing.assert_allclose(fit.log_likelihood, exact["log_likelihood"], rtol=0, atol=6e-6)
    short = log_likelihood(
        curve, t, y, group, parameters=alternating["parameters"], sd=(alternating["sd"], alternating["residual_sd"])
    )
    np.testing.assert_allclose(short, alternating["log_likelihood"], rtol=0, atol=6e-5)
    assert short < fit.log_likelihood - 0.01


def test_random_asymptote__scipy_climbs_to_the_same_top() -> None:
    """Orange trees: the joint normal density written out anew, and a climb that needs no slope."""
    ages = np.array(DATA["orange"]["t"], dtype=float)
    trees = np.array(DATA["orange"]["y"], dtype=float)

    def surprise(at: FloatArray) -> float:
        asymptote, midpoint, scale, log_sd, log_error = at
        unit = 1 / (1 + np.exp((midpoint - ages) / scale))
        covariance = np.exp(2 * log_sd) * np.outer(unit, unit) + np.exp(2 * log_error) * np.eye(len(ages))
        return -float(np.sum(stats.multivariate_normal(asymptote * unit, covariance).logpdf(trees)))

    start = np.array([190.0, 720.0, 340.0, np.log(30.0), np.log(8.0)])
    rule = {"xatol": 1e-7, "fatol": 1e-10, "maxiter": 20000, "maxfev": 20000, "adaptive": True}
    peer = optimize.minimize(surprise, start, method="Nelder-Mead", options=rule)
    fit = random_asymptote(LOGISTIC, np.tile(ages, 5), trees.ravel(), np.repeat(np.arange(5), len(ages)))
    np.testing.assert_allclose(fit.parameters, peer.x[:3], rtol=1e-6)
    np.testing.assert_allclose([fit.sd_asymptote, fit.residual_sd], np.exp(peer.x[3:]), rtol=1e-6)
    np.testing.assert_allclose(fit.log_likelihood, -peer.fun, rtol=0, atol=1e-8)
