"""Growth curves of animals of a fitted collection, at any age."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from holdback.collection.estimate import Estimate
from holdback.collection.model import Sex

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Range:
    """Empty mass over ages, in gram.

    Parameters
    ----------
    age_months : float array, shape (n,)
        Ages.
    low, median, high : float array, shape (n,)
        90 % range and the middle.
    """

    age_months: FloatArray
    low: FloatArray
    median: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True)
class YoungSize:
    """What young of a pair would be.

    Parameters
    ----------
    deviation : Estimate
        Mean of their adult deviations against ordinary animals, in percent; 90 % range of that mean.
    one_young : Estimate
        The same for a single young, chance in meiosis and growing up included.
    female_g, male_g : Estimate
        Adult mass of one daughter and one son, in gram.
    """

    deviation: Estimate
    one_young: Estimate
    female_g: Estimate
    male_g: Estimate


class CurvesOf(Protocol):
    """Growth curves of animals of a fitted collection, and of ordinary ones."""

    def of(self, animal: str, age_months: Sequence[float] | FloatArray) -> Range:
        """Empty mass of an animal over ages, with the 90 % range of its true empty mass.

        Ages are its own; where the day of hatching is not known they count from its first weight.
        """

    def ordinary(self, sex: Sex, age_months: Sequence[float] | FloatArray) -> Range:
        """Nine in ten ordinary animals of a sex (nothing of any line), as they weigh empty on a scale."""

    def age_at(self, animal: str, day: float) -> float:
        """Age in months on an ordinal day; since its first weight where it is not known when it hatched."""

    def young(self, sire: str, dam: str) -> YoungSize:
        """What young of two animals would be."""
