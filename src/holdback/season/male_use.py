"""How each male was used in each season, what came of it, and what it cost him."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.estimate import Estimate
from holdback.season.by_season import first_day, season_of
from holdback.season.cycles import cycles, past_seasons
from holdback.season.hatch_records import SET_ASIDE, HatchRecord
from holdback.season.outlook import Rate
from holdback.season.rates import Counted, rates
from holdback.season.trend import trend
from holdback.size.readings import Readings
from holdback.species.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class MaleSeason:
    """One male in one season.

    Parameters
    ----------
    sire : str
        Animal id.
    season : int
        Year of laying.
    females, matings, locks : int
        Females he was with, times, and locks counted.
    clutches : float
        Expected clutches of his: the weights of the clutches that may be his, summed.
    slugs : Rate or None
        Share of slugs in them, drawn towards all males and seasons; None where no slugs were counted.
    mass_change : Estimate or None
        In percent, to his last weight in the season, from the highest of the half year before that the season holds;
        None where he was not weighed twice.
    """

    sire: str
    season: int
    females: int
    matings: int
    locks: int
    clutches: float
    slugs: Rate | None
    mass_change: Estimate | None


def male_use(
    collection: Collection,
    records: Sequence[HatchRecord],
    *,
    readings: Readings,
    catalogue: Catalogue,
    today: dt.date,
) -> tuple[MaleSeason, ...]:
    """Every male in every season in which he was with a female or may have sired a clutch, the latest season first.

    Parameters
    ----------
    collection : Collection
        Records.
    records : sequence of HatchRecord
        Clutches.
    readings : Readings
        Weights, for those that count.
    catalogue : Catalogue
        Species.
    today : date
        Nothing recorded after it is used.
    """
    before = today + dt.timedelta(days=1)
    this = season_of(today, catalogue)
    every = [*past_seasons(collection, catalogue, before), *cycles(collection, this, catalogue, before=before).values()]
    used: dict[tuple[str, int], list[tuple[str, int]]] = {}
    for cycle in every:
        for one in cycle.together:
            used.setdefault((one.sire, cycle.season), []).append((cycle.dam, one.locks))
    clutches: dict[tuple[str, int], float] = {}
    for record in records:
        for sire in record.sires if record.year is not None else ():
            key = (sire.animal, record.year or 0)
            clutches[key] = clutches.get(key, 0.0) + sire.weight
    slugs = {rate.group: rate for rate in rates(list(_slugs(records))).groups}
    found = [
        MaleSeason(
            sire=sire,
            season=season,
            females=len({dam for dam, _ in used.get((sire, season), ())}),
            matings=len(used.get((sire, season), ())),
            locks=sum(locks for _, locks in used.get((sire, season), ())),
            clutches=clutches.get((sire, season), 0.0),
            slugs=slugs.get(f"{sire} {season}"),
            mass_change=_mass_change(readings, sire, season, catalogue, today),
        )
        for sire, season in {**used, **clutches}
    ]
    return tuple(sorted(found, key=lambda one: (-one.season, -one.females, one.sire)))


def _slugs(records: Sequence[HatchRecord]) -> Iterator[Counted]:
    """Slugs of each clutch, for each male and season it may be of."""
    for record in records:
        if record.slugs is not None and record.laid and record.year is not None and record.left_out != SET_ASIDE:
            for sire in record.sires:
                yield Counted(f"{sire.animal} {record.year}", record.clutch, record.laid, record.slugs, sire.weight)


def _mass_change(readings: Readings, sire: str, season: int, catalogue: Catalogue, today: dt.date) -> Estimate | None:
    """Change within a season by the weights that count, as it stood on the day of the last one."""
    first, end = first_day(season, catalogue).toordinal(), first_day(season + 1, catalogue).toordinal()
    within = [one for one in readings.by_animal.get(sire, ()) if first <= one.day < min(end, today.toordinal() + 1)]
    days = [int(one.day) for one in within if one.counts]
    found = trend(within, today=dt.date.fromordinal(max(days))) if days else None
    return found.change_percent if found else None
