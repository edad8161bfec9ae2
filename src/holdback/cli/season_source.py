"""The working year that a command is asked about."""

from __future__ import annotations

import argparse
import datetime as dt
from typing import TYPE_CHECKING

from holdback.answers.season.words import day_asked

if TYPE_CHECKING:
    from holdback.answers.season import Season


def season_asked(arguments: argparse.Namespace) -> Season:
    """Season by ``--from``, ``--on`` and ``--year``.

    A folder stands on the day asked for, else on today; so do the records of the database.

    Raises
    ------
    HoldbackError
        SEA-102 if the day is no date, or as reading the records raises.
    """
    year = getattr(arguments, "year", None)
    if arguments.folder is None:
        from holdback.cli.sources import start_django

        start_django()
        from holdback.bridge.season import season_of_records
        from holdback.web.records import clock

        return season_of_records(day_asked(arguments.on) or clock.today(), year=year)
    from holdback.answers.season import Season
    from holdback.answers.season.room import room_of
    from holdback.cli.sources import collection_from
    from holdback.species.catalogue import load

    collection = collection_from(arguments.folder)
    day = day_asked(arguments.on) or dt.date.today()  # noqa: DTZ011 - the day where the keeper sits
    return Season(collection, load(collection.species), on=day, room=room_of(collection, day), year=year)
