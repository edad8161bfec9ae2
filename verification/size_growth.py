"""True growth: log mass over age, from hatching to grown, along curves of several shapes."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from verification.size_scenarios import Curve

FloatArray = npt.NDArray[np.float64]

SHAPES = {Curve.GOMPERTZ: 0.0, Curve.BERTALANFFY: 1.0 / 3.0, Curve.LOGISTIC: -1.0}
"""Power of mass that grows towards its end at a constant rate; 0 is its logarithm."""
LATE, LATE_RATE = 0.15, 0.35
"""Of growth in two phases: part that belongs to the late one, and its rate as a part of the early one's."""
FIRST_YEAR = 1.0
"""Age at which curves of all shapes agree, in years, so that only the shape differs."""


def log_mass(age_years: FloatArray, *, adult: float, hatching: float, rate: float, curve: Curve) -> FloatArray:
    """Log mass at some ages.

    Parameters
    ----------
    age_years : float array
        Ages.
    adult, hatching : float
        Log mass grown and at hatching.
    rate : float
        Growth rate of the curve of Gompertz (1825) a year; curves of another shape get the rate with which they weigh
        the same at `FIRST_YEAR`.
    curve : Curve
        Shape.

    Notes
    -----
    With a shape q, mass ** q goes from its value at hatching to its value grown along 1 - exp(-k t): von Bertalanffy
    (1938) for q = 1/3, logistic for q = -1, Gompertz in the limit of 0.
    """
    if curve is Curve.TWO_PHASES:
        early, late = np.exp(-rate * age_years), np.exp(-LATE_RATE * rate * age_years)
        left: FloatArray = (1.0 - LATE) * early + LATE * late
        return adult - (adult - hatching) * left
    shape = SHAPES[curve]
    if shape == 0.0:
        return np.asarray(adult - (adult - hatching) * np.exp(-rate * age_years))
    at_year = adult - (adult - hatching) * np.exp(-rate * FIRST_YEAR)
    missing = 1.0 - np.exp(-shape * (adult - hatching))
    own_rate = -np.log((1.0 - np.exp(-shape * (adult - at_year))) / missing) / FIRST_YEAR
    return np.asarray(adult + np.log1p(-missing * np.exp(-own_rate * age_years)) / shape)


def laying_change(days_after: FloatArray) -> FloatArray:
    """What is added to log mass of a female some days after laying; before it with a minus.

    Notes
    -----
    She puts on up to 30 % in the four months before and has lost 35 % after it, which she makes good in five months
    (common practice, no source).
    """
    before = np.clip((days_after + 120.0) / 100.0, 0.0, 1.0)
    after = np.clip(1.0 - days_after / 150.0, 0.0, 1.0)
    change = np.where(days_after < 0.0, 1.0 + 0.3 * before, 1.0 - 0.35 * after)
    return np.asarray(np.log(np.where((days_after < -120.0) | (days_after > 150.0), 1.0, change)))
