"""Places for eggs and young that a collection tells of."""

from __future__ import annotations

from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import MOVED, kind_of
from holdback.collection.status import is_here
from holdback.season.load import Room

INCUBATOR, BOX, TUB = "incubator", "box", "tub"
"""Kinds of places that something is counted of."""
_PARTED = " / "


def room_of(collection: Collection) -> Room:
    """Egg places of all incubators, and tubs in which nobody is; each None where nobody said.

    An incubator whose own number is not said counts those of its boxes.
    """
    places = collection.records.places
    said = {one.path for one in places if one.kind == INCUBATOR and one.capacity is not None}
    eggs = [
        one.capacity
        for one in places
        if one.capacity is not None
        and (one.path in said or (one.kind == BOX and one.path.rpartition(_PARTED)[0] not in said))
    ]
    tubs = [one.path for one in places if one.kind == TUB]
    taken = set(_where(collection).values())
    return Room(
        egg_places=sum(eggs) if eggs else None,
        tubs=sum(path not in taken for path in tubs) if tubs else None,
    )


def _where(collection: Collection) -> Mapping[str, str]:
    """Place that each animal that is here came to last."""
    found = {}
    for animal in collection.animals.values():
        if not is_here(animal.status):
            continue
        moves = [event.note for event in collection.events_of(animal.id) if kind_of(event.kind) == MOVED]
        if moves:
            found[animal.id] = moves[-1]
    return found
