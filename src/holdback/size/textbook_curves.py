"""Textbook curves of growth, each as `offset + asymptote * slope`, with derivatives and first guesses.

With A the asymptote, t the age and k the rate:

    Gompertz          A exp(-b e^{-kt})
    logistic          A / (1 + e^{-(t - m) / s})
    von Bertalanffy   A (1 - b e^{-kt})^3             of a mass: a length that grows straight to its end, cubed
    Richards          A (1 + (n - 1) e^{-k (t - m)})^{1 / (1 - n)}
    asymptotic        A + (R - A) e^{-kt}             parameter: log k

Each is a straight line against age once it is divided by its asymptote and bent rightly; that gives the first guess.

References
----------
Richards (1959), A flexible growth function for empirical use. J. Exp. Bot. 10:290.
von Bertalanffy (1957), Quantitative laws in metabolism and growth. Q. Rev. Biol. 32:217.
Pinheiro & Bates (2000), Mixed-Effects Models in S and S-PLUS, appendix C (from memory: forms of the parameters).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]


class Parts(NamedTuple):
    """A curve taken apart where it is a straight line in its asymptote.

    Parameters
    ----------
    offset, slope : float array, shape (n,)
        Value at asymptote nought, and change with it.
    d_offset, d_slope : float array, shape (n, n_others)
        Their derivatives in the other parameters.
    """

    offset: FloatArray
    slope: FloatArray
    d_offset: FloatArray
    d_slope: FloatArray


@dataclass(frozen=True)
class Curve:
    """One kind of curve.

    Parameters
    ----------
    name : str
        What it is called.
    parameters : tuple of str
        Names of the parameters, the asymptote first.
    parts : callable
        Ages and the parameters after the asymptote; gives the parts.
    straight : callable
        Value divided by the asymptote, in (0, 1); gives what falls in a straight line with age.
    guess : callable
        Asymptote, and height at age nought and fall per unit of age of that line; gives the other parameters.
    """

    name: str
    parameters: tuple[str, ...]
    parts: Callable[[FloatArray, FloatArray], Parts]
    straight: Callable[[FloatArray], FloatArray]
    guess: Callable[[float, float, float], tuple[float, ...]]

    def value(self, t: FloatArray, parameters: FloatArray) -> FloatArray:
        """Value at ages, shape (n,)."""
        parts = self.parts(t, parameters[1:])
        return np.asarray(parts.offset + parameters[0] * parts.slope)

    def gradient(self, t: FloatArray, parameters: FloatArray) -> FloatArray:
        """Derivative in each parameter at ages, shape (n, n_parameters)."""
        parts = self.parts(t, parameters[1:])
        return np.column_stack([parts.slope, parts.d_offset + parameters[0] * parts.d_slope])


def _of_slope(slope: FloatArray, *derivatives: FloatArray) -> Parts:
    d_slope = np.column_stack(derivatives)
    return Parts(np.zeros_like(slope), slope, np.zeros_like(d_slope), d_slope)


def _gompertz(t: FloatArray, others: FloatArray) -> Parts:
    b, rate = others
    left = np.exp(-rate * t)
    slope = np.exp(-b * left)
    return _of_slope(slope, -left * slope, b * t * left * slope)


def _logistic(t: FloatArray, others: FloatArray) -> Parts:
    midpoint, scale = others
    z = (t - midpoint) / scale
    slope = np.exp(-np.logaddexp(0.0, -z))
    steep = slope * np.exp(-np.logaddexp(0.0, z)) / scale
    return _of_slope(slope, -steep, -steep * z)


def _bertalanffy(t: FloatArray, others: FloatArray) -> Parts:
    b, rate = others
    left = np.exp(-rate * t)
    length = 1.0 - b * left
    return _of_slope(length**3, -3.0 * length**2 * left, 3.0 * length**2 * b * t * left)


_NEAR_GOMPERTZ = 1e-4
"""Below this |(n - 1) e^{-k (t - m)}| Richards's curve is summed as a series."""


def _richards(t: FloatArray, others: FloatArray) -> Parts:
    """The mass is nought before the age at which the bracket is, where n is below 1."""
    n, rate, midpoint = others
    from_midpoint = t - midpoint
    left = np.exp(-rate * from_midpoint)
    z = (n - 1.0) * left
    grows = z > -1.0
    inside = np.where(grows, 1.0 + z, 1.0)
    near = np.abs(z) < _NEAR_GOMPERTZ
    some = np.where(near, 1.0, z)
    log_slope = -left * np.where(near, 1.0 - z / 2 + z**2 / 3, np.log(inside) / some)
    by_n = left**2 * np.where(near, 0.5 - 2 * z / 3 + 3 * z**2 / 4, (np.log(inside) - z / inside) / some**2)
    slope = np.where(grows, np.exp(log_slope), 0.0)
    by_left = slope * left / inside
    return _of_slope(slope, slope * by_n, by_left * from_midpoint, -by_left * rate)


def _asymptotic(t: FloatArray, others: FloatArray) -> Parts:
    start, log_rate = others
    rate = np.exp(log_rate)
    left = np.exp(-rate * t)
    by_log_rate = rate * t * left
    nought = np.zeros_like(t)
    return Parts(
        start * left,
        -np.expm1(-rate * t),
        np.column_stack([left, -start * by_log_rate]),
        np.column_stack([nought, by_log_rate]),
    )


def _log_minus_log(ratio: FloatArray) -> FloatArray:
    return np.asarray(np.log(-np.log(ratio)))


GOMPERTZ = Curve(
    "Gompertz",
    ("asymptote", "b", "rate"),
    _gompertz,
    _log_minus_log,
    lambda _, height, fall: (float(np.exp(height)), fall),
)
LOGISTIC = Curve(
    "logistic",
    ("asymptote", "midpoint", "scale"),
    _logistic,
    lambda ratio: np.log(1.0 / ratio - 1.0),
    lambda _, height, fall: (height / fall, 1.0 / fall),
)
BERTALANFFY = Curve(
    "von Bertalanffy",
    ("asymptote", "b", "rate"),
    _bertalanffy,
    lambda ratio: np.log(1.0 - np.cbrt(ratio)),
    lambda _, height, fall: (float(np.exp(height)), fall),
)
RICHARDS = Curve(
    "Richards",
    ("asymptote", "n", "rate", "midpoint"),
    _richards,
    _log_minus_log,
    lambda _, height, fall: (1.0, fall, height / fall),
)
ASYMPTOTIC = Curve(
    "asymptotic",
    ("asymptote", "start", "log_rate"),
    _asymptotic,
    lambda ratio: np.log(1.0 - ratio),
    lambda asymptote, height, fall: (float(asymptote * -np.expm1(height)), float(np.log(fall))),
)
CURVES = (GOMPERTZ, LOGISTIC, BERTALANFFY, RICHARDS, ASYMPTOTIC)
