"""How far the best of a few stand above all of them, in standard deviations.

Candidates count as unrelated. The best of sibs stand out less, since sibs are alike (Hill 1976, from memory), and so do
the best of several sorts with different reliability.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]

_NORMAL = NormalDist()


def intensity(n_candidates: int, n_kept: int) -> float:
    """Expected mean of the best of several standard normal candidates (selection intensity, finite numbers).

    Parameters
    ----------
    n_candidates, n_kept : int
        With ``1 <= n_kept <= n_candidates``.

    Returns
    -------
    float
        In standard deviations, at least 0; exact to about 1e-12.

    Raises
    ------
    SizeError
        SIZ-411 if none or more than there are shall be kept.

    Notes
    -----
    One of the best k of n has density (n / k) phi(x) P(at most k - 1 of the n - 1 others are above x). The integral of
    such a smooth function that dies out at both ends is exact by the trapezoidal rule. For k > n / 2 the worst n - k
    are looked at instead: the sum of all is 0.

    References
    ----------
    David & Nagaraja (2003), Order Statistics, ch. 3; Burrows (1972), from memory.

    Examples
    --------
    >>> round(intensity(2, 1), 6) == round(1 / math.sqrt(math.pi), 6)
    True
    """
    if not 1 <= n_kept <= n_candidates:
        raise SizeError(
            Fault(
                "SIZ-411",
                f"The best {n_kept} of {n_candidates} cannot be kept.",
                "Keep at least one, and no more than there are.",
                value=str(n_kept),
            )
        )
    if n_kept == n_candidates:
        return 0.0
    fewer = min(n_kept, n_candidates - n_kept)
    x = np.arange(-9.0, 9.0, 0.02)
    log_above, log_below = _log_above(x), _log_above(-x)
    others = n_candidates - 1
    at_most = np.zeros_like(x)
    for above in range(fewer):
        ways = math.lgamma(others + 1) - math.lgamma(above + 1) - math.lgamma(others - above + 1)
        at_most += np.exp(ways + above * log_above + (others - above) * log_below)
    density = np.exp(-x * x / 2) / math.sqrt(2 * math.pi) * at_most
    return float(0.02 * n_candidates / n_kept * (x @ density))


def truncation_intensity(kept: float) -> float:
    """Selection intensity of the best part of very many.

    Parameters
    ----------
    kept : float
        Part kept, in (0, 1).

    Raises
    ------
    SizeError
        SIZ-411 if the part is not between 0 and 1.

    References
    ----------
    Falconer & Mackay (1996), Introduction to Quantitative Genetics, appendix A: density at the cut over the part.

    Examples
    --------
    >>> round(truncation_intensity(0.2), 4)
    1.3998
    """
    return _NORMAL.pdf(_cut(kept)) / kept


def intensity_variance(n_candidates: int, n_kept: int) -> float:
    """Variance of the mean of the best of several standard normal candidates, over all that might hatch.

    Parameters
    ----------
    n_candidates, n_kept : int
        As in `intensity`, by which they are checked.

    Returns
    -------
    float
        About 5 % above the exact value for the best of five, nearer for more.

    References
    ----------
    Burrows (1975), Variances of selection differentials in normal samples, Biometrics 31:125-133: for many candidates
    (1 - i (i - x) + (1 - p) (i - x)^2) / n_kept (from memory; checked against drawn samples).
    """
    if n_kept == n_candidates:
        return 1 / n_candidates
    kept = n_kept / n_candidates
    i, x = truncation_intensity(kept), _cut(kept)
    return (1 - i * (i - x) + (1 - kept) * (i - x) ** 2) / n_kept


def variance_kept(kept: float, accuracy: float) -> float:
    """Part of the variance of breeding values that is left among the parents kept (Bulmer 1971).

    Parameters
    ----------
    kept : float
        Part kept, in (0, 1).
    accuracy : float
        Correlation of estimated and true breeding value, in [0, 1].

    Returns
    -------
    float
        1 - k r^2 with k = i (i - x), in (0, 1].

    Raises
    ------
    SizeError
        SIZ-411 if the part is not between 0 and 1.

    Examples
    --------
    >>> round(variance_kept(0.2, math.sqrt(0.4)), 4)
    0.6875
    """
    i = truncation_intensity(kept)
    return 1 - i * (i - _cut(kept)) * accuracy**2


def _cut(kept: float) -> float:
    """Where the best part begins, in standard deviations."""
    if not 0 < kept < 1:
        raise SizeError(
            Fault("SIZ-411", f"A part of {kept:g} cannot be kept.", "Give one between 0 and 1.", value=f"{kept:g}")
        )
    return -_NORMAL.inv_cdf(kept)


def _log_above(x: FloatArray) -> FloatArray:
    """Log of the chance that a standard normal is above points, shape (n,)."""
    return np.array([math.log(math.erfc(one / math.sqrt(2)) / 2) for one in x.tolist()])
