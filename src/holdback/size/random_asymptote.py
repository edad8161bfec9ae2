"""One textbook curve through the weights of many animals, each with an asymptote of its own, by exact likelihood.

The asymptote stands in the curves as a straight factor. With s_i the slopes of animal i's weights in it and o_i the
rest,

    y_i = o_i + (A + a_i) s_i + e_i,     a_i ~ N(0, sigma2_a),   e_i ~ N(0, sigma2),

so the weights of an animal are jointly normal with mean o_i + A s_i and covariance V_i = sigma2 I + sigma2_a s_i s_i',
and nothing has to be approximated. The top of the likelihood is climbed by Fisher scoring with damped steps.

References
----------
Davidian & Giltinan (1995), Nonlinear Models for Repeated Measurement Data, ch. 4 (from memory).
Jennrich & Schluchter (1986), Unbalanced repeated-measures models with structured covariance matrices. Biometrics 42:805
(scoring for mean and covariance together).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError
from holdback.size.curve_fits import climb, first_guess, least_squares
from holdback.size.textbook_curves import Curve, Parts

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]

_NO_SPREAD = 1e-8
"""Asymptotes whose spread is below this part of the spread of a value about its curve are alike."""


@dataclass(frozen=True, eq=False)
class RandomAsymptote:
    """A curve common to animals but for where each ends.

    Parameters
    ----------
    curve : Curve
        Which.
    parameters, standard_errors : float array, shape (n_parameters,)
        In the order of `curve.parameters`, the mean asymptote first.
    sd_asymptote, residual_sd : float
        Spread of the asymptotes between animals, and of values about the animal's own curve.
    log_likelihood : float
        Natural logarithm, at its top.
    asymptotes, sd_of_asymptotes : float array, shape (n_animals,)
        Expected asymptote of each animal in the order of its number, and how far that may be off.
    """

    curve: Curve
    parameters: FloatArray
    standard_errors: FloatArray
    sd_asymptote: float
    residual_sd: float
    log_likelihood: float
    asymptotes: FloatArray
    sd_of_asymptotes: FloatArray


@dataclass(frozen=True, eq=False)
class _Animals:
    """Values by animal."""

    curve: Curve
    t: tuple[FloatArray, ...]
    y: tuple[FloatArray, ...]


def random_asymptote(curve: Curve, t: FloatArray, y: FloatArray, animal: IndexArray) -> RandomAsymptote:
    """Maximum-likelihood fit of a curve with an asymptote for each animal.

    Parameters
    ----------
    curve : Curve
        Which.
    t, y : float array, shape (n,)
        Ages and values.
    animal : int array, shape (n,)
        Whose, counted from 0 without gaps.

    Returns
    -------
    RandomAsymptote
        The fit.

    Raises
    ------
    SizeError
        SIZ-304 if no animal, or only one, was measured twice; SIZ-302 if the values do not tell where growth ends;
        SIZ-303 if they do not grow.
    """
    counts = np.bincount(animal)
    if np.sum(counts > 1) < 2:
        raise SizeError(
            Fault(
                "SIZ-304",
                "Fewer than two animals were weighed more than once.",
                "Give repeated weights of several animals.",
            )
        )
    animals = _Animals(curve, *(tuple(one[animal == i] for i in range(len(counts))) for one in (t, y)))
    pooled = least_squares(curve, t, y, np.ones_like(y), first_guess(curve, t, y))
    variance = float(np.mean((y - curve.value(t, pooled)) ** 2))
    slope = curve.parts(t, pooled[1:]).slope
    start = np.array([*pooled, np.log(variance / 2), np.log(variance / 2 / np.mean(slope**2))])
    return _summary(animals, climb(curve, lambda one: _likelihood(animals, one), start))


def log_likelihood(
    curve: Curve,
    t: FloatArray,
    y: FloatArray,
    animal: IndexArray,
    *,
    parameters: Sequence[float],
    sd: tuple[float, float],
) -> float:
    """Natural logarithm of the likelihood at parameters.

    Parameters
    ----------
    curve, t, y, animal
        As for `random_asymptote`.
    parameters : sequence of float
        Of the curve, the mean asymptote first.
    sd : tuple of float
        Spread of the asymptotes, and of values about the animal's own curve.
    """
    animals = _Animals(curve, *(tuple(one[animal == i] for i in range(int(animal.max()) + 1)) for one in (t, y)))
    return _likelihood(animals, np.array([*parameters, 2 * np.log(sd[1]), 2 * np.log(sd[0])]))[0]


def _likelihood(animals: _Animals, at: FloatArray) -> tuple[float, FloatArray, FloatArray]:
    """Log-likelihood, score and expected information in the parameters and the logs of both variances."""
    curve_parameters, (residual, between) = at[:-2], np.exp(at[-2:])
    value, score, information = 0.0, np.zeros(len(at)), np.zeros((len(at), len(at)))
    for t, y in zip(animals.t, animals.y, strict=True):
        parts = animals.curve.parts(t, curve_parameters[1:])
        mean = parts.offset + curve_parameters[0] * parts.slope
        gradient = np.column_stack([parts.slope, parts.d_offset + curve_parameters[0] * parts.d_slope])
        one = _of_animal(y - mean, gradient, parts, float(residual), float(between))
        value, score, information = value + one[0], score + one[1], information + one[2]
    return value, score, information


def _of_animal(
    difference: FloatArray, gradient: FloatArray, parts: Parts, residual: float, between: float
) -> tuple[float, FloatArray, FloatArray]:
    n, n_mean = gradient.shape
    s = parts.slope
    spread = 1.0 + between / residual * float(s @ s)
    inverse = (np.eye(n) - between / residual / spread * np.outer(s, s)) / residual
    changes = [np.zeros((n, n))]
    changes += [between * (np.outer(one, s) + np.outer(s, one)) for one in parts.d_slope.T]
    changes += [residual * np.eye(n), between * np.outer(s, s)]
    turned = np.stack([inverse @ one for one in changes])
    weighted = inverse @ difference
    value = -0.5 * (n * np.log(2 * np.pi * residual) + np.log(spread) + difference @ weighted)
    score = 0.5 * (np.array([weighted @ one @ weighted for one in changes]) - np.trace(turned, axis1=1, axis2=2))
    information = 0.5 * np.einsum("aij,bji->ab", turned, turned)
    score[:n_mean] += gradient.T @ weighted
    information[:n_mean, :n_mean] += gradient.T @ inverse @ gradient
    return float(value), score, information


def _summary(animals: _Animals, found: FloatArray) -> RandomAsymptote:
    value, _, information = _likelihood(animals, found)
    parameters, (residual, between) = found[:-2], np.exp(found[-2:])
    alike = between * _mean_square(animals, parameters) < _NO_SPREAD**2 * residual
    known = information[:-1, :-1] if alike else information
    errors = np.sqrt(np.diag(np.linalg.inv(known)))[: len(parameters)]
    asymptotes, variances = [], []
    for t, y in zip(animals.t, animals.y, strict=True):
        parts = animals.curve.parts(t, parameters[1:])
        spread = residual + between * (parts.slope @ parts.slope)
        difference = y - parts.offset - parameters[0] * parts.slope
        asymptotes.append(parameters[0] + between * (parts.slope @ difference) / spread)
        variances.append(between * residual / spread)
    return RandomAsymptote(
        animals.curve,
        parameters,
        errors,
        0.0 if alike else float(between**0.5),
        float(residual**0.5),
        value,
        np.array(asymptotes),
        np.sqrt(variances),
    )


def _mean_square(animals: _Animals, parameters: FloatArray) -> float:
    slopes = np.concatenate([animals.curve.parts(t, parameters[1:]).slope for t in animals.t])
    return float(np.mean(slopes**2))
