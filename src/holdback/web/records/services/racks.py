"""Racks with their tubs in one go; change a place, take it out of use and into use again."""

from __future__ import annotations

import datetime as dt
import uuid
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any, cast

from holdback.collection.model import EggOutcome
from holdback.errors import Fault
from holdback.web.records import clock
from holdback.web.records.models import Egg, Place, Stay
from holdback.web.records.queries import DEEPEST_PLACE
from holdback.web.records.room import TUB
from holdback.web.records.rules import refuse
from holdback.web.records.services.deed import deed
from holdback.web.records.services.places import closed_faults, place_faults

RACK = "rack"
_KEPT = object()
"""Stands for a field that stays as it is."""


def add_rack(
    *,
    who: str,
    name: str,
    tubs: Sequence[str] = (),
    within: Place | None = None,
    batch: uuid.UUID | None = None,
) -> Place:
    """A new rack with its tubs.

    Parameters
    ----------
    who : str
        Who adds it.
    name : str
        Its name, once within the larger place.
    tubs : sequence of str
        Names of its tubs; see `tub_names`.
    within : Place, optional
        The room it stands in.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-019 or SEA-333, all faults together.
    """
    with deed("add rack", who=who, batch=batch) as done:
        rack = Place(name=name.strip(), kind=RACK, within=within)
        refuse([*place_faults(rack), *closed_faults(within), *_twice(tubs)])
        done.make(rack)
        if tubs:
            add_tubs(rack, tubs, who=who, batch=done.batch)
    return rack


def add_tubs(rack: Place, names: Sequence[str], *, who: str, batch: uuid.UUID | None = None) -> list[Place]:
    """New tubs in a rack, in the order of their names.

    Parameters
    ----------
    rack : Place
        What they stand in.
    names : sequence of str
        Their names.
    who : str
        Who adds them.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-019 or SEA-333, all faults together.
    """
    with deed("add tubs", who=who, batch=batch) as done:
        tubs = [Place(name=name.strip(), kind=TUB, within=rack) for name in names]
        known = set(rack.parts.values_list("name", flat=True))
        faults = [fault for tub in tubs for fault in place_faults(tub) if tub.name in known or fault.code != "REC-019"]
        refuse([*closed_faults(rack), *faults, *_twice(names)])
        done.make(*tubs)
    return tubs


def _twice(names: Sequence[str]) -> Iterator[Fault]:
    """REC-019 for names that stand more than once."""
    for name, count in Counter(name.strip() for name in names).items():
        if count > 1:
            yield Fault("REC-019", f"the name {name!r} stands twice.", "Use another name.", field="tubs", value=name)


def change_place(
    place: Place,
    *,
    who: str,
    name: str | None = None,
    kind: str | None = None,
    within: Place | object | None = _KEPT,
    capacity: int | object | None = _KEPT,
    batch: uuid.UUID | None = None,
) -> Place:
    """The place, changed; what is left out stays.

    Parameters
    ----------
    place : Place
        The place.
    who : str
        Who changes it.
    name, kind : str, optional
        Its name and what it is.
    within : Place or None, optional
        The larger place; None for none.
    capacity : int or None, optional
        Egg places; None where nobody says.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-014, REC-019, SEA-333 or SEA-335.
    """
    with deed("change place", who=who, batch=batch) as done:
        now = Place.objects.select_for_update().get(pk=place.pk)
        given: dict[str, Any] = {"name": name, "kind": kind}
        values: dict[str, Any] = {key: text.strip() for key, text in given.items() if text is not None}
        if capacity is not _KEPT:
            values["capacity"] = capacity
        if within is not _KEPT:
            larger = cast("Place | None", within)
            values["within"] = larger
            refuse([*closed_faults(larger), *_ring_faults(now, larger)])
        wanted = Place(pk=now.pk, name=now.name, kind=now.kind, within=now.within, capacity=now.capacity)
        for key, value in values.items():
            setattr(wanted, key, value)
        refuse(place_faults(wanted))
        done.change(now, **values)
    return now


def _ring_faults(place: Place, within: Place | None) -> Iterator[Fault]:
    """SEA-335 where a place would stand in itself."""
    at, steps = within, 0
    while at is not None and steps <= DEEPEST_PLACE:
        if at.pk == place.pk:
            what = f"{within} stands in {place} or is the same: {place} would stand in itself."
            yield Fault("SEA-335", what, "Choose another larger place, or none.", field="within", value=str(within))
            return
        at, steps = at.within, steps + 1


def close_place(place: Place, *, who: str, on: dt.date | None = None, batch: uuid.UUID | None = None) -> Place:
    """The place, out of use with all that stands in it; what was in it stays on record.

    Parameters
    ----------
    place : Place
        The place.
    who : str
        Who closes it.
    on : date, optional
        The day; today if left out.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-331 if an animal is in it, SEA-332 if eggs are.
    """
    with deed("close place", who=who, batch=batch) as done:
        day = on or clock.today()
        inner = within_of(place)
        keys = [one.pk for one in inner]
        refuse([*_animals_faults(place, keys), *_eggs_faults(place, keys)])
        for one in inner:
            if one.closed is None:
                done.change(one, closed=day)
    return inner[0]


def open_place_again(place: Place, *, who: str, batch: uuid.UUID | None = None) -> Place:
    """The place, in use again, with what was closed on the same day as it.

    Parameters
    ----------
    place : Place
        The place.
    who : str
        Who opens it.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-333 if the larger place is out of use.
    """
    with deed("open place again", who=who, batch=batch) as done:
        inner = within_of(place)
        refuse(closed_faults(inner[0].within))
        day = inner[0].closed
        for one in inner:
            if one.closed == day:
                done.change(one, closed=None)
    return inner[0]


def within_of(place: Place) -> list[Place]:
    """The place itself, then all that stands in it; one query a level."""
    found = level = list(Place.objects.filter(pk=place.pk).select_related("within"))
    for _ in range(DEEPEST_PLACE):
        level = list(Place.objects.filter(within__in=level))
        if not level:
            break
        found = [*found, *level]
    return found


def _animals_faults(place: Place, keys: list[uuid.UUID]) -> Iterator[Fault]:
    """SEA-331 for animals that are in a place."""
    stays = Stay.objects.filter(place__in=keys, until__isnull=True).select_related("animal")
    tags = sorted(stay.animal.tag for stay in stays)
    if tags:
        named = ", ".join(tags[:5]) + (f" and {len(tags) - 5} more" if len(tags) > 5 else "")
        what = f"{named} {'is' if len(tags) == 1 else 'are'} in {place}."
        yield Fault("SEA-331", what, "Move them first, or take them out.", field="place", value=place.name)


def _eggs_faults(place: Place, keys: list[uuid.UUID]) -> Iterator[Fault]:
    """SEA-332 for eggs that lie in a place."""
    eggs = Egg.objects.filter(box__in=keys, outcome=EggOutcome.UNKNOWN, clutch__closed__isnull=True)
    if count := eggs.filter(clutch__removed_at__isnull=True).count():
        what = f"{count} {'egg lies' if count == 1 else 'eggs lie'} in {place}."
        yield Fault("SEA-332", what, "Put them into another box first.", field="place", value=place.name)
