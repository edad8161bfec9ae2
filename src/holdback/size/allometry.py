"""How one measure goes with others as animals get bigger: straight lines of logarithms, by group.

Ordinary least squares predict one measure from others. The standardised major axis (slope sd_y / sd_x with the sign of
the correlation) says how two measures scale, as both are measured with error. A residual on the log scale tells a big
head for the length; a ratio does not, as it changes with size by itself.

References
----------
Warton, Wright, Falster & Westoby (2006), Bivariate line-fitting methods for allometry. Biol. Rev. 81:259 (from memory:
the standard error and interval of the axis).
Peig & Green (2009), New perspectives for estimating body condition from mass/length data. Oikos 118:1883 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class LogLine:
    """log y = intercept + slopes . log x by least squares.

    Parameters
    ----------
    intercept : float
        At log x = 0.
    slopes : float array, shape (n_measures,)
        Exponents.
    covariance : float array, shape (1 + n_measures, 1 + n_measures)
        Of intercept and slopes.
    residual_sd : float
        About the line, on the log scale.
    n_animals : int
        Fitted.
    """

    intercept: float
    slopes: FloatArray
    covariance: FloatArray
    residual_sd: float
    n_animals: int

    @property
    def standard_errors(self) -> FloatArray:
        """Of intercept and slopes, shape (1 + n_measures,)."""
        return np.sqrt(np.diag(self.covariance))

    def residuals(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """How far log y lies above the line, shape (n,); 0.1 is about a tenth bigger than expected."""
        return np.asarray(np.log(y) - self.intercept - np.log(_columns(x)) @ self.slopes)


@dataclass(frozen=True, slots=True)
class MajorAxis:
    """log y = intercept + slope log x by the standardised major axis.

    Parameters
    ----------
    intercept, slope : float
        Of the axis; the slope is the exponent.
    standard_error : float
        Of the slope.
    correlation : float
        Of the logarithms.
    n_animals : int
        Fitted.
    """

    intercept: float
    slope: float
    standard_error: float
    correlation: float
    n_animals: int


def log_line(x: FloatArray, y: FloatArray) -> LogLine:
    """Least squares of log y on log x.

    Parameters
    ----------
    x : float array, shape (n,) or (n, n_measures)
        Measures above 0.
    y : float array, shape (n,)
        Measure above 0.

    Raises
    ------
    SizeError
        SIZ-311 if there are too few animals or the measures do not differ; SIZ-312 if a measure is not above 0.

    Examples
    --------
    >>> line = log_line(np.array([50.0, 80.0, 110.0, 140.0]), 2.0 * np.array([50.0, 80.0, 110.0, 140.0]) ** 0.75)
    >>> line.slopes.round(6).tolist()
    [0.75]
    """
    columns = _columns(x)
    n, n_measures = columns.shape
    _check(columns, y, needed=n_measures + 2)
    design = np.column_stack([np.ones(n), np.log(columns)])
    orthogonal, root = np.linalg.qr(design)
    if np.min(np.abs(np.diag(root))) < 1e-10 * np.max(np.abs(root)):
        raise _no_line(n)
    inverse = np.linalg.inv(root)
    coefficients = inverse @ (orthogonal.T @ np.log(y))
    left = np.log(y) - design @ coefficients
    variance = float(left @ left) / (n - n_measures - 1)
    return LogLine(float(coefficients[0]), coefficients[1:], variance * inverse @ inverse.T, variance**0.5, n)


def major_axis(x: FloatArray, y: FloatArray) -> MajorAxis:
    """Standardised major axis of log y on log x.

    Parameters
    ----------
    x, y : float array, shape (n,)
        Measures above 0.

    Raises
    ------
    SizeError
        SIZ-311 if there are too few animals or a measure does not differ; SIZ-312 if a measure is not above 0.

    Notes
    -----
    The standard error is |slope| sqrt((1 - r^2) / (n - 2)).
    """
    _check(_columns(x), y, needed=3)
    log_x, log_y = np.log(x), np.log(y)
    sd_x, sd_y = float(np.std(log_x)), float(np.std(log_y))
    if min(sd_x, sd_y) < 1e-10:
        raise _no_line(len(y))
    r = float(np.mean((log_x - log_x.mean()) * (log_y - log_y.mean()))) / (sd_x * sd_y)
    slope = float(np.copysign(sd_y / sd_x, r))
    error = abs(slope) * (max(1.0 - r * r, 0.0) / (len(y) - 2)) ** 0.5
    return MajorAxis(float(log_y.mean() - slope * log_x.mean()), slope, error, r, len(y))


def log_line_by_group(x: FloatArray, y: FloatArray, group: Sequence[str]) -> dict[str, LogLine]:
    """A line for each group, such as each sex, by name in order of appearance; errors as for `log_line`."""
    labels = np.array(group)
    return {one: log_line(x[labels == one], y[labels == one]) for one in dict.fromkeys(group)}


def major_axis_by_group(x: FloatArray, y: FloatArray, group: Sequence[str]) -> dict[str, MajorAxis]:
    """An axis for each group by name in order of appearance; errors as for `major_axis`."""
    labels = np.array(group)
    return {one: major_axis(x[labels == one], y[labels == one]) for one in dict.fromkeys(group)}


def scaled_mass(mass_g: FloatArray, length_cm: FloatArray, *, exponent: float, at_length_cm: float) -> FloatArray:
    """Mass an animal of its condition would have at another length: M (L0 / L)^b, in gram, shape (n,).

    Parameters
    ----------
    mass_g, length_cm : float array, shape (n,)
        Of the animals.
    exponent : float
        b: slope of the major axis of mass on length among comparable animals.
    at_length_cm : float
        L0: one length for all.
    """
    return np.asarray(mass_g * (at_length_cm / length_cm) ** exponent)


def _columns(x: FloatArray) -> FloatArray:
    return x if x.ndim == 2 else x[:, None]


def _check(columns: FloatArray, y: FloatArray, *, needed: int) -> None:
    if len(y) < needed:
        raise _no_line(len(y))
    if not (np.all(columns > 0) and np.all(y > 0)):
        raise SizeError(Fault("SIZ-312", "A measure is not above 0.", "Leave out what was not measured."))


def _no_line(n: int) -> SizeError:
    return SizeError(
        Fault(
            "SIZ-311",
            f"{n} animals do not tell how their measures go together.",
            "Measure more animals, and of different sizes.",
        )
    )
