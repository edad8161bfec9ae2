"""When in incubation eggs are lost: shares of its three thirds, own losses drawn in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holdback.season.assumed import assumed
from holdback.species.catalogue import Catalogue

Floats = NDArray[np.float64]

WORTH = 10.0
"""Own lost eggs that the shares of the species file are worth; an assumption."""


@dataclass(frozen=True, eq=False)
class LossDays:
    """Shares of lost eggs by third of incubation.

    Parameters
    ----------
    shares : array of shape (3,)
        First, middle, last third; they sum to 1. Eggs dead at term count to the last.
    in_egg_days : float
        Days of incubation.
    n_own : int
        Own lost eggs with a day that it rests on.
    """

    shares: Floats
    in_egg_days: float
    n_own: int

    @classmethod
    def learned(cls, days: Sequence[int], catalogue: Catalogue) -> LossDays:
        """Shares by the species file and by the days after laying on which own eggs were lost."""
        first, last = (assumed(catalogue, f"losses_{each}_third").value for each in ("first", "last"))
        in_egg = assumed(catalogue, "incubation_days").value
        thirds = np.minimum(3 * np.array(days, dtype=float) / in_egg, 2).astype(np.int64)
        counts = np.bincount(thirds, minlength=3)
        shares = WORTH * np.array([first, 1 - first - last, last]) + counts
        return cls(shares / shares.sum(), in_egg, len(days))

    def to_come(self, day: float) -> float:
        """Share of the eggs that will be lost that is still alive on a day after laying, in (0, 1]."""
        knots = self.in_egg_days * np.arange(4) / 3
        lost = np.interp(day, knots, np.concatenate([[0.0], np.cumsum(self.shares)]))
        # An egg past its time may still die in pipping.
        return float(max(1 - lost, 0.1 * self.shares[2]))

    def drawn_days(self, rng: np.random.Generator, n: int, day: float) -> Floats:
        """Days after laying on which eggs alive on a day are lost, drawn, shape (n,)."""
        knots = self.in_egg_days * np.arange(4) / 3
        upto = np.concatenate([[0.0], np.cumsum(self.shares)])
        gone = min(float(np.interp(day, knots, upto)), 1.0)
        return np.maximum(np.interp(gone + (1 - gone) * rng.random(n), upto, knots), day)

    def hatch_chance(self, rate: Floats | float, day: float) -> Floats | float:
        """Chance that an egg alive on a day hatches, where a good egg of its clutch does with a rate."""
        return rate / (rate + (1 - rate) * self.to_come(day))
