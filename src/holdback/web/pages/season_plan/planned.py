"""Pairings on record that are planned and not yet put together, for the Season page and the Desk."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.answers.decisions.readiness import latest_pairing, next_open
from holdback.bridge import catalogue_of_records, collection_of_records
from holdback.bridge.projects import planned_of_records
from holdback.collection.projects import PairingState
from holdback.errors import HoldbackError
from holdback.season.by_season import first_day
from holdback.web.pages.season.names import Names
from holdback.web.records.models import PlannedPairing


@dataclass(frozen=True, slots=True)
class PlannedSeason:
    """Planned pairings of a season.

    Parameters
    ----------
    year : int
        Season, by the year of laying.
    open : tuple of PlannedPairing
        Not yet put together; locked ones first.
    n_made : int
        Planned ones that were put together.
    is_on : bool
        Whether it is the time to put them together.
    can_plan : bool
        Whether the season can still be planned.
    last : date
        Last day on which a pair put together is still expected to lay that season.
    """

    year: int
    open: tuple[PlannedPairing, ...]
    n_made: int
    is_on: bool
    can_plan: bool
    last: dt.date


def _planned(years: Sequence[int], today: dt.date) -> list[PlannedSeason]:
    """What is planned for some seasons, as it stands on a day; one query, and the kept collection."""
    rows = PlannedPairing.objects.filter(year__in=years).exclude(state=PairingState.DROPPED.value)
    rows = rows.select_related("dam", "sire", "project").order_by("state", "dam__tag")
    return [_of_year(year, [one for one in rows if one.year == year], today) for year in years]


def _of_year(year: int, rows: Sequence[PlannedPairing], today: dt.date) -> PlannedSeason:
    catalogue = catalogue_of_records()
    made = _made(year) if rows else set()
    left = tuple(one for one in rows if (one.dam_id, one.sire_id) not in made)
    last = latest_pairing(year, catalogue)
    is_on = first_day(year, catalogue) <= today <= last
    return PlannedSeason(year, left, len(rows) - len(left), is_on, today <= last, last)


def _made(year: int) -> set[tuple[uuid.UUID, uuid.UUID]]:
    """Keys of the pairs of a season that were put together."""
    try:
        pairs = [(one.pairing.dam, one.pairing.sire) for one in planned_of_records(year) if one.is_made]
        keys = Names.of(collection_of_records(), {animal for pair in pairs for animal in pair}).keys if pairs else {}
    except HoldbackError:
        return set()  # the records do not hold together, which other pages tell
    return {(keys[dam], keys[sire]) for dam, sire in pairs if dam in keys and sire in keys}


def planned_from(year: int, today: dt.date) -> list[PlannedSeason]:
    """What is planned for a season and, seen from the one that runs, for the next that is open."""
    open_year = next_open(today, catalogue_of_records())
    years = sorted({year, open_year}) if open_year - year in (0, 1) else [year]
    return [one for one in _planned(years, today) if one.open or one.n_made or one.year == open_year]


def planned_now(today: dt.date) -> PlannedSeason | None:
    """What is to be put together now; None out of season, or where nothing is planned."""
    found = _planned([next_open(today, catalogue_of_records())], today)[0]
    return found if found.is_on and found.open else None
