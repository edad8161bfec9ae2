"""Places that eggs lie in, as choices."""

from __future__ import annotations

from holdback.web.records.models import Egg, Place
from holdback.web.records.queries import whole_places
from holdback.web.records.room import order_key
from holdback.web.records.services.boxes import BOX, INCUBATOR

KINDS = frozenset({BOX, INCUBATOR, "box"})
"""Kinds of places that eggs are put into."""


def places_of_eggs() -> list[tuple[str, str]]:
    """Incubators, boxes and other places in use where eggs lie or lay: key and whole name, in order."""
    used = set(Egg.objects.filter(box__isnull=False).values_list("box_id", flat=True).distinct())
    names = whole_places(in_use=True)
    kinds = dict(Place.objects.values_list("id", "kind"))
    found = [(str(key), name) for key, name in names.items() if kinds[key] in KINDS or key in used]
    return sorted(found, key=lambda one: order_key(one[1]))
