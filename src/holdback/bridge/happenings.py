"""Rows of the working year as values: eggs and looks at them, what happened to animals, where they were, how warm."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from holdback.bridge.scope import CHUNK, Key, Scope, date_of, given_date, within
from holdback.collection import model as known
from holdback.collection.event_kinds import LOCK, MOVED, kind_of
from holdback.collection.housing import Place, path_names
from holdback.web.records import models as rows
from holdback.web.records.queries import whole_places


class Housing:
    """All places, asked for once and only where something names one."""

    @cached_property
    def paths(self) -> dict[Key, str]:
        """Each place with all that holds it, by its key."""
        return whole_places()

    def places(self) -> Iterator[Place]:
        """Every place, in the order of the paths."""
        found = list(rows.Place.objects.values_list("id", "kind", "capacity", "notes", "closed"))
        paths = self.paths if found else {}
        places = [
            Place(paths[key], kind, capacity, notes, _day(closed) if closed else None)
            for key, kind, capacity, notes, closed in found
        ]
        yield from sorted(places, key=lambda place: place.path)

    def temperatures(self) -> Iterator[known.Temperature]:
        """Every reading of warmth, oldest first."""
        columns = ("place_id", "date", "time", "celsius", "note")
        found = rows.Warmth.objects.order_by("date", "time", "id")
        for place, date, time, celsius, note in found.values_list(*columns).iterator(CHUNK):
            clock = f"{time:%H:%M}" if time else ""
            yield known.Temperature(self.paths[place], _day(date), celsius, clock, note)


@dataclass(frozen=True)
class Nest:
    """Clutches that are in the snapshot.

    Parameters
    ----------
    tags : mapping of UUID to str
        Their ids by key.
    is_whole : bool
        Whether all clutches are; the eggs of the rest are passed over then.
    """

    tags: Mapping[Key, str]
    is_whole: bool

    @property
    def keys(self) -> frozenset[Key] | None:
        """Keys to ask for; None is all."""
        return None if self.is_whole else frozenset(self.tags)


def eggs(nest: Nest, ids: Mapping[Key, str], housing: Housing) -> Iterator[known.Egg]:
    """Eggs of the clutches."""
    columns = ("clutch_id", "mark", "mass_g", "outcome", "animal_id", "box_id", "ended", "cause")
    found = rows.Egg.objects.order_by("clutch__tag", "mark")
    for clutch, mark, mass, outcome, animal, box, ended, cause in within(found, "clutch", nest.keys, *columns):
        if clutch in nest.tags:
            place = housing.paths[box] if box else ""
            yield known.Egg(
                nest.tags[clutch], mark, mass, known.EggOutcome(outcome), ids.get(animal), place, date_of(ended), cause
            )  # fmt: skip


def looks(nest: Nest) -> Iterator[known.EggLook]:
    """Looks at the eggs of the clutches, oldest first within a clutch."""
    columns = ("egg__clutch_id", "egg__mark", "date", "state", "note")
    found = rows.EggLook.objects.order_by("egg__clutch__tag", "date", "egg__mark", "id")
    for clutch, mark, date, state, note in within(found, "egg__clutch", nest.keys, *columns):
        if clutch in nest.tags:
            yield known.EggLook(nest.tags[clutch], mark, given_date(date), known.EggState(state), note)


def events(scope: Scope, ids: Mapping[Key, str], housing: Housing) -> Iterator[known.Event]:
    """Observations of the animals asked for, in the order of their dates, then the days they came to a place.

    A move that was written down as an observation too is told once.
    """
    columns = ("animal_id", "date", "kind", "value", "unit", "note", "until", "mating__sire_id")
    found = rows.Observation.objects.order_by("animal__tag", "date", "id")
    moves = set()
    for animal, date, kind, value, unit, note, until, sire in within(found, "animal", scope.asked, *columns):
        if animal in ids:
            if kind_of(kind) == MOVED:
                moves.add((animal, date, path_names(note)))
            told = lock_note(ids[sire], note) if sire in ids and kind_of(kind) == LOCK else note
            yield known.Event(ids[animal], given_date(date), kind, value, unit, told, date_of(until))
    for animal, stay in _stays(scope, ids):
        path = housing.paths[stay.place]
        if (animal, str(stay.since), path_names(path)) not in moves:
            left = _day(stay.left) if stay.left else None
            yield known.Event(ids[animal], _day(stay.since), MOVED, note=path, until=left)


def lock_note(sire: str, note: str) -> str:
    """Note of a lock as it is told: the male, then what was written beside him.

    Examples
    --------
    >>> lock_note("A7", ""), lock_note("A7", "long")
    ('A7', 'A7: long')
    """
    return f"{sire}: {note}" if note else sire


@dataclass(frozen=True, slots=True)
class _Stay:
    """An animal in a place; `left` is the last day where it went to no other place then."""

    place: Key
    since: dt.date
    left: dt.date | None


def _stays(scope: Scope, ids: Mapping[Key, str]) -> Iterator[tuple[Key, _Stay]]:
    """Stays of the animals, each animal's oldest first and the one that lasts at the end."""
    of_animal: dict[Key, list[tuple[Key, dt.date, dt.date | None]]] = defaultdict(list)
    found = rows.Stay.objects.order_by("animal__tag", "since", "id")
    for animal, place, since, until in within(found, "animal", scope.asked, "animal_id", "place_id", "since", "until"):
        if animal in ids:
            of_animal[animal].append((place, since, until))
    for animal, own in of_animal.items():
        own.sort(key=lambda stay: (stay[1], stay[2] or dt.date.max))
        for (place, since, until), after in zip(own, [*(stay[1] for stay in own[1:]), None], strict=True):
            yield animal, _Stay(place, since, None if until == after else until)


def _day(date: dt.date) -> known.PartialDate:
    """Day of the calendar as a date."""
    return known.PartialDate(date.year, date.month, date.day)
