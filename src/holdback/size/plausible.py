"""What an animal of an age can weigh at all, far wider than what is usual.

Large-bodied lines lie inside (adults over 7,000 g, hatchlings over 120 g: common practice, no source). The usual masses
are the growth rows of the species file.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import Sex
from holdback.size.readings import HatchDay
from holdback.species.catalogue import Catalogue

TIMES_LIGHTER = 4.0
TIMES_HEAVIER = 5.0
"""How many times below or above the usual range of its age an animal is asked about (common practice, no source)."""

DAYS_PER_MONTH = 365.25 / 12


@dataclass(frozen=True)
class Usual:
    """Usual masses by age, all as natural logarithms of gram.

    Parameters
    ----------
    ages : mapping of Sex to list of float
        Ages in days, ascending.
    lows, highs : mapping of Sex to list of float
        Ends of the usual range at those ages.
    """

    ages: Mapping[Sex, Sequence[float]]
    lows: Mapping[Sex, Sequence[float]]
    highs: Mapping[Sex, Sequence[float]]

    @classmethod
    def of(cls, catalogue: Catalogue) -> Usual:
        """Usual masses by the species file; for an animal of unknown sex both sexes together."""
        rows = sorted(catalogue.growth, key=lambda row: row.age_months)
        ages, lows, highs = {}, {}, {}
        for sex in Sex:
            of_sex = [row for row in rows if sex is Sex.UNKNOWN or row.sex == sex.value]
            months = sorted({row.age_months for row in of_sex})
            at = {month: [row for row in of_sex if row.age_months == month] for month in months}
            ages[sex] = [month * DAYS_PER_MONTH for month in months]
            lows[sex] = [math.log(min(row.low_g for row in at[month])) for month in months]
            highs[sex] = [math.log(max(row.high_g for row in at[month])) for month in months]
        return cls(ages, lows, highs)

    def middle(self, sex: Sex, age: float) -> float | None:
        """Middle of the usual range at an age in days, beyond the last row that of the oldest; None without rows."""
        if not self.ages[sex]:
            return None
        return (_at(self.ages[sex], self.lows[sex], age) + _at(self.ages[sex], self.highs[sex], age)) / 2

    def bounds(self, sex: Sex, hatched: HatchDay | None, day: float) -> tuple[float, float]:
        """Least and most it can weigh on a day; those of any age where its age is not known, none without rows.

        Parameters
        ----------
        sex : Sex
            As recorded.
        hatched : HatchDay or None
            When it hatched.
        day : float
            Ordinal day.
        """
        ages, lows, highs = self.ages[sex], self.lows[sex], self.highs[sex]
        if not ages:
            return -math.inf, math.inf
        if hatched is None:
            low, high = lows[0], highs[-1]
        else:
            low = _at(ages, lows, max(day - hatched.latest, 0.0))
            high = _at(ages, highs, max(day - hatched.earliest, 0.0))
        return low - math.log(TIMES_LIGHTER), high + math.log(TIMES_HEAVIER)


def _at(ages: Sequence[float], values: Sequence[float], age: float) -> float:
    """Value at an age, on straight lines between the rows and level beyond them."""
    right = bisect_right(ages, age)
    if right == 0:
        return values[0]
    if right == len(ages):
        return values[-1]
    part = (age - ages[right - 1]) / (ages[right] - ages[right - 1])
    return values[right - 1] + part * (values[right] - values[right - 1])
