"""Add places, and move animals between them."""

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
    """Faults of a new place."""
    yield from length_faults(place.name, 80, field="name")
    yield from length_faults(place.kind, 30, field="kind")
    yield from number_faults(place.capacity, 1, 10_000, field="capacity")
    if not place.name:
        yield Fault("REC-010", "the place has no name.", "Name it.", field="name")
    if Place.objects.filter(name=place.name, within=place.within).exists():
        yield Fault("REC-019", f"a place {place.name!r} is there already.", "Use another name.", field="name")


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
        REC-012 if the day is before the present stay began.
    """
    day = on or clock.today()
    with deed("move animal", who=who, batch=batch) as done:
        present = Stay.objects.filter(animal=animal, until__isnull=True).select_related("place").first()
        if present and present.place == place:
            return present
        if present and day < present.since:
            refuse(
                [
                    Fault(
                        "REC-012",
                        f"{animal.tag} came to {present.place} on {present.since}, after {day}.",
                        "Choose a later day.",
                        field="on",
                        value=str(day),
                        animal=animal.tag,
                    )
                ]
            )
        if present:
            done.change(present, until=day)
        if place is None:
            return None
        stay = Stay(animal=animal, place=place, since=day)
        done.make(stay)
    return stay
