"""A contrast of lines drawn towards 0 by what is assumed of it."""

from __future__ import annotations

import math

from holdback.size.mixed_model.equations import not_positive


def shrunken(estimate: float, standard_error: float, *, prior_sd: float) -> tuple[float, float]:
    """Mean and sd of a contrast with a normal estimate and a normal prior about 0.

    Parameters
    ----------
    estimate, standard_error : float
        What the records say without the prior, in any one unit.
    prior_sd : float
        tau: standard deviation of such contrasts, in that unit.

    Returns
    -------
    (float, float)
        tau^2 / (tau^2 + se^2) of the estimate, and the sd 1 / sqrt(1 / tau^2 + 1 / se^2).

    Raises
    ------
    SizeError
        SIZ-204 if the standard error or tau is not above 0.

    Examples
    --------
    >>> shrunken(2.0, 1.0, prior_sd=1.0)
    (1.0, 0.7071067811865476)
    """
    if not min(standard_error, prior_sd) > 0.0:
        raise not_positive("the contrast or its prior", f"sd {min(standard_error, prior_sd):.6g}")
    precision = 1.0 / standard_error**2 + 1.0 / prior_sd**2
    return estimate / standard_error**2 / precision, math.sqrt(1.0 / precision)
