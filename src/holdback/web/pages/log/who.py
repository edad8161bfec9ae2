"""Whom a text means, and who was written of last."""

from __future__ import annotations

import uuid

from django.db.models import Q

from holdback.collection.model import Sex
from holdback.errors import Fault, RecordError
from holdback.web.records.models import Animal, Change, Measurement, Observation
from holdback.web.records.queries import animal_by_tag, find_animals, present_animals

OFFERED = 8
LATELY = 200
"""Log rows looked through for who was written of last."""


def animal_meant(text: str, *, field: str) -> Animal:
    """The animal that a tag or a calling name means.

    Raises
    ------
    RecordError
        REC-016 if it means none, or several bear the name.
    """
    wanted = text.strip()
    if found := animal_by_tag(wanted):
        return found
    named = list(present_animals().filter(name__iexact=wanted, living=True)[:2])
    if len(named) == 1:
        return named[0]
    what = f"several animals are called {wanted!r}." if named else f"no animal has the id or name {wanted!r}."
    raise RecordError(Fault("REC-016", what, "Give its id.", field=field, value=wanted))


def animal_asked(text: str) -> Animal | None:
    """Animal of an address, by its key or its id; None if it is none."""
    try:
        return present_animals().filter(pk=uuid.UUID(text)).first()
    except ValueError:
        return animal_by_tag(text.strip()) if text.strip() else None


def offered(text: str, *, sex: str = "") -> list[Animal]:
    """Animals that a text may mean, the nearest first; those of the other sex are left out."""
    wanted = text.strip().casefold()
    if not wanted:
        return []
    found = find_animals(wanted)
    other = {Sex.MALE.value: Sex.FEMALE.value, Sex.FEMALE.value: Sex.MALE.value}.get(sex)
    if other:
        found = found.exclude(sex=other)
    begins = list(
        found.filter(Q(tag__istartswith=wanted) | Q(name__istartswith=wanted)).order_by("-living", "tag")[:OFFERED]
    )
    keys = {animal.pk for animal in begins}
    more = [animal for animal in found.order_by("-living", "tag")[: 2 * OFFERED] if animal.pk not in keys]
    return (begins + more)[:OFFERED]


def used_lately(count: int = 6) -> list[Animal]:
    """Animals of which something was written last, the latest first; four queries."""
    rows = Change.objects.filter(model__in=("observation", "measurement"), after__isnull=False).order_by("-id")
    records = list(rows.values_list("record", flat=True)[:LATELY])
    of = dict(Observation.objects.filter(pk__in=records).values_list("pk", "animal_id"))
    of |= dict(Measurement.objects.filter(pk__in=records).values_list("pk", "animal_id"))
    keys = list(dict.fromkeys(of[record] for record in records if record in of))[:count]
    found = present_animals().in_bulk(keys)
    return [found[key] for key in keys if key in found]
