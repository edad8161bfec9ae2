"""From days to places along a band."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from holdback.answers.season.words import MONTHS
from holdback.season.days import DayLaw
from holdback.season.outlook import Outlook

_SEEN = 0.95
"""Part of a window that the bands have room for."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Days from the left end of a band to its right end.

    Parameters
    ----------
    first, last : date
        First and last day.
    """

    first: dt.date
    last: dt.date

    @classmethod
    def holding(cls, first: dt.date, end: dt.date, outlooks: Iterable[Outlook]) -> Scale:
        """Scale of a season that ends on a day, longer where windows reach further; it ends with a month."""
        laws = (law for one in outlooks for law in laws_of(one))
        last = max([end, *(law.day_by(_SEEN) for law in laws)])
        after = (last.replace(day=1) + dt.timedelta(days=31)).replace(day=1)
        return cls(first, after - dt.timedelta(days=1))

    @property
    def n_days(self) -> int:
        """Days in all."""
        return (self.last - self.first).days + 1

    def at(self, day: float | dt.date) -> float:
        """Place of the middle of a day in percent, held within the band; a day may be an ordinal."""
        ordinal = day.toordinal() if isinstance(day, dt.date) else day
        share = (ordinal - self.first.toordinal() + 0.5) / self.n_days
        return 100 * min(max(share, 0.0), 1.0)

    def holds(self, day: dt.date) -> bool:
        """Whether a day lies on the band."""
        return self.first <= day <= self.last

    @property
    def months(self) -> list[tuple[float, str]]:
        """Left end of each month, and its name in three letters."""
        found, day = [], self.first
        while day <= self.last:
            found.append((100 * (day - self.first).days / self.n_days, MONTHS[day.month - 1][:3]))
            day = (day.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
        return found


def laws_of(outlook: Outlook) -> list[DayLaw]:
    """Laws of the days that a band draws: laying and hatching, and those of the young once they are out."""
    windows = [outlook.shedding, outlook.laying, outlook.hatching]
    if outlook.cycle.has_hatched:
        windows.append(outlook.ready)
    return [one.law for one in windows if one is not None]
