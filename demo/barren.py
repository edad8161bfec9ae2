"""Seasons that ended without a clutch: the matings, and what ultrasound showed of some.

With the clutches that were laid these bring the share of paired seasons with a clutch to about .5 for females that had
not laid before and about .7 for those that had (common practice, no source: .4 to .6 and .6 to .8).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from chance import Chance

from holdback.collection.model import Mating, PartialDate

LAYS_FIRST, LAYS_PROVEN = 0.5, 0.7
"""Shares that the seasons below were chosen for."""

SEASONS = (
    # Season, female, male.
    (2021, "20-24", "19-18"),
    (2021, "19-17", "19-15"),
    (2022, "17-08", "20-07"),
    (2022, "20-25", "20-22"),
    (2022, "20-21", "18-07"),
    (2022, "19-17", "19-15"),
    (2022, "19-16", "19-15"),
    (2022, "19-14", "19-18"),
    (2023, "19-14", "19-18"),
    (2023, "19-13", "18-05"),
    (2023, "20-23", "20-22"),
    (2023, "20-12", "19-05"),
    (2023, "18-14", "17-04"),
    (2024, "18-08", "18-07"),
    (2024, "20-08", "22-05"),
    (2024, "21-06", "20-10"),
    (2024, "20-09", "21-20"),
    (2024, "21-09", "19-18"),
    (2024, "21-21", "17-04"),
    (2025, "20-09", "21-20"),
    (2025, "21-09", "19-18"),
    (2025, "22-12", "19-18"),
)

EVENTS = (
    ("20-12", "2024-03-02", "ultrasound", 34.0, "mm", "largest follicle, 7 follicles"),
    ("21-06", "2024-03-10", "ultrasound", 17.0, "mm", "largest follicle"),
    ("21-06", "2024-05-12", "ultrasound", 9.0, "mm", "taken back"),
    ("20-09", "2025-04-06", "ultrasound", 8.0, "mm", "nothing grows"),
    ("21-03", "2025-02-22", "ultrasound", 33.0, "mm", "largest follicle, 7 follicles"),
)
"""Animal, day, kind, value, unit, note."""


def matings() -> Iterator[Mating]:
    """Two or three meetings in each of those seasons."""
    for season, dam, sire in SEASONS:
        chance = Chance("barren", season, dam)
        for days in (0, 27, 52)[: 2 + chance.below(2)]:
            start = dt.date(season, 1, 4) + dt.timedelta(days=days + chance.below(12))
            end = start + dt.timedelta(days=1 + chance.below(3))
            yield Mating(dam, sire, _date(start), _date(end), int(chance.happens(0.4)))


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)
