"""Days in the egg against warmth: warmer is quicker.

The logarithm of the days falls in a straight line with the mean warmth; over the two or three degrees that eggs are
kept at, this is a straight line in days as well. The line is drawn from the usual days at the usual warmth and from how
much longer a cooler box takes, both of the species file, towards the keeper's own clutches. How warm a box is that
nobody measured is not known; every warmth it may have is counted with its chance.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holdback.collection.collection import Collection
from holdback.season.dam_regression import NORMAL_95
from holdback.species.catalogue import Catalogue

WARMTHS = 7
"""Points for a box that nobody measured."""

LIVES_C = (20.0, 40.0)
"""Readings outside these are slips: no egg lives there (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Warming:
    """How days in the egg depend on warmth.

    Parameters
    ----------
    at : float
        Warmth in degrees Celsius that the usual days hold for.
    slope, slope_sd : float
        Change of the logarithm of days a degree, below 0, and its standard deviation.
    usual, usual_sd : float
        Warmth of a box that nobody measured, and its standard deviation.
    """

    at: float
    slope: float
    slope_sd: float
    usual: float
    usual_sd: float

    @classmethod
    def of(cls, catalogue: Catalogue) -> Warming | None:
        """By the species file; None where it does not say what a degree does."""
        values = catalogue.reproduction
        days, at = values.get("incubation_days"), values.get("incubation_days_at_c")
        cooler, kept = values.get("incubation_days_per_degree_cooler"), values.get("incubation_temperature_c")
        if days is None or at is None or cooler is None or kept is None:
            return None
        return cls(
            at=at.value,
            slope=-cooler.value / days.value,
            slope_sd=(cooler.high - cooler.low) / (2 * NORMAL_95 * days.value),
            usual=(kept.low + kept.high) / 2,
            usual_sd=(kept.high - kept.low) / (2 * NORMAL_95),
        )

    def unmeasured(self, own: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Warmths of this keeper's unmeasured boxes and their chances.

        Parameters
        ----------
        own : array of shape (n,)
            Mean warmths of clutches that were measured.

        Returns
        -------
        tuple of arrays of shape (7,)
            Degrees above `at`, and chances. Measured boxes tell of unmeasured ones, each with the doubt of one.
        """
        precision = (1 + len(own)) / self.usual_sd**2
        centre = (self.usual + own.sum()) / (1 + len(own))
        sd = float(np.sqrt(self.usual_sd**2 + 1 / precision) if len(own) else self.usual_sd)
        z = np.linspace(-2.1, 2.1, WARMTHS)
        chances = np.exp(-(z**2) / 2)
        return centre + sd * z - self.at, chances / chances.sum()


def warmth_of(collection: Collection, clutch: str, *, first: dt.date, last: dt.date) -> float | None:
    """Mean warmth in degrees Celsius of the eggs of a clutch between two days; None where nobody wrote any.

    Parameters
    ----------
    collection : Collection
        Records.
    clutch : str
        Clutch id.
    first, last : date
        Days, both counted.

    Notes
    -----
    Readings of a day are averaged first, so that a day with many does not count more. A box without readings takes
    those of the place it stands in. Eggs in several boxes count each for its own.
    """
    boxes = [egg.box for egg in collection.eggs_of(clutch) if egg.box]
    found = {box: _warmth_of_place(collection, box, first, last) for box in set(boxes)}
    each = [mean for box in boxes if (mean := found[box]) is not None]
    return sum(each) / len(each) if each else None


def _warmth_of_place(collection: Collection, place: str, first: dt.date, last: dt.date) -> float | None:
    parts = place.split(" / ")
    for upto in range(len(parts), 0, -1):
        by_day: dict[dt.date, list[float]] = defaultdict(list)
        for one in collection.temperatures_of(" / ".join(parts[:upto])):
            is_slip = not LIVES_C[0] <= one.celsius <= LIVES_C[1]
            if first <= one.date.earliest <= last and not is_slip:
                by_day[one.date.earliest].append(one.celsius)
        if by_day:
            return sum(sum(each) / len(each) for each in by_day.values()) / len(by_day)
    return None
