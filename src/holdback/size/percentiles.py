"""Where a value stands among others: normal and skewed reference laws, and a place that is itself uncertain.

References
----------
Cole & Green (1992), Smoothing reference centile curves: the LMS method and penalized likelihood. Stat. Med. 11:1305.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]
Numbers = npt.ArrayLike

_erfc = np.frompyfunc(math.erfc, 1, 1)
_inv_cdf = np.frompyfunc(NormalDist().inv_cdf, 1, 1)


def normal_cdf(z: Numbers) -> FloatArray:
    """Chance that a standard normal value is at most `z`; the shape of `z`."""
    return np.asarray(_erfc(np.asarray(z, dtype=np.float64) / -math.sqrt(2.0)), dtype=np.float64) / 2.0


def normal_quantile(p: Numbers) -> FloatArray:
    """Value below which a standard normal value lies with chance `p`; the shape of `p`.

    Parameters
    ----------
    p : float or float array
        In [0, 1]; minus and plus infinity at the ends.

    Raises
    ------
    SizeError
        SIZ-305 if a chance is outside [0, 1] or none.

    Examples
    --------
    >>> normal_quantile([0.05, 0.5, 1.0]).round(6).tolist()
    [-1.644854, 0.0, inf]
    """
    chance = np.asarray(p, dtype=np.float64)
    if not np.all((chance >= 0.0) & (chance <= 1.0)):
        raise SizeError(Fault("SIZ-305", "A chance is not between 0 and 1.", "Give chances, not percent."))
    inside = (chance > 0.0) & (chance < 1.0)
    found = np.asarray(_inv_cdf(np.where(inside, chance, 0.5)), dtype=np.float64)
    return np.where(inside, found, np.where(chance > 0.5, np.inf, -np.inf))


@dataclass(frozen=True, slots=True)
class Reference:
    """A reference law of positive values whose power `skew` is normal (L, M and S of Cole and Green).

    Parameters
    ----------
    skew : float
        L: 1 normal, 0 log-normal.
    median : float
        M, in the unit of the value, above 0.
    variation : float
        S: about the coefficient of variation, above 0.

    Raises
    ------
    SizeError
        SIZ-306 if the median or the variation is not above 0.

    Examples
    --------
    >>> ordinary = Reference(skew=0.0, median=1600.0, variation=0.2)
    >>> round(float(ordinary.z(1954.24)), 4), round(float(ordinary.value(0.5)))
    (1.0, 1600)
    """

    skew: float
    median: float
    variation: float

    def __post_init__(self) -> None:
        """Refuse a law that is none."""
        if not (self.median > 0 and self.variation > 0 and math.isfinite(self.skew)):
            raise SizeError(
                Fault(
                    "SIZ-306",
                    f"A reference with median {self.median:g} and variation {self.variation:g} is none.",
                    "Give a median and a variation above 0.",
                )
            )

    def z(self, value: Numbers) -> FloatArray:
        """Standard normal deviate of values above 0: ((y / M)^L - 1) / (L S), or log(y / M) / S at L = 0."""
        log_ratio = np.log(np.asarray(value, dtype=np.float64) / self.median)
        power = np.expm1(self.skew * log_ratio) / self.skew if self.skew else log_ratio
        return np.asarray(power / self.variation)

    def chance_below(self, value: Numbers) -> FloatArray:
        """Share of the reference below values."""
        return normal_cdf(self.z(value))

    def value(self, chance: Numbers) -> FloatArray:
        """Value below which a share of the reference lies; NaN where the law does not reach so far."""
        z = self.variation * normal_quantile(chance)
        if not self.skew:
            return np.asarray(self.median * np.exp(z))
        reached = self.skew * z > -1.0
        log_ratio = np.log1p(np.where(reached, self.skew * z, 0.0)) / self.skew
        return np.where(reached, self.median * np.exp(log_ratio), np.nan)


class Place(NamedTuple):
    """Share of others below a value that is not known for sure.

    Parameters
    ----------
    mean, low, high : float array
        Expected share, and the range of the share at the level asked for.
    """

    mean: FloatArray
    low: FloatArray
    high: FloatArray


def place_among(difference: Numbers, *, sd: Numbers, spread: Numbers, level: float = 0.9) -> Place:
    """Share of others that lie below, when the value and their mean are uncertain.

    Parameters
    ----------
    difference : float or float array
        Expected value less the expected mean of the others, on a scale where both are normal (log mass).
    sd : float or float array
        Standard deviation of that difference, nought or more.
    spread : float or float array
        Standard deviation among the others, above 0.
    level : float
        Chance that the range holds the share.

    Returns
    -------
    Place
        Arrays of the shape the three take together.

    Raises
    ------
    SizeError
        SIZ-306 if a spread is not above 0.

    Notes
    -----
    The share is Phi(d / spread) with d normal. Its mean is Phi(difference / sqrt(spread^2 + sd^2)): nearer to a half
    than the share at the mean difference. The range is that of d, as the share rises with it.

    Examples
    --------
    >>> [round(float(one), 3) for one in place_among(0.2, sd=0.1, spread=0.2)]
    [0.814, 0.57, 0.966]
    """
    d, own, others = (np.asarray(one, dtype=np.float64) for one in (difference, sd, spread))
    if not np.all(others > 0.0):
        raise SizeError(Fault("SIZ-306", "The spread among the others is not above 0.", "Give a spread above 0."))
    reach = float(normal_quantile((1.0 + level) / 2.0)) * own
    return Place(
        normal_cdf(d / np.hypot(others, own)), normal_cdf((d - reach) / others), normal_cdf((d + reach) / others)
    )
