"""The growth curve of free shape, which has the textbook curves in it.

It is written in what an animal is known by, its mass when it hatches and when it is grown, both as logarithms. With W
the mass, t the age and k the rate:

    log W(t) = alpha + (1 / q) log(1 - (1 - e^{-q (alpha - eta)}) e^{-kt}),        W(0) = e^eta,   W(infinity) = e^alpha

where q = 1 is the asymptotic curve, q = 1/3 von Bertalanffy's of a mass, q = 0 (a limit) Gompertz's, q = -1 the
logistic one, and q = 1 - n Richards's; `textbook_curves` has these as they are mostly written.

References
----------
Richards (1959), A flexible growth function for empirical use. J. Exp. Bot. 10:290.
von Bertalanffy (1957), Quantitative laws in metabolism and growth. Q. Rev. Biol. 32:217.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Numbers = FloatArray | float

_SERIES = 0.03
"""Below this |q (alpha - eta)| the curve is summed as a series: six terms are then good to 1e-11."""


class LogCurve(NamedTuple):
    """A curve of free shape and how it changes with what it is made of; all arrays of one shape.

    Parameters
    ----------
    value : float array
        Natural logarithm of the mass.
    alpha, eta, log_rate, shape : float array
        Derivative in each parameter.
    t : float array
        Derivative in age: growth in units of the mass, per unit of age.
    """

    value: FloatArray
    alpha: FloatArray
    eta: FloatArray
    log_rate: FloatArray
    shape: FloatArray
    t: FloatArray


def free_shape(t: Numbers, alpha: Numbers, eta: Numbers, log_rate: Numbers, shape: Numbers) -> LogCurve:
    """Logarithm of mass on the curve of free shape, with its derivatives.

    Parameters
    ----------
    t : float array or float
        Age, nought or more, in the unit of time of the rate.
    alpha, eta : float array or float
        Natural logarithm of the mass when grown and at age nought; either may be the larger.
    log_rate : float array or float
        Natural logarithm of the rate k.
    shape : float array or float
        q; 1 asymptotic, 1/3 von Bertalanffy, 0 Gompertz, -1 logistic.

    Returns
    -------
    LogCurve
        Arrays of the shape that the parameters take together.

    Notes
    -----
    With x = q (alpha - eta) and E = e^{-kt}, the bracket is the mean of e^{-x B} where B is 1 with chance E, else 0. It
    is positive for any x, and its logarithm near x = 0 is the series of the cumulants of B. Products are divided by the
    larger of 1 and e^{-x}, so that nothing overflows.

    Examples
    --------
    >>> curve = free_shape(0.0, 7.4, 4.2, 0.3, 0.25)
    >>> round(float(curve.value), 6), round(float(curve.eta), 6)
    (4.2, 1.0)
    """
    gap = np.subtract(alpha, eta)
    x = np.multiply(shape, gap)
    rate = np.exp(np.asarray(log_rate, dtype=np.float64))
    age = np.multiply(rate, t)
    left, gone = np.exp(-age), -np.expm1(-age)
    at_one, at_nought = np.exp(-np.maximum(x, 0.0)), np.exp(np.minimum(x, 0.0))
    first, second = left * at_one, gone * at_nought
    mean = first + second
    by_eta = first / mean
    by_alpha = second / mean
    log_mean = np.log(mean) - np.minimum(x, 0.0)
    some = np.where(x == 0.0, 1.0, x)
    steepness = gap * rate * np.where(x == 0.0, 1.0, -np.expm1(-np.abs(some)) / np.abs(some))
    by_t = steepness * (left / mean)
    still = -log_mean / some
    by_shape = (still - by_eta) / some
    small = np.abs(x) < _SERIES
    if small.any():
        still_series, by_shape_series = _series(x, left, gone)
        still = np.where(small, still_series, still)
        by_shape = np.where(small, by_shape_series, by_shape)
    value = alpha - gap * still
    by_shape = np.square(gap) * by_shape
    return LogCurve(value, by_alpha, by_eta, by_t * t, by_shape, by_t)


def _series(x: FloatArray, left: FloatArray, gone: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What is still to grow, as a part of all, and its change with the shape per square of all, for x near nought."""
    v = left * gone
    skew = v * (gone - left)
    fourth = v * (1.0 - 6.0 * v)
    fifth = skew * (1.0 - 12.0 * v)
    sixth = v * (1.0 + v * (120.0 * v - 30.0))
    still = left - x * (v / 2 - x * (skew / 6 - x * (fourth / 24 - x * (fifth / 120 - x * sixth / 720))))
    by_shape = v / 2 - x * (skew / 3 - x * (fourth / 8 - x * (fifth / 30 - x * sixth / 144)))
    return still, by_shape
