"""Where an animal grew up, as far as the records tell."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.model import Animal
from holdback.size.readings import HatchDay

GROWN_DAYS = 730.0
"""A place it came to at this age or later says nothing of how it grew (common practice, no source)."""

FEWEST = 4
"""Animals that grew up in a place from which on it counts as a room (an assumption)."""

BRED_HERE = "bred here"
RAISED_ELSEWHERE = "raised elsewhere"

_TOPMOST = re.compile(r"\s*[,·]\s*|\s+/\s+")


def rearing_of(collection: Collection, hatched: Mapping[str, HatchDay]) -> dict[str, str]:
    """By animal: the topmost place of its first stay while it grew, else whether it was bred here or raised elsewhere.

    Parameters
    ----------
    collection : Collection
        Records; a stay is an event of the kind "moved" with the place in its note, the largest first.
    hatched : mapping of str to HatchDay
        Days of hatching; an animal without one may have been grown when it came.

    Notes
    -----
    A place of fewer than `FEWEST` such animals is a tub rather than a room, and says nothing of how animals were kept.
    """
    first = _first_places(collection, hatched)
    n_of = Counter(first.values())
    rooms = {animal: room for animal, room in first.items() if n_of[room] >= FEWEST}
    return {animal.id: rooms.get(animal.id) or _by_birth(animal, collection) for animal in collection.animals.values()}


def _first_places(collection: Collection, hatched: Mapping[str, HatchDay]) -> dict[str, str]:
    """Topmost place of the first stay of each animal that was not grown then."""
    stays: dict[str, tuple[float, str]] = {}
    for event in collection.records.events:
        if event.kind.casefold() == "moved" and event.note.strip():
            stay = (float(event.date.earliest.toordinal()), topmost(event.note))
            stays[event.animal] = min(stay, stays.get(event.animal, stay))
    return {
        animal: room
        for animal, (day, room) in stays.items()
        if animal in hatched and day < hatched[animal].middle + GROWN_DAYS
    }


def topmost(place: str) -> str:
    """The largest place of those written, which stands first: "room 1" of "room 1 / rack B / tub 4"."""
    return _TOPMOST.split(place.strip(), maxsplit=1)[0]


def _by_birth(animal: Animal, collection: Collection) -> str:
    """Bred here where its clutch was laid by a dam on record, else raised elsewhere."""
    clutch = collection.clutches.get(animal.clutch or "")
    if clutch is not None and clutch.dam is not None:
        return BRED_HERE
    return RAISED_ELSEWHERE
