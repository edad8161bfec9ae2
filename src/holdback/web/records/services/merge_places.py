"""The places that a file names: rooms, racks, tubs, incubators and boxes, with how warm they were."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from typing import Any

from holdback.collection import model as known
from holdback.collection.housing import path_names
from holdback.errors import Fault
from holdback.web.records.models import Place, Warmth
from holdback.web.records.queries import DEEPEST_PLACE
from holdback.web.records.rules import length_faults
from holdback.web.records.services.merge import Plan, parts_of

LONGEST_NAME = 80


class PlaceTree:
    """All places by what holds them and their name; those that are missing are made.

    Parameters
    ----------
    make : callable
        Told of each place that is made.
    """

    def __init__(self, make: Callable[[Place], None]) -> None:
        self._make = make
        self._places = {(place.within_id, place.name): place for place in Place.objects.all()}
        self.fresh: set[uuid.UUID] = set()

    def place(self, text: str) -> Place | None:
        """Place of a path, made with all that holds it where it is not there; None where the path cannot be one."""
        names = path_names(text)
        if not is_path(names):
            return None
        within: Place | None = None
        for name in names:
            key = (within.pk if within else None, name)
            if key not in self._places:
                self._places[key] = Place(name=name, within=within)
                self.fresh.add(self._places[key].pk)
                self._make(self._places[key])
            within = self._places[key]
        return within


def is_path(names: tuple[str, ...]) -> bool:
    """Whether names can be those of places within each other."""
    return 0 < len(names) <= DEEPEST_PLACE and all(len(name) <= LONGEST_NAME for name in names)


def place_of(text: str, tree: PlaceTree, plan: Plan, *, field: str) -> Place | None:
    """Place of a path; a fault where the path cannot be one."""
    found = tree.place(text)
    if found is None:
        what = f"{text[:LONGEST_NAME]!r} is no place."
        hint = f"Name it in up to {LONGEST_NAME} characters, and what holds it before, as in incubator 1 / box 3."
        plan.faults.append(Fault("REC-011", what, hint, field=field, value=text[:40]))
    return found


def merge_places(records: known.Records, tree: PlaceTree, plan: Plan) -> None:
    """Plan the places; what is on record of one stays, and what is empty is filled in."""
    for row in records.places:
        place = place_of(row.path, tree, plan, field="place")
        if place is None:
            continue
        plan.faults += length_faults(row.kind, 30, field="kind")
        closed = row.closed.earliest if row.closed else None
        given: dict[str, Any] = {"kind": row.kind, "capacity": row.capacity, "notes": row.notes, "closed": closed}
        given = {name: value for name, value in given.items() if value not in (None, "")}
        given = {name: value for name, value in given.items() if getattr(place, name) in (None, "")}
        if place.pk in tree.fresh:
            for name, value in given.items():
                setattr(place, name, value)
            plan.count("places", plan.added)
            continue
        if given:
            plan.change(place, given)
        plan.count("places", plan.changed if given else plan.same)


def merge_temperatures(records: known.Records, tree: PlaceTree, plan: Plan) -> None:
    """Plan the readings of warmth; one that is on record already is not added again."""
    if not records.temperatures:
        return
    found = {row.place: place_of(row.place, tree, plan, field="place") for row in records.temperatures}
    keys = sorted(place.pk for place in found.values() if place is not None and place.pk not in tree.fresh)
    old = {_key(row) for part in parts_of(keys) for row in Warmth.objects.filter(place__in=part)}
    for row in records.temperatures:
        place = found[row.place]
        if place is None:
            continue
        plan.faults += length_faults(row.note, 200, field="note")
        time = dt.time.fromisoformat(row.time) if row.time else None
        fresh = Warmth(place=place, date=row.date.earliest, time=time, celsius=row.celsius, note=row.note)
        is_old = _key(fresh) in old
        plan.count("temperatures", plan.same if is_old else plan.added)
        if not is_old:
            plan.make(fresh)


def _key(row: Warmth) -> tuple[Any, ...]:
    """What tells one reading from another."""
    return (row.place_id, row.date, row.time, row.celsius, row.note)
