"""Add places, move animals between them, and let two change places."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator

from holdback.errors import Fault
from holdback.web.records import clock
from holdback.web.records.models import Animal, Place, Stay
from holdback.web.records.rules import length_faults, number_faults, refuse
from holdback.web.records.services.deed import deed


def add_place(
    *,
    who: str,
    name: str,
    kind: str = "",
    within: Place | None = None,
    capacity: int | None = None,
    batch: uuid.UUID | None = None,
) -> Place:
    """A new place.

    Parameters
    ----------
    who : str
        Who adds it.
    name : str
        Its name, once within the larger place.
    kind : str
        Room, rack, tub, incubator.
    within : Place, optional
        The larger place that holds it.
    capacity : int, optional
        Egg places of an incubator or a box.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-014 or REC-019.
    """
    with deed("add place", who=who, batch=batch) as done:
        place = Place(name=name.strip(), kind=kind.strip(), within=within, capacity=capacity)
        refuse(place_faults(place))
        done.make(place)
    return place


def place_faults(place: Place) -> Iterator[Fault]:
    """Faults of a place that is to be written."""
    yield from length_faults(place.name, 80, field="name")
    yield from length_faults(place.kind, 30, field="kind")
    yield from number_faults(place.capacity, 1, 10_000, field="capacity")
    if not place.name:
        yield Fault("REC-010", "the place has no name.", "Name it.", field="name")
    other = Place.objects.filter(name=place.name, within=place.within).exclude(pk=place.pk).first()
    if other:
        what = f"a place {place.name!r} is there already{', out of use' if other.closed else ''}."
        hint = "Use another name, or take that one into use again." if other.closed else "Use another name."
        yield Fault("REC-019", what, hint, field="name", value=place.name)


def move_animal(
    animal: Animal, *, who: str, place: Place | None, on: dt.date | None = None, batch: uuid.UUID | None = None
) -> Stay | None:
    """The stay that begins; None where the animal only leaves.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who moves it.
    place : Place or None
        Where to; None takes it out.
    on : date, optional
        The day; today if left out.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-012 if the day is before the present stay began; SEA-002 if it is yet to come; SEA-333 if the place is out
        of use.
    """
    day = on or clock.today()
    with deed("move animal", who=who, batch=batch) as done:
        present = _present(animal)
        if present and present.place == place:
            return present
        refuse([*_day_faults(animal, present, day), *closed_faults(place)])
        if present:
            done.change(present, until=day)
        if place is None:
            return None
        stay = Stay(animal=animal, place=place, since=day)
        done.make(stay)
    return stay


def swap_animals(
    one: Animal, other: Animal, *, who: str, on: dt.date | None = None, batch: uuid.UUID | None = None
) -> tuple[Stay | None, Stay | None]:
    """The stays that begin when two animals change places; None for one that comes from no place.

    Parameters
    ----------
    one, other : Animal
        Two animals in different places; one of them may be in none.
    who : str
        Who moves them.
    on : date, optional
        The day; today if left out.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-336 if both are in one place or in none; else as `move_animal`.
    """
    with deed("swap animals", who=who, batch=batch) as done:
        here, there = _present(one), _present(other)
        place, target = (here.place if here else None), (there.place if there else None)
        if place == target:
            where = f"both in {place}" if place else "in no place"
            what = f"{one.tag} and {other.tag} are {where}."
            refuse([Fault("SEA-336", what, "Choose two animals in two places.", field="animal", animal=one.tag)])
        day = on or clock.today()
        refuse([*_day_faults(one, here, day), *_day_faults(other, there, day)])
        first = move_animal(one, who=who, place=target, on=day, batch=done.batch)
        second = move_animal(other, who=who, place=place, on=day, batch=done.batch)
    return first, second


def closed_faults(place: Place | None) -> Iterator[Fault]:
    """SEA-333 where a place is out of use."""
    if place is not None and (closed := Place.objects.filter(pk=place.pk).values_list("closed", flat=True).first()):
        hint = "Take it into use again on its page, or choose another."
        yield Fault("SEA-333", f"{place} is out of use since {closed}.", hint, field="place", value=place.name)


def _present(animal: Animal) -> Stay | None:
    """Where the animal is now."""
    return Stay.objects.filter(animal=animal, until__isnull=True).select_related("place").first()


def _day_faults(animal: Animal, present: Stay | None, day: dt.date) -> Iterator[Fault]:
    """Faults of the day of a move."""
    if present and day < present.since:
        what = f"{animal.tag} came to {present.place} on {present.since}, after {day}."
        yield Fault("REC-012", what, "Choose a later day.", field="on", value=str(day), animal=animal.tag)
    if day > clock.today():
        hint = "Move it on the day, or choose an earlier one."
        yield Fault("SEA-002", f"{day} has not come yet.", hint, field="on", value=str(day), animal=animal.tag)
