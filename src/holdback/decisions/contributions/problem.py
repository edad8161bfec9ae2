"""The problem of optimum contributions in arrays, and the conditions that an optimum meets."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

AT_BOUND = 1e-7
"""A share within this of a bound may stand at it."""


@dataclass(frozen=True, eq=False)
class Problem:
    """What is to be shared out among n animals.

    Parameters
    ----------
    gains : float array, shape (n,)
        Breeding values.
    kinship : float array, shape (n, n)
        Coefficients of kinship, positive semidefinite.
    is_sire : bool array, shape (n,)
        True for males.
    low, high : float array, shape (n,)
        Bounds of the shares.
    """

    gains: FloatArray
    kinship: FloatArray
    is_sire: BoolArray
    low: FloatArray
    high: FloatArray

    @property
    def by_sex(self) -> FloatArray:
        """Incidence of animals in sexes, shape (n, 2): males, females."""
        return np.column_stack([self.is_sire, ~self.is_sire]).astype(np.float64)

    @property
    def spread(self) -> float:
        """Range of the gains, 1 where all are alike: the unit in which violations are told."""
        width = float(np.ptp(self.gains))
        return width if width > 0 else 1.0

    def group_kinship(self, shares: FloatArray) -> float:
        """Mean kinship among the young of animals that contribute so."""
        return float(shares @ self.kinship @ shares)

    def at_most_gain(self) -> Problem:
        """The same problem, held to shares with the most gain: the best of each sex to their bounds.

        Animals whose gains tie at the end of the row stay free between their bounds.
        """
        low, high = self.low.copy(), self.high.copy()
        for members in (self.is_sire, ~self.is_sire):
            places = np.flatnonzero(members)
            left = 0.5 - low[places].sum()
            for value in np.unique(self.gains[places])[::-1]:
                alike = places[self.gains[places] == value]
                room = float((high[alike] - low[alike]).sum())
                if left >= room - 1e-15:
                    low[alike] = high[alike]
                elif left <= 1e-15:
                    high[alike] = low[alike]
                left = max(0.0, left - room)
        return replace(self, low=low, high=high)

    def violation(self, shares: FloatArray, worth: float, limit: float) -> float:
        """Largest violation of the conditions for an optimum at the limit, in units of `spread`.

        Notes
        -----
        With the price w of the kinship limit the slope of each animal is g - 2 w F c less the price of its sex. It is 0
        for an animal between its bounds, not above 0 at the lower bound and not below 0 at the upper one. The price of
        a sex is taken where the largest violation is least.
        """
        slope = self.gains - 2 * worth * (self.kinship @ shares)
        worst = [abs(float(shares[rows].sum()) - 0.5) for rows in (self.is_sire, ~self.is_sire)]
        worst.append(max(0.0, self.group_kinship(shares) - limit))
        worst.append(float(np.maximum(self.low - shares, shares - self.high).max()))
        for members in (self.is_sire, ~self.is_sire):
            could_grow = slope[members & (shares < self.high - AT_BOUND)]
            could_shrink = slope[members & (shares > self.low + AT_BOUND)]
            if len(could_grow) and len(could_shrink):
                worst.append(max(0.0, float(could_grow.max() - could_shrink.min())) / 2 / self.spread)
        return max(worst)
