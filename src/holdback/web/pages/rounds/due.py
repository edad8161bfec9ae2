"""Which animals are due to be weighed or fed."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Mapping

from holdback.bridge.around import keys_named
from holdback.bridge.season import season_of_records
from holdback.errors import CollectionError
from holdback.web.records.overlay import SPECIES

KINDS: Mapping[str, frozenset[str]] = {
    "weigh": frozenset({"weigh"}),
    "feed": frozenset({"feed", "first meal"}),
    "both": frozenset({"weigh", "feed", "first meal"}),
}
"""What is done on a round to the kinds of things due that it settles."""


def due_animals(on: dt.date, deeds: str) -> tuple[uuid.UUID, ...] | None:
    """Keys of the animals that are due; None, for all, where the records do not hold together.

    Parameters
    ----------
    on : date
        The day.
    deeds : str
        Key of `KINDS`.
    """
    try:
        due = season_of_records(on).due
    except CollectionError:
        return None
    names = {one.subject for one in due if one.kind in KINDS[deeds] and not one.is_clutch and one.first <= on}
    return tuple(keys_named(sorted(names), species=SPECIES))
