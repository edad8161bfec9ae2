"""Young that are only planned: their kinship, share of a line, and breeding value, on the pedigree of the plan."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from holdback.collection.estimate import Basis, Estimate
from holdback.decisions.stock import FloatArray, Stock
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.shares import LineFounder, share_moments

_Z90 = 1.6448536269514722


class PlannedYoung:
    """Animals at hand and planned young, numbered on from them.

    Parameters
    ----------
    stock : Stock
        Animals at hand; they keep their places.
    line : str
        Line whose share is followed.

    Notes
    -----
    Breeding values are weighted sums of independent sources: the errors of the animals at hand, and what meiosis deals
    to each planned young (half the additive variance, less the inbreeding of its parents).
    """

    def __init__(self, stock: Stock, line: str) -> None:
        self.stock = stock
        self.kinship: FloatArray = stock.kinship.copy()
        self._parents: list[tuple[int, int]] = []
        self._shares = [float(share) for share in stock.shares[line]]
        self._values = [float(value) for value in stock.size_mean]
        self._weights: FloatArray = np.eye(len(stock.animals))
        self._variances = [float(sd) ** 2 for sd in stock.size_sd]

    def add(self, sire: int, dam: int) -> int:
        """Place of a new young of two animals."""
        n = len(self.kinship)
        row = (self.kinship[sire] + self.kinship[dam]) / 2
        wider = np.zeros((n + 1, n + 1))
        wider[:n, :n] = self.kinship
        wider[n, :n] = wider[:n, n] = row
        wider[n, n] = (1 + self.kinship[sire, dam]) / 2
        inbred = (2 * self.kinship[sire, sire] - 1 + 2 * self.kinship[dam, dam] - 1) / 2
        weights = np.zeros((n + 1, n + 1))
        weights[:n, :n] = self._weights
        weights[n, :n] = (self._weights[sire] + self._weights[dam]) / 2
        weights[n, n] = 1.0
        self.kinship, self._weights = wider, weights
        self._variances.append(self.stock.breeding.additive_sd**2 / 2 * (1 - inbred))
        self._shares.append((self._shares[sire] + self._shares[dam]) / 2)
        self._values.append((self._values[sire] + self._values[dam]) / 2)
        self._parents.append((sire, dam))
        return n

    def parents(self, place: int) -> tuple[int, int]:
        """Places of sire and dam of a planned young."""
        return self._parents[place - len(self.stock.animals)]

    def share(self, place: int) -> float:
        """Expected share of the line."""
        return self._shares[place]

    def value(self, place: int) -> float:
        """Expected breeding value of ln(adult mass / ordinary); nan where one of its sources has none."""
        return self._values[place]

    def inbreeding(self, place: int) -> float:
        """Inbreeding coefficient."""
        return 2 * float(self.kinship[place, place]) - 1

    def size(self, place: int) -> Estimate | None:
        """Adult mass of one such animal against an ordinary one, in percent; None where nothing is known of it."""
        mean = self._values[place]
        if math.isnan(mean):
            return None
        used = self._weights[place] != 0
        variance = float(self._weights[place][used] ** 2 @ np.array(self._variances)[used])
        spread = _Z90 * math.sqrt(variance + self.stock.breeding.environment_sd**2)
        low, middle, high = (100 * math.expm1(mean + part) for part in (-spread, 0.0, spread))
        ground = (
            "Breeding values of the parents planned; the range is that of one animal, what is not passed on included."
        )
        return Estimate(middle, low, high, "%", Basis.BY_DESCENT, ground)

    def share_ranges(self, places: Sequence[int], genome: GenomeMap) -> tuple[Estimate, ...]:
        """Shares of planned young with the 90 % range of the true share.

        Notes
        -----
        Normal about the mean and cut at 0 and 1; animals at hand count with their expected share.
        """
        at_hand = len(self.stock.animals)
        parents = {str(at_hand + row): (str(sire), str(dam)) for row, (sire, dam) in enumerate(self._parents)}
        pedigree = Pedigree.from_parents(parents)
        founders = {
            pedigree.index[str(place)]: LineFounder(self._shares[place], self._shares[place])
            for place in range(at_hand)
            if str(place) in pedigree.index
        }
        found = share_moments(pedigree, founders, genome, nodes=[pedigree.index[str(place)] for place in places])
        ground = "Share by the planned pedigree; the range is what meiosis can make of it, on an assumed map."
        return tuple(
            Estimate(mean, max(0.0, mean - _Z90 * sd), min(1.0, mean + _Z90 * sd), "", Basis.BY_DESCENT, ground)
            for mean, sd in zip(found.mean.tolist(), found.sd.tolist(), strict=True)
        )
