"""The standard deviations of the growth model, as one vector for the search and by name for the equations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Trait
from holdback.size.growth.data import HEADS

FloatArray = npt.NDArray[np.float64]

HERITABILITY_PRIOR = (2.5, 3.5)
"""Beta prior of the heritability within lines: 0.42, most likely 0.13 to 0.73. No published value of the species."""
START_SD = 0.5
"""Of the first weight of an animal of unknown age about the start of its curve, on the log scale."""

_ASSUMED = {
    "scale": (0.05, 0.5),
    "hatching": (0.08, 0.5),
    "clutch": (0.06, 0.6),
    "rate": (0.15, 0.5),
    "adult": (0.16, 0.5),
}
"""Typical standard deviation on the log scale, and the standard deviation of its logarithm; all assumed."""
_LENGTH, _HEAD = (0.02, 0.5), (0.03, 0.5)


@dataclass(frozen=True, eq=False)
class Spread:
    """Standard deviations on the log scale.

    Parameters
    ----------
    logs : float array, shape (n_spreads,)
        Their logarithms; the heritability comes last, as log(h2 / (1 - h2)).
    traits : tuple of Trait
        Traits with a reading, mass first.
    """

    logs: FloatArray
    traits: tuple[Trait, ...]

    @classmethod
    def assumed(cls, traits: tuple[Trait, ...]) -> Spread:
        """The typical values."""
        a, b = HERITABILITY_PRIOR
        return cls(np.append(_centres(traits), np.log(a / b)), traits)

    def moved(self, logs: FloatArray) -> Spread:
        """The same with other values."""
        return Spread(logs, self.traits)

    @property
    def scale(self) -> FloatArray:
        """Of one reading about its curve, by trait, shape (n_traits,)."""
        found = np.exp(self.logs[[0, *range(5, 5 + len(self.traits) - 1)]])
        return np.asarray(found)

    @property
    def hatching(self) -> float:
        """Of hatching mass within clutches."""
        return float(np.exp(self.logs[1]))

    @property
    def clutch(self) -> float:
        """Of clutches at hatching."""
        return float(np.exp(self.logs[2]))

    @property
    def rate(self) -> float:
        """Of the growth rate."""
        return float(np.exp(self.logs[3]))

    @property
    def adult(self) -> float:
        """Of adult deviations within lines, genes and lasting environment together."""
        return float(np.exp(self.logs[4]))

    @property
    def traits_own(self) -> FloatArray:
        """Of an animal's own length or head against its mass, shape (n_traits - 1,)."""
        start = 5 + len(self.traits) - 1
        return np.asarray(np.exp(self.logs[start : start + len(self.traits) - 1]))

    @property
    def heritability(self) -> float:
        """Share of `adult` squared that is additive genetic."""
        return float(1.0 / (1.0 + np.exp(-self.logs[-1])))

    @property
    def additive_variance(self) -> float:
        """Variance of additive values."""
        return self.adult**2 * self.heritability

    @property
    def lasting_variance(self) -> float:
        """Variance of the lasting environment."""
        return self.adult**2 * (1.0 - self.heritability)

    def log_prior(self) -> tuple[float, FloatArray, FloatArray]:
        """Logarithm of the prior density of `logs`, its slopes, and minus its curvatures."""
        centres, sds = _centres(self.traits), _widths(self.traits)
        away = self.logs[:-1] - centres
        a, b = HERITABILITY_PRIOR
        h2 = self.heritability
        density = -0.5 * float(np.sum((away / sds) ** 2)) + a * np.log(h2) + b * np.log1p(-h2)
        slopes = np.append(-away / sds**2, a - (a + b) * h2)
        return float(density), slopes, np.append(1.0 / sds**2, (a + b) * h2 * (1.0 - h2))


def _prior(traits: tuple[Trait, ...]) -> list[tuple[float, float]]:
    others = [_HEAD if trait in HEADS else _LENGTH for trait in traits[1:]]
    return [*_ASSUMED.values(), *others, *others]


def _centres(traits: tuple[Trait, ...]) -> FloatArray:
    return np.asarray(np.log(np.array([typical for typical, _ in _prior(traits)])))


def _widths(traits: tuple[Trait, ...]) -> FloatArray:
    return np.array([width for _, width in _prior(traits)])
