"""Beta laws for arrays, by NumPy alone: the regularised incomplete beta function and the density."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

_STEPS = 500
_CLOSE = 1e-13
_TINY = 1e-300

_log_gamma = np.frompyfunc(math.lgamma, 1, 1)


def log_beta(a: FloatArray, b: FloatArray) -> FloatArray:
    """Logarithm of the beta function, any shape."""
    return np.asarray(_log_gamma(a) + _log_gamma(b) - _log_gamma(a + b), dtype=np.float64)


def incomplete_beta(a: FloatArray, b: FloatArray, x: FloatArray, *, log_beta_ab: FloatArray) -> FloatArray:
    """Chance that a Beta variable with parameters a and b is at most x, all of one shape.

    Parameters
    ----------
    a, b : float array
        Above 0.
    x : float array
        Any number; 0 below 0 and 1 above 1.
    log_beta_ab : float array
        `log_beta` of a and b.

    References
    ----------
    NIST Digital Library of Mathematical Functions 8.17.22 (continued fraction) and 8.17.4 (the other tail), summed by
    Lentz's method; relative error about 1e-12 for parameters up to some thousands.
    """
    inside = np.clip(x, 1e-300, 1.0 - 1e-16)
    is_turned = inside > (a + 1) / (a + b + 2)
    one, two = np.where(is_turned, b, a), np.where(is_turned, a, b)
    at = np.where(is_turned, 1 - inside, inside)
    front = np.exp(one * np.log(at) + two * np.log1p(-at) - log_beta_ab) / one
    tail = np.clip(front / _fraction(one, two, at), 0.0, 1.0)
    found = np.where(is_turned, 1 - tail, tail)
    return np.where(x <= 0, 0.0, np.where(x >= 1, 1.0, found))


def _fraction(a: FloatArray, b: FloatArray, x: FloatArray) -> FloatArray:
    """Continued fraction of DLMF 8.17.22: 1 + d1 / (1 + d2 / (1 + ...))."""
    value = np.ones_like(x)
    c, d = np.ones_like(x), np.zeros_like(x)
    for step in range(1, _STEPS):
        m = step // 2
        if step % 2:
            term = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            term = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        d = 1 + term * d
        d = 1 / np.where(np.abs(d) < _TINY, _TINY, d)
        c = 1 + term / c
        c = np.where(np.abs(c) < _TINY, _TINY, c)
        value = value * c * d
        if bool(np.all(np.abs(c * d - 1) < _CLOSE)):
            break
    return value


def beta_density(a: FloatArray, b: FloatArray, x: FloatArray, *, log_beta_ab: FloatArray) -> FloatArray:
    """Density of Beta variables, 0 at and beyond the ends, all of one shape."""
    inside = np.clip(x, 1e-300, 1.0 - 1e-16)
    height = np.exp((a - 1) * np.log(inside) + (b - 1) * np.log1p(-inside) - log_beta_ab)
    return np.where((x <= 0) | (x >= 1), 0.0, height)
