"""The working year over all records, kept for a day until the records or the keeper's rules change."""

from __future__ import annotations

import datetime as dt
import threading
from typing import TYPE_CHECKING

from holdback.bridge.cached import Shelf, catalogue_of_records, collection_of_records, records_fingerprint
from holdback.web.records.models import ANIMALS, CATALOGUE, PLACES, READINGS, SETTINGS
from holdback.web.records.overlay import SPECIES
from holdback.web.records.own_rules import own_rules
from holdback.web.records.room import egg_places, tubs_free

if TYPE_CHECKING:
    from holdback.answers.season import Season

DAYS_AHEAD = 28
"""What falls due within so many days is told: the Desk and the calendar look four weeks ahead."""

_shelf = Shelf(4)
_making = threading.RLock()


def season_of_records(on: dt.date, *, year: int | None = None, species: str = SPECIES) -> Season:
    """The working year as it stands on a day; its statistics count no looks, which need `answers`.

    Parameters
    ----------
    on : date
        The day.
    year : int, optional
        Season by the year of laying; the one that `on` lies in if left out.
    species : str
        Key of the species.

    Raises
    ------
    CollectionError
        With all faults, if the records do not hold together.
    """
    key = (species, on, year, records_fingerprint(ANIMALS, READINGS, PLACES, CATALOGUE, SETTINGS))
    with _making:
        found: Season | None = _shelf.get(key)
        if found is None:
            found = _made(on, year, species)
            _shelf.put(key, found)
    return found


def _made(on: dt.date, year: int | None, species: str) -> Season:
    from holdback.answers.season.season import LATELY, Season
    from holdback.season.due import Rules
    from holdback.season.load import Room

    own = own_rules()
    return Season(
        collection_of_records(species),
        catalogue_of_records(species),
        on=on,
        room=Room(egg_places=egg_places(), tubs=tubs_free(young_from=on - LATELY)),
        rules=Rules(
            meals_before_sale=own.meals_before_sale,
            ready_min_days=own.ready_min_days,
            candle_days=own.candle_days,
            days_ahead=DAYS_AHEAD,
        ),
        year=year,
    )
