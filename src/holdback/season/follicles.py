"""What the largest follicle says: when she will ovulate, and whether she will lay at all.

Of a female that lays, the largest follicle grows by an even number of millimetres a day up to its size at ovulation and
before that stays idle. Of one that does not, it stays idle, or grows for a while and is taken back. How fast follicles
grow, how well they are measured and how many are taken back is assumed; that large ones may be taken back is published
(1 of 4 females; Journal of Herpetological Medicine and Surgery 26(3-4):108, abstract).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holdback.season.dam_regression import NORMAL_95
from holdback.season.days import DayLaw
from holdback.season.outlook import Follicle
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

FloatArray = NDArray[np.float64]

LARGE_MM = 20.0
"""Follicles from here on count as large (published, same abstract)."""


def _grid(n_points: int) -> tuple[FloatArray, FloatArray]:
    z = np.linspace(-2.8, 2.8, n_points)
    chances = np.exp(-(z**2) / 2)
    return z, chances / chances.sum()


_Z, _CHANCES = _grid(9)
_PACE, _PACE_CHANCES = _grid(41)
"""Finer, as several looks tell the pace of growth closely."""


@dataclass(frozen=True, eq=False)
class FollicleReading:
    """What looks by ultrasound say.

    Parameters
    ----------
    ovulation : DayLaw or None
        Day of ovulation, given that she lays; None where the looks do not fit the days it may be.
    log_ratio : float
        Logarithm of how much likelier the looks are of a female that lays; minus infinity where they do not fit.
    """

    ovulation: DayLaw | None
    log_ratio: float


@dataclass(frozen=True, slots=True)
class FollicleSizes:
    """Sizes in mm and growth, each with a middle and a standard deviation, by the species file.

    Parameters
    ----------
    at_ovulation, idle, taken_back : tuple of two floats
        Size at ovulation, of idle follicles, and of those that are taken back.
    log_growth : tuple of two floats
        Logarithm of millimetres a day.
    reading : float
        Standard deviation of a reading.
    taken_back_share : float
        Share of females that do not lay whose follicles grow at first.
    """

    at_ovulation: tuple[float, float]
    idle: tuple[float, float]
    taken_back: tuple[float, float]
    log_growth: tuple[float, float]
    reading: float
    taken_back_share: float

    @classmethod
    def of(cls, catalogue: Catalogue) -> FollicleSizes | None:
        """By the species file; None where it does not say how follicles grow."""
        values = catalogue.reproduction
        keys = (
            "ovulation_follicle_mm",
            "idle_follicle_mm",
            "taken_back_follicle_mm",
            "follicle_growth_mm_per_day",
            "follicle_reading_mm",
            "follicles_taken_back",
        )
        if any(key not in values for key in keys):
            return None
        at_ovulation, idle, taken_back, growth, reading, share = (values[key] for key in keys)
        log_growth = (
            (math.log(growth.low) + math.log(growth.high)) / 2,
            (math.log(growth.high) - math.log(growth.low)) / (2 * NORMAL_95),
        )
        return cls(_law(at_ovulation), _law(idle), _law(taken_back), log_growth, reading.value, share.value)

    def if_lays(self, looks: Sequence[Follicle], days: FloatArray) -> FloatArray:
        """Likelihood of the looks for each day she may ovulate on, array of the shape of `days` (ordinals).

        A day before a look cannot be: what was measured was not ovulated yet.
        """
        at_ovulation = self.at_ovulation[0] + self.at_ovulation[1] * _Z[:, None, None]
        growth = np.exp(self.log_growth[0] + self.log_growth[1] * _PACE)[:, None]
        total = np.ones((len(_Z), len(_PACE), len(days)))
        for look in looks:
            ahead = days - look.day.toordinal()
            size = np.maximum(self.idle[0], at_ovulation - growth * ahead)
            sd = np.where(size > self.idle[0], self.reading, math.hypot(self.reading, self.idle[1]))
            total *= np.where(ahead >= 0, _density(look.largest_mm, size, sd), 0.0)
        return np.asarray(np.einsum("dgt,d,g->t", total, _CHANCES, _PACE_CHANCES), dtype=float)

    def if_not(self, looks: Sequence[Follicle]) -> float:
        """Likelihood of the looks for a female that does not lay."""
        idle, taken_back = np.ones(len(_Z)), np.ones(len(_Z))
        for look in looks:
            idle *= _density(look.largest_mm, self.idle[0] + self.idle[1] * _Z, np.full(len(_Z), self.reading))
            level, sd = self.taken_back[0], self.taken_back[1] / math.sqrt(2)
            spread = np.full(len(_Z), math.hypot(sd, self.reading))
            taken_back *= _density(look.largest_mm, level + sd * _Z, spread)
        share = self.taken_back_share
        return float((1 - share) * (idle @ _CHANCES) + share * (taken_back @ _CHANCES))


def read_follicles(looks: Sequence[Follicle], prior: DayLaw, catalogue: Catalogue) -> FollicleReading | None:
    """What looks say together of ovulation and of laying.

    Parameters
    ----------
    looks : sequence of Follicle
        Looks at one female in one season.
    prior : DayLaw
        Day of ovulation as far as it is known without the looks, given that she lays.
    catalogue : Catalogue
        Species.

    Returns
    -------
    FollicleReading or None
        None without a look, or where the species file does not say how follicles grow.
    """
    sizes = FollicleSizes.of(catalogue)
    if sizes is None or not looks:
        return None
    days = prior.first + np.arange(len(prior.chances), dtype=float)
    weights = prior.chances * sizes.if_lays(looks, days)
    total = float(weights.sum())
    if not total > 0:
        return FollicleReading(None, -math.inf)
    return FollicleReading(DayLaw.of(prior.first, weights), math.log(total) - math.log(sizes.if_not(looks)))


def _law(value: Value) -> tuple[float, float]:
    return (value.low + value.high) / 2, (value.high - value.low) / (2 * NORMAL_95)


def _density(seen: float, size: FloatArray, sd: FloatArray) -> FloatArray:
    z = (seen - size) / sd
    return np.asarray(np.exp(-(z**2) / 2) / (sd * math.sqrt(2 * math.pi)), dtype=float)
