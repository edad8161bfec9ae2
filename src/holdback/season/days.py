"""A day that is not known yet, as chances over the days it may be.

All laws are discrete: one chance a calendar day, as proleptic Gregorian ordinals, so that a leap year needs no care.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

TINY = 1e-9
"""Chance below which the ends of a law are cut off."""

Chances = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class DayLaw:
    """Chances of the days something may happen on.

    Parameters
    ----------
    first : int
        Ordinal of the first day (`datetime.date.toordinal`).
    chances : array of shape (n_days,)
        Chance of each day from `first` on; they sum to 1.
    """

    first: int
    chances: Chances

    @classmethod
    def of(cls, first: int, weights: Chances) -> DayLaw:
        """Law of weights that need not sum to 1; ends of next to no chance are cut off.

        Raises
        ------
        ValueError
            If no weight is above 0.
        """
        total = float(weights.sum())
        if not total > 0 or not np.isfinite(total):
            raise ValueError("a day that cannot be has no law")
        chances = weights / total
        kept = np.flatnonzero(chances > TINY)
        low, high = int(kept[0]), int(kept[-1]) + 1
        part = chances[low:high]
        return cls(first + low, part / part.sum())

    @classmethod
    def on(cls, day: dt.date) -> DayLaw:
        """The law of a day that is known."""
        return cls(day.toordinal(), np.ones(1))

    @classmethod
    def between(cls, first: dt.date, last: dt.date) -> DayLaw:
        """Every day from the first to the last alike."""
        n_days = last.toordinal() - first.toordinal() + 1
        return cls(first.toordinal(), np.full(n_days, 1 / n_days))

    @classmethod
    def mixture(cls, parts: Iterable[tuple[float, DayLaw]]) -> DayLaw:
        """Law of one of several, each with its weight."""
        found = [(weight, law) for weight, law in parts if weight > 0]
        first = min(law.first for _, law in found)
        last = max(law.last for _, law in found)
        weights = np.zeros(last - first + 1)
        for weight, law in found:
            weights[law.first - first : law.last - first + 1] += weight * law.chances
        return cls.of(first, weights)

    @property
    def last(self) -> int:
        """Ordinal of the last day that can be."""
        return self.first + len(self.chances) - 1

    @property
    def mean(self) -> float:
        """Expected day, as an ordinal with a fraction."""
        return self.first + float(np.arange(len(self.chances)) @ self.chances)

    @property
    def sd(self) -> float:
        """Standard deviation in days."""
        days = np.arange(len(self.chances))
        centre = float(days @ self.chances)
        return float(np.sqrt(((days - centre) ** 2) @ self.chances))

    @property
    def likeliest(self) -> dt.date:
        """The likeliest day."""
        return dt.date.fromordinal(self.first + int(np.argmax(self.chances)))

    @property
    def median(self) -> dt.date:
        """Day by which it has happened in half of the cases."""
        return self.day_by(0.5)

    def day_by(self, share: float) -> dt.date:
        """First day by which it has happened in at least a share of the cases."""
        index = int(np.searchsorted(np.cumsum(self.chances), share - 1e-12))
        return dt.date.fromordinal(self.first + min(index, len(self.chances) - 1))

    def window(self, coverage: float = 0.8) -> tuple[dt.date, dt.date]:
        """First and last day of the middle part that holds at least a share of the cases."""
        outside = (1 - coverage) / 2
        return self.day_by(outside), self.day_by(1 - outside)

    def chance_by(self, day: dt.date) -> float:
        """Chance that it has happened by the end of a day."""
        upto = day.toordinal() - self.first + 1
        return float(self.chances[: max(upto, 0)].sum())

    def chance_on(self, day: dt.date) -> float:
        """Chance of a day."""
        index = day.toordinal() - self.first
        return float(self.chances[index]) if 0 <= index < len(self.chances) else 0.0

    def after(self, day: dt.date) -> DayLaw | None:
        """Law where it is known not to have happened by the end of a day; None where that cannot be."""
        skip = max(day.toordinal() - self.first + 1, 0)
        rest = self.chances[skip:]
        if rest.sum() <= TINY:
            return None
        return DayLaw.of(self.first + skip, rest)

    def plus(self, length: DayLaw) -> DayLaw:
        """Law of a day that comes a length of days later; the length is a law over numbers of days from 0."""
        return DayLaw.of(self.first + length.first, np.convolve(self.chances, length.chances))

    def times(self, other: DayLaw) -> DayLaw | None:
        """What two sources that do not depend on each other say together; None where they cannot both hold."""
        first, last = max(self.first, other.first), min(self.last, other.last)
        if first > last:
            return None
        product = (
            self.chances[first - self.first : last - self.first + 1]
            * other.chances[first - other.first : last - other.first + 1]
        )
        return DayLaw.of(first, product) if product.sum() > 0 else None
