"""Places for eggs and young that a collection tells of."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from holdback.answers.season.season import LATELY
from holdback.collection.collection import Collection
from holdback.collection.event_kinds import MOVED, kind_of
from holdback.season.as_of import as_of
from holdback.season.cycles import is_gone
from holdback.season.load import Room

INCUBATOR, TUB = "incubator", "tub"
BOXES = ("box", "egg box")
"""Kinds of places that something is counted of; a box goes by either word."""
_PARTED = " / "


def room_of(collection: Collection, on: dt.date) -> Room:
    """Egg places of all incubators, and tubs free for young; each None where nobody said.

    Parameters
    ----------
    collection : Collection
        Records; nothing of later days is used.
    on : date
        The day.

    Notes
    -----
    An incubator whose own number is not said counts those of its boxes. A tub in which young of the last months sit is
    free for young: the load counts them.
    """
    then = as_of(collection, on)
    places = [one for one in then.records.places if one.closed is None or one.closed.earliest > on]
    said = {one.path for one in places if one.kind == INCUBATOR and one.capacity is not None}
    eggs = [
        one.capacity
        for one in places
        if one.capacity is not None
        and (one.path in said or (one.kind in BOXES and one.path.rpartition(_PARTED)[0] not in said))
    ]
    tubs = [one.path for one in places if one.kind == TUB]
    taken = set(_taken(then, on))
    return Room(
        egg_places=sum(eggs) if eggs else None,
        tubs=sum(path not in taken for path in tubs) if tubs else None,
    )


def _taken(collection: Collection, on: dt.date) -> Iterator[str]:
    """Place that each animal that is here came to last, but for young that a load counts."""
    for animal in collection.animals.values():
        clutch = collection.clutches.get(animal.clutch or "")
        hatched = (clutch.hatched if clutch is not None else None) or animal.hatched
        is_counted = clutch is not None and hatched is not None and on - hatched.latest <= LATELY
        if is_counted or is_gone(collection, animal.id, on + dt.timedelta(days=1)):
            continue
        moves = [event for event in collection.events_of(animal.id) if kind_of(event.kind) == MOVED]
        if moves and (moves[-1].until is None or moves[-1].until.latest >= on):
            yield moves[-1].note
