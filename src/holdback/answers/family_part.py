"""The part of a collection that a change can reach: whom it touches, and everybody connected with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, replace
from typing import Any

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Records

_OF_ONE = ("lines", "measurements", "events", "statements", "origins")
"""Tables whose rows are each about one animal."""


def touched(before: Collection, after: Collection) -> frozenset[str]:
    """Ids of the animals of which a record differs, as itself or as a parent named in one."""
    found: set[str] = set()
    for table in fields(Records):
        was, now = set(getattr(before.records, table.name)), set(getattr(after.records, table.name))
        for record in was ^ now:
            found.update(_named_in(record))
    nests = {one.id for one in set(before.records.clutches) ^ set(after.records.clutches)}
    for side in (before, after):
        found.update(animal.id for animal in side.animals.values() if animal.clutch in nests)
    return frozenset(found)


def family_around(collections: Iterable[Collection], animals: Iterable[str]) -> frozenset[str]:
    """Everybody who is connected with some animals by parents, clutches or matings, in any of the collections."""
    links: dict[str, set[str]] = {}
    for collection in collections:
        groups: list[Iterable[str | None]] = []
        for animal in collection.animals.values():
            groups.append((animal.id, animal.dam, *(one.animal for one in animal.sires)))
        groups += [(one.dam, *(sire.animal for sire in one.sires)) for one in collection.records.clutches]
        groups += [(one.dam, one.sire) for one in collection.records.matings]
        for group in groups:
            known = [one for one in group if one and one != NO_SIRE]
            for one in known[1:]:
                links.setdefault(known[0], set()).add(one)
                links.setdefault(one, set()).add(known[0])
    seen, waiting = set(animals), list(animals)
    while waiting:
        new = links.get(waiting.pop(), set()) - seen
        seen |= new
        waiting += new
    return frozenset(seen)


def part_of(collection: Collection, animals: frozenset[str]) -> Collection:
    """The records of some animals, as `family_around` finds them: nobody in them has a parent outside."""
    records = collection.records
    nests = {animal.clutch for animal in collection.animals.values() if animal.id in animals}
    clutches = tuple(
        one
        for one in records.clutches
        if one.id in nests or one.dam in animals or any(sire.animal in animals for sire in one.sires)
    )
    ids = {one.id for one in clutches}
    of_one = {name: tuple(one for one in getattr(records, name) if one.animal in animals) for name in _OF_ONE}
    part = Records(
        animals=tuple(one for one in records.animals if one.id in animals),
        matings=tuple(one for one in records.matings if one.dam in animals),
        clutches=clutches,
        eggs=tuple(one for one in records.eggs if one.clutch in ids),
        egg_looks=tuple(one for one in records.egg_looks if one.clutch in ids),
        **of_one,
    )
    return replace(collection, records=part)


def _named_in(record: Any) -> Iterator[str]:
    """Ids of animals that a record is about."""
    if hasattr(record, "genes"):
        yield record.id
    for name in ("animal", "dam", "sire"):
        if value := getattr(record, name, None):
            yield value
    for one in getattr(record, "sires", ()):
        if one.animal != NO_SIRE:
            yield one.animal
