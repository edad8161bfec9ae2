"""One textbook curve through the weights of one animal, by least squares.

Levenberg and Marquardt's way: the step solves (J'WJ + d diag(J'WJ)) step = J'W residual, with the damping d lowered
where a step helps and raised where it does not. Standard errors are those of the curve taken as straight at the answer.

References
----------
Marquardt (1963), An algorithm for least-squares estimation of nonlinear parameters. J. SIAM 11:431.
Bates & Watts (1988), Nonlinear Regression Analysis and Its Applications, ch. 2 (from memory: when to stop).
Carroll & Ruppert (1988), Transformation and Weighting in Regression, ch. 2 (from memory: weights from the fitted mean).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError
from holdback.size.textbook_curves import Curve

FloatArray = npt.NDArray[np.float64]

_ABOVE = (1.02, 1.1, 1.3, 2.0, 4.0)
"""First guesses of the asymptote, in parts of the largest value."""
_TOLERANCE = 1e-9
"""Weights from the mean stay when parameters move by no more than this part."""
_GAIN = 1e-15
"""A gain this small against the value is lost in its last digit."""
_SEEN = 1e-7
"""A gain above this, against the value, that no step can make good means that there is no top."""
_NO_MEAN = 1e-3
"""A mean below this part of the smallest value, as a curve that begins later gives, is taken for it in the weights."""
_MAX_STEPS = 500
_MAX_DAMPING = 1e12
_SINGULAR = 1e10
"""Condition above which parameters cannot be told apart."""


@dataclass(frozen=True, eq=False)
class CurveFit:
    """A curve and how well it is known.

    Parameters
    ----------
    curve : Curve
        Which.
    parameters, standard_errors : float array, shape (n_parameters,)
        In the order of `curve.parameters`.
    covariance : float array, shape (n_parameters, n_parameters)
        Of the parameters.
    residual_sum_of_squares : float
        Weighted where the spread goes with the mean.
    residual_sd : float
        Root of that over the points beyond the parameters; times mean**power it is the spread of one value.
    n_points : int
        Values fitted.
    power : float
        The spread of a value goes with this power of its mean.
    """

    curve: Curve
    parameters: FloatArray
    standard_errors: FloatArray
    covariance: FloatArray
    residual_sum_of_squares: float
    residual_sd: float
    n_points: int
    power: float = 0.0

    @property
    def asymptote(self) -> float:
        """Where growth ends."""
        return float(self.parameters[0])

    def value(self, t: FloatArray) -> FloatArray:
        """Values of the fitted curve, shape (n,)."""
        return self.curve.value(t, self.parameters)


def curve_fit(curve: Curve, t: FloatArray, y: FloatArray, *, power: float = 0.0) -> CurveFit:
    """Least-squares fit of a curve to values at ages.

    Parameters
    ----------
    curve : Curve
        Which.
    t : float array, shape (n,)
        Ages.
    y : float array, shape (n,)
        Values, above 0.
    power : float
        The standard deviation of a value goes with this power of its mean; 0 the same for all, 1 in proportion.

    Returns
    -------
    CurveFit
        Parameters and their standard errors.

    Raises
    ------
    SizeError
        SIZ-301 if there are not more values, or not as many different ages, as parameters; SIZ-302 if the values do not
        tell where growth ends; SIZ-303 if they do not grow.

    Notes
    -----
    An animal still growing tells little of its end: the asymptote of such a fit is often far off, and its standard
    error, taken at a wrong end, may be small all the same. Draw on other animals then.

    Examples
    --------
    >>> from holdback.size.textbook_curves import GOMPERTZ
    >>> t = np.arange(10.0)
    >>> found = curve_fit(GOMPERTZ, t, 1700 * np.exp(-3.2 * np.exp(-0.6 * t)))
    >>> found.parameters.round(6).tolist()
    [1700.0, 3.2, 0.6]
    """
    _check_points(curve, t, y)
    weight = np.ones_like(y)
    parameters = least_squares(curve, t, y, weight, first_guess(curve, t, y))
    if power:
        weight, parameters = _weighted(curve, t, y, power, parameters)
    return _summary(curve, t, y, weight, parameters, power)


def _weighted(
    curve: Curve, t: FloatArray, y: FloatArray, power: float, parameters: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Weights from the mean, and parameters from the weights, until they stay."""
    for _ in range(_MAX_STEPS):
        before = parameters
        weight = (np.maximum(curve.value(t, before), _NO_MEAN * y.min()) / y.mean()) ** (-2.0 * power)
        parameters = least_squares(curve, t, y, weight, before)
        if np.all(np.abs(parameters - before) <= _TOLERANCE * np.abs(parameters)):
            return weight * y.mean() ** (-2.0 * power), parameters
    raise _no_end(curve)


def _check_points(curve: Curve, t: FloatArray, y: FloatArray) -> None:
    needed = len(curve.parameters)
    n_ages = len(np.unique(t))
    if len(y) <= needed or n_ages < needed:
        raise SizeError(
            Fault(
                "SIZ-301",
                f"{len(y)} weights at {n_ages} ages are too few for the {needed} parameters of the {curve.name} curve.",
                f"Give at least {needed + 1} weights, at {needed} ages or more.",
            )
        )


def first_guess(curve: Curve, t: FloatArray, y: FloatArray) -> FloatArray:
    """Parameters to begin from: of several asymptotes, the one whose straight line leaves the least over.

    Raises
    ------
    SizeError
        SIZ-303 if the values do not grow.
    """
    guesses = []
    for above in _ABOVE:
        asymptote = above * float(y.max())
        fall, height = np.polyfit(t, curve.straight(np.clip(y / asymptote, 1e-9, 1.0 - 1e-9)), 1)
        if fall < 0:
            guess = np.array([asymptote, *curve.guess(asymptote, float(height), -float(fall))])
            guesses.append((float(np.sum((y - curve.value(t, guess)) ** 2)), guess))
    if not guesses:
        raise SizeError(
            Fault("SIZ-303", "These weights do not grow with age.", "Leave out weights of losses, or check the dates.")
        )
    return min(guesses, key=lambda one: one[0])[1]


def least_squares(curve: Curve, t: FloatArray, y: FloatArray, weight: FloatArray, start: FloatArray) -> FloatArray:
    """Parameters of least weighted squares, shape (n_parameters,).

    Raises
    ------
    SizeError
        SIZ-302 if they run away.
    """

    def at(parameters: FloatArray) -> tuple[float, FloatArray, FloatArray]:
        residual = y - curve.value(t, parameters)
        weighted = curve.gradient(t, parameters) * weight[:, None]
        return -float(weight @ residual**2), 2 * weighted.T @ residual, 2 * weighted.T @ curve.gradient(t, parameters)

    return climb(curve, at, start, least=1e-24 * float(weight @ y**2))


def _no_end(curve: Curve) -> SizeError:
    return SizeError(
        Fault(
            "SIZ-302",
            f"These weights do not settle the {curve.name} curve: where growth ends, or how fast it goes, stays open.",
            "Wait for later weights, or use the model of all animals, which draws on the others.",
        )
    )


def _summary(
    curve: Curve, t: FloatArray, y: FloatArray, weight: FloatArray, parameters: FloatArray, power: float
) -> CurveFit:
    """The fit with its standard errors; SIZ-302 where that of the asymptote is above itself."""
    n_points, n_parameters = len(y), len(parameters)
    gradient = curve.gradient(t, parameters)
    left = float(weight @ (y - curve.value(t, parameters)) ** 2)
    variance = left / (n_points - n_parameters)
    root = np.linalg.qr(gradient * np.sqrt(weight)[:, None], mode="r")
    if np.linalg.cond(root / (np.linalg.norm(root, axis=0) + 1e-150)) > _SINGULAR:
        raise _no_end(curve)
    inverse = np.linalg.inv(root)
    covariance = variance * inverse @ inverse.T
    errors = np.sqrt(np.diag(covariance))
    if not errors[0] <= abs(parameters[0]):
        raise _no_end(curve)
    return CurveFit(curve, parameters, errors, covariance, left, variance**0.5, n_points, power)


Climb = Callable[[FloatArray], tuple[float, FloatArray, FloatArray]]


def climb(curve: Curve, at: Climb, start: FloatArray, *, least: float = 0.0) -> FloatArray:
    """Parameters at the top of a function.

    Parameters
    ----------
    curve : Curve
        What is fitted, for the message.
    at : callable
        Value, slope and curvature with the sign turned (or what is expected of it), at parameters.
    start : float array, shape (n,)
        Where to begin.
    least : float
        Gains below this are nothing.

    Returns
    -------
    float array, shape (n,)
        Where it is highest.

    Raises
    ------
    SizeError
        SIZ-302 if it still climbs after 500 steps, or no step leads on from a slope.
    """
    here, damping = start, 1e-3
    value, slope, curvature = at(here)
    for _ in range(_MAX_STEPS):
        step = _step(slope, curvature, damping)
        with np.errstate(all="ignore"):
            there = at(here + step)
        if np.isfinite(there[0]) and there[0] >= value:
            gain = float(slope @ step)
            here, (value, slope, curvature) = here + step, there
            damping = max(damping / 10, 1e-12)
            if gain <= max(_GAIN * abs(value), least):
                return here
        elif damping < _MAX_DAMPING:
            damping *= 10
        else:
            left = float(slope @ _step(slope, curvature, 1e-12))
            if left <= _SEEN * abs(value) + least:
                return here
            break
    raise _no_end(curve)


def _step(slope: FloatArray, curvature: FloatArray, damping: float) -> FloatArray:
    scale = np.sqrt(np.diag(curvature)) + 1e-150
    unit = curvature / np.outer(scale, scale) + damping * np.eye(len(slope))
    return np.asarray(np.linalg.solve(unit, slope / scale) / scale)
