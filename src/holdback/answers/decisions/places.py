"""Places that the clutches of a season to come would take, week by week and female by female."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from holdback.decisions.season_plan.plan_input import FloatArray, WeeklyLoad
from holdback.season.assumed import assumed
from holdback.season.by_season import first_day
from holdback.season.cycles import past_seasons
from holdback.season.days import DayLaw
from holdback.season.laying_past import Past
from holdback.season.outlook import CountLaw, Cycle, Together

if TYPE_CHECKING:
    from holdback.answers.season import Season
    from holdback.decisions.stock import Stock

_WEEKS = 60
"""From the first Monday of the season: laying to July, the last young sold in the autumn after."""
_PAIRED = -10.0
"""Day of the year on which a male goes in, where the species file says nothing (22 December)."""


def weeks_of(year: int, season: Season) -> tuple[dt.date, ...]:
    """Mondays from the start of a season on."""
    first = first_day(year, season.catalogue)
    monday = first - dt.timedelta(days=first.weekday())
    return tuple(monday + dt.timedelta(weeks=week) for week in range(_WEEKS))


def loads_of(stock: Stock, females: tuple[str, ...], year: int, season: Season) -> tuple[WeeklyLoad, ...]:
    """Egg places and tubs that each female's clutch would take, where somebody said how many there are.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    females : tuple of str
        Ids, the rows of the loads.
    year : int
        Season planned, by the year of laying.
    season : Season
        The working year as it stands: days of laying, days in the egg, places.

    Notes
    -----
    Her place in a week is taken if she lays and the week lies between laying and hatching (for tubs: between hatching
    and the mean day of sale). Number and day are taken as independent.
    """
    mondays = weeks_of(year, season)
    past = Past.learned(
        past_seasons(season.collection, season.catalogue, season.on + dt.timedelta(days=1)), season.catalogue
    )
    in_egg = round(assumed(season.catalogue, "incubation_days").value)
    in_tub = round(
        assumed(season.catalogue, "ready_to_sell_days").value + assumed(season.catalogue, "sold_after_ready_days").value
    )
    room = season.room
    found = []
    for name, places, after, length, laws in (
        ("egg places", room.egg_places, 0, in_egg, stock.eggs),
        ("tubs for young", room.tubs, in_egg, in_tub, stock.young),
    ):
        if places is None:
            continue
        rows = [
            _row(laws[at], float(stock.lays[at]), _taken(_laying(past, dam, year, season), mondays, after, length))
            for dam, at in ((dam, stock.index(dam)) for dam in females)
        ]
        mean, sd = (np.array([row[part] for row in rows]).reshape(len(females), len(mondays)) for part in (0, 1))
        nothing = np.zeros(len(mondays))
        found.append(WeeklyLoad(name, mean, sd, np.full(len(mondays), float(places)), nothing, nothing))
    return tuple(found)


def _laying(past: Past, dam: str, year: int, season: Season) -> DayLaw | None:
    """Days on which she lays if she is paired at the usual time."""
    usual = season.catalogue.reproduction.get("pairing_day_of_year")
    day = round(usual.value if usual else _PAIRED)
    paired = dt.date(year, 1, 1) + dt.timedelta(days=day - 1)
    return past.laying_law(Cycle(dam, year, (Together("", paired, None),)), season.catalogue)


def _taken(laying: DayLaw | None, mondays: tuple[dt.date, ...], after: int, length: int) -> FloatArray:
    """Chance that her places are taken on each Monday, given that she lays; certain where no day can be told."""
    if laying is None:
        return np.ones(len(mondays))
    begun = [laying.chance_by(monday - dt.timedelta(days=after)) for monday in mondays]
    ended = [laying.chance_by(monday - dt.timedelta(days=after + length)) for monday in mondays]
    taken: FloatArray = np.maximum(np.array(begun) - np.array(ended), 0.0)
    return taken


def _row(law: CountLaw, lays: float, taken: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation of the places taken week by week."""
    numbers = np.arange(len(law.chances))
    chance = lays * taken
    mean = chance * law.mean
    return mean, np.sqrt(np.maximum(chance * float(numbers**2 @ law.chances) - mean**2, 0.0))
