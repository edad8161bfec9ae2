"""The records as they were on a day: what was written of later days is left out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import DIED, RETURNED, SOLD, kind_of
from holdback.collection.model import Animal, Clutch, Egg, EggOutcome, PartialDate, Records

_STATUS_KINDS = frozenset({DIED, SOLD, RETURNED})


def as_of(collection: Collection, day: dt.date) -> Collection:
    """The collection as it stood at the end of a day; the same object where nothing is of a later day.

    Parameters
    ----------
    collection : Collection
        Checked records.
    day : date
        The day.

    Notes
    -----
    A date known to the month or year counts as past once its first day is. Of an egg without a day of its own, the day
    its clutch hatched tells, and of a clutch without a day of laying that day and the looks at its eggs. A status is
    left as it is unless a later event made it: when else it changed is not recorded. So is how a project stands, and
    what is planned for one that was begun; a pairing for no project, planned nobody knows when, stays.
    """
    if not _is_of_later_days(collection.records, day):
        return collection
    records = collection.records
    clutches = {one.id: _clutch(one, day) for one in records.clutches if _was_laid(collection, one, day)}
    unborn = {one.id for one in records.clutches if _is_later(one.laid, day) or _is_later(one.hatched, day)}
    animals = {one.id: one for one in records.animals if not _is_later(one.hatched, day) and one.clutch not in unborn}
    return replace(
        collection,
        records=replace(
            records,
            animals=tuple(_animals(collection, animals, clutches, day)),
            lines=tuple(one for one in records.lines if one.animal in animals),
            measurements=tuple(
                one for one in records.measurements if one.animal in animals and not _is_later(one.date, day)
            ),
            matings=tuple(
                replace(one, apart=None) if _is_later(one.apart, day) else one
                for one in records.matings
                if not _is_later(one.together, day)
            ),
            clutches=tuple(clutches.values()),
            eggs=tuple(
                _egg(one, collection.clutches[one.clutch], animals, day)
                for one in records.eggs
                if one.clutch in clutches
            ),
            events=tuple(one for one in records.events if one.animal in animals and not _is_later(one.date, day)),
            statements=tuple(
                one for one in records.statements if one.animal in animals and not _is_later(one.date, day)
            ),
            origins=tuple(one for one in records.origins if one.animal in animals),
            egg_looks=tuple(
                one for one in records.egg_looks if one.clutch in clutches and not _is_later(one.date, day)
            ),
            temperatures=tuple(one for one in records.temperatures if not _is_later(one.date, day)),
            **_aims(records, animals, day),
        ),
    )


def _is_later(date: PartialDate | None, day: dt.date) -> bool:
    return date is not None and date.earliest > day


def _was_laid(collection: Collection, clutch: Clutch, day: dt.date) -> bool:
    looked = clutch.laid is None and any(not _is_later(look.date, day) for look in collection.looks_at(clutch.id))
    return looked or not _is_later(clutch.laid or clutch.hatched, day)


def _is_of_later_days(records: Records, day: dt.date) -> bool:
    """Whether anything is written of a later day."""
    dated = (
        *(one.date for one in records.events),
        *(one.date for one in records.measurements),
        *(one.date for one in records.egg_looks),
        *(one.date for one in records.temperatures),
        *(one.date for one in records.statements),
        *(date for one in records.matings for date in (one.together, one.apart)),
        *(date for one in records.clutches for date in (one.laid, one.hatched)),
        *(one.ended for one in records.eggs),
        *(one.hatched for one in records.animals),
        *(one.since for one in records.projects),
        *(one.date for one in records.accepted),
    )
    return any(_is_later(date, day) for date in dated)


def _animals(
    collection: Collection, animals: dict[str, Animal], clutches: dict[str, Clutch], day: dt.date
) -> Iterator[Animal]:
    """Animals that had hatched, without a status that a later event gave them."""
    for animal in animals.values():
        later = any(
            kind_of(event.kind) in _STATUS_KINDS and _is_later(event.date, day)
            for event in collection.events_of(animal.id)
        )
        yield replace(
            animal,
            status="" if later else animal.status,
            clutch=animal.clutch if animal.clutch in clutches else None,
        )


def _aims(records: Records, animals: dict[str, Animal], day: dt.date) -> dict[str, Any]:
    """Tables of the projects that were begun."""
    begun = [one for one in records.projects if not _is_later(one.since, day)]
    ids = {None, *(one.id for one in begun)}
    return {
        "projects": tuple(
            replace(
                one,
                animals=tuple(each for each in one.animals if each in animals),
                held_back=tuple(each for each in one.held_back if each in animals),
            )
            for one in begun
        ),
        "planned_pairings": tuple(
            one for one in records.planned_pairings if one.project in ids and one.dam in animals and one.sire in animals
        ),
        "accepted": tuple(one for one in records.accepted if one.project in ids and not _is_later(one.date, day)),
    }


def _clutch(clutch: Clutch, day: dt.date) -> Clutch:
    return replace(clutch, hatched=None) if _is_later(clutch.hatched, day) else clutch


def _egg(egg: Egg, clutch: Clutch, animals: dict[str, Animal], day: dt.date) -> Egg:
    """The egg as it was known; a slug is known at laying."""
    ended = egg.ended or clutch.hatched
    if ended is None and egg.animal is not None and egg.animal not in animals:
        return replace(egg, outcome=EggOutcome.UNKNOWN, animal=None, cause="")
    if _is_later(ended, day) and egg.outcome is not EggOutcome.SLUG:
        return replace(egg, outcome=EggOutcome.UNKNOWN, animal=None, ended=None, cause="")
    return egg if egg.animal is None or egg.animal in animals else replace(egg, animal=None)
