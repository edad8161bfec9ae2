"""Where an animal grew up, as far as the records tell."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.model import Animal
from holdback.size.readings import HatchDay

GROWN_DAYS = 730.0
"""A place it came to at this age or later says nothing of how it grew (common practice, no source)."""

BRED_HERE = "bred here"
RAISED_ELSEWHERE = "raised elsewhere"

_TOPMOST = re.compile(r"\s*[,·]\s*")


def rearing_of(collection: Collection, hatched: Mapping[str, HatchDay]) -> dict[str, str]:
    """By animal: the topmost place of its first stay while it grew, else whether it was bred here or raised elsewhere.

    Parameters
    ----------
    collection : Collection
        Records; a stay is an event of the kind "moved" with the place in its note, the topmost part first.
    hatched : mapping of str to HatchDay
        Days of hatching.
    """
    rooms = _rooms(collection, hatched)
    return {animal.id: rooms.get(animal.id) or _by_birth(animal, collection) for animal in collection.animals.values()}


def _rooms(collection: Collection, hatched: Mapping[str, HatchDay]) -> dict[str, str]:
    moves: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for event in collection.records.events:
        if event.kind.casefold() == "moved" and event.note.strip():
            moves[event.animal].append((float(event.date.earliest.toordinal()), topmost(event.note)))
    found = {}
    for animal, stays in moves.items():
        day, room = min(stays)
        if animal in hatched and day < hatched[animal].middle + GROWN_DAYS:
            found[animal] = room
    return found


def topmost(place: str) -> str:
    """The largest place of those written, which stands first: "Room 1" of "Room 1, rack B, tub 4"."""
    return _TOPMOST.split(place.strip(), maxsplit=1)[0]


def _by_birth(animal: Animal, collection: Collection) -> str:
    clutch = collection.clutches.get(animal.clutch or "")
    if clutch is not None and clutch.dam is not None:
        return BRED_HERE
    return RAISED_ELSEWHERE
