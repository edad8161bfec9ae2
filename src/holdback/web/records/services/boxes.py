"""Incubators, the boxes in them, and which egg lies where."""

from __future__ import annotations

import uuid
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from holdback.collection.model import EggOutcome
from holdback.errors import Fault
from holdback.web.records.clutch_rules import fate, held_egg
from holdback.web.records.models import Egg, Place
from holdback.web.records.queries import DEEPEST_PLACE
from holdback.web.records.rules import refuse
from holdback.web.records.services.deed import deed
from holdback.web.records.services.places import add_place, place_faults

INCUBATOR = "incubator"
BOX = "egg box"


def add_incubator(
    *, who: str, name: str, capacity: int | None = None, within: Place | None = None, batch: uuid.UUID | None = None
) -> Place:
    """A new incubator.

    Parameters
    ----------
    who : str
        Who adds it.
    name : str
        Its name, once within the larger place.
    capacity : int, optional
        Egg places in all.
    within : Place, optional
        The room it stands in.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-014 or REC-019.
    """
    return add_place(who=who, name=name, kind=INCUBATOR, within=within, capacity=capacity, batch=batch)


def add_boxes(
    incubator: Place,
    names: Sequence[str],
    *,
    who: str,
    capacity: int | None = None,
    batch: uuid.UUID | None = None,
) -> list[Place]:
    """New boxes in an incubator, in the order of their names.

    Parameters
    ----------
    incubator : Place
        What they stand in.
    names : sequence of str
        Their names.
    who : str
        Who adds them.
    capacity : int, optional
        Egg places of each.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-014 or REC-019, all faults together.
    """
    with deed("add boxes", who=who, batch=batch) as done:
        boxes = [Place(name=name.strip(), kind=BOX, within=incubator, capacity=capacity) for name in names]
        faults = [fault for box in boxes for fault in place_faults(box)]
        for name, count in Counter(box.name for box in boxes).items():
            if count > 1:
                faults.append(Fault("REC-019", f"the name {name!r} stands twice.", "Use another name.", field="name"))
        refuse(faults)
        done.make(*boxes)
    return boxes


def put_in_box(
    eggs: Iterable[Egg], place: Place | None, *, who: str, batch: uuid.UUID | None = None
) -> tuple[Fault, ...]:
    """What the places hold too much of, once some eggs lie in one; empty where there is room.

    Parameters
    ----------
    eggs : iterable of Egg
        The eggs, of one clutch or of several.
    place : Place or None
        Where they lie from now on; None takes them out.
    who : str
        Who moves them.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-011 where an egg hatched or was lost; SEA-027 where somebody changed one meanwhile.
    """
    with deed("put eggs in box", who=who, batch=batch) as done:
        now = [held_egg(egg) for egg in eggs]
        ended = [egg for egg in now if egg.outcome in {EggOutcome.HATCHED, EggOutcome.DIED}]
        said = {egg.mark: f"egg {egg.mark} of {egg.clutch} is {fate(egg)}." for egg in ended}
        refuse(Fault("SEA-011", what, "Leave it out.", field="egg", value=mark) for mark, what in said.items())
        for egg in now:
            done.change(egg, box=place)
    return crowding(place) if place else ()


def crowding(place: Place) -> tuple[Fault, ...]:
    """SEA-019 for a place, and each that it stands in, with more eggs than it has room for: a warning."""
    within = dict(Place.objects.values_list("pk", "within_id"))
    counts: Counter[uuid.UUID] = Counter()
    for box in Egg.objects.filter(box__isnull=False, outcome=EggOutcome.UNKNOWN).values_list("box_id", flat=True):
        counts.update(_around(box, within))
    known = Place.objects.in_bulk(_around(place.pk, within))
    return tuple(
        Fault(
            "SEA-019",
            f"{one.name} holds {counts[key]} eggs and has room for {one.capacity}.",
            "Move some, or correct its room.",
            field="place",
            value=one.name,
        )
        for key in _around(place.pk, within)
        if (one := known[key]).capacity is not None and counts[key] > one.capacity
    )


def _around(key: uuid.UUID, within: Mapping[uuid.UUID, uuid.UUID | None]) -> list[uuid.UUID]:
    """A place and everything it stands in, the smallest first."""
    found: list[uuid.UUID] = []
    at: uuid.UUID | None = key
    while at is not None and len(found) < DEEPEST_PLACE:
        found.append(at)
        at = within[at]
    return found
