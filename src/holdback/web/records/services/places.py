"""Add places, and move animals between them."""

from __future__ import annotations

import datetime as dt
import uuid

from holdback.errors import Fault
from holdback.web.records import clock
from holdback.web.records.models import Animal, Place, Stay
from holdback.web.records.rules import length_faults, refuse
from holdback.web.records.services.deed import deed


def add_place(
    *, who: str, name: str, kind: str = "", within: Place | None = None, batch: uuid.UUID | None = None
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
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011 or REC-019.
    """
    with deed("add place", who=who, batch=batch) as done:
        place = Place(name=name.strip(), kind=kind.strip(), within=within)
        faults = [*length_faults(place.name, 80, field="name"), *length_faults(place.kind, 30, field="kind")]
        if not place.name:
            faults.append(Fault("REC-010", "the place has no name.", "Name it.", field="name"))
        if Place.objects.filter(name=place.name, within=within).exists():
            faults.append(
                Fault("REC-019", f"a place {place.name!r} is there already.", "Use another name.", field="name")
            )
        refuse(faults)
        done.make(place)
    return place


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
