"""Places for eggs and for young by week, from whole seasons drawn together.

In one draw all females share what is not known of the keeper: how long things take, how large clutches are, how many
eggs are slugs and how many hatch. So a bad season is bad for all, and the upper ends are not too near.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.season.clutch_counts import ClutchCounts
from holdback.season.intervals import Intervals
from holdback.season.outlook import ClutchOutlook, Load, Outlook, WeekLoad
from holdback.season.places_in_use import IntArray, PlacesInUse
from holdback.season.season_draws import SeasonDraws

SEASONS = 0.9
"""Share of the seasons in which the upper number is not passed."""


@dataclass(frozen=True, slots=True)
class Room:
    """Places there are.

    Parameters
    ----------
    egg_places : int or None
        Places for eggs in all incubators; None where nobody said.
    tubs : int or None
        Tubs free for young; None where nobody said.
    """

    egg_places: int | None = None
    tubs: int | None = None


@dataclass(frozen=True, slots=True)
class Drawing:
    """How seasons are drawn: weeks foretold, seasons, and the seed."""

    weeks: int = 40
    draws: int = 4000
    seed: int = 0


def load(
    outlooks: Sequence[Outlook],
    clutches: Sequence[ClutchOutlook],
    *,
    today: dt.date,
    intervals: Intervals,
    counts: ClutchCounts,
    room: Room,
    drawing: Drawing = Drawing(),
) -> Load:
    """Egg places and tubs for young in use, week by week.

    Parameters
    ----------
    outlooks : sequence of Outlook
        Females of the season.
    clutches : sequence of ClutchOutlook
        Clutches in the boxes, and those whose young are not sold yet.
    today : date
        Day of the outlook; the first week is that of this day.
    intervals : Intervals
        How long things take.
    counts : ClutchCounts
        Laws of numbers, with the records that they rest on.
    room : Room
        Places there are.
    drawing : Drawing
        How many seasons are drawn.

    Returns
    -------
    Load
        The number of a week is that of its fullest day. Slugs take no place; a lost egg leaves it on the day it is
        lost; a young leaves its tub when it is sold. Young that are kept are not told apart.
    """
    weeks, draws, seed = drawing.weeks, drawing.draws, drawing.seed
    monday = today - dt.timedelta(days=today.weekday())
    drawn = SeasonDraws(counts, intervals, today=today, draws=draws, seed=seed)
    eggs = PlacesInUse(draws, 7 * weeks, monday, today)
    young = PlacesInUse(draws, 7 * weeks, monday, today)
    for outlook in outlooks:
        if outlook.cycle.clutch is None and (outlook.laying is not None or outlook.cycle.laid is not None):
            drawn.to_be_laid(outlook, eggs, young)
    for clutch in clutches:
        drawn.in_the_box(counts.collection.clutches[clutch.clutch], clutch, eggs, young)
    egg_use, young_use = eggs.by_week(), young.by_week()
    errors = [use.std(axis=0).max() / np.sqrt(draws) for use in (egg_use, young_use)]
    return Load(
        eggs=_weeks(egg_use, monday),
        young=_weeks(young_use, monday),
        egg_places=room.egg_places,
        tubs_free=room.tubs,
        draws=draws,
        seed=seed,
        standard_error=float(max(errors)),
    )


def _weeks(use: IntArray, monday: dt.date) -> tuple[WeekLoad, ...]:
    """Expected and upper number of each week, the upper no less than the expected; use is (n_draws, n_weeks)."""
    rank = int(np.ceil(SEASONS * len(use))) - 1
    upper = np.partition(use, rank, axis=0)[rank]
    expected = use.mean(axis=0)
    upper = np.maximum(upper, np.rint(expected))
    return tuple(
        WeekLoad(monday + dt.timedelta(days=7 * week), float(expected[week]), int(upper[week]))
        for week in range(use.shape[1])
    )
