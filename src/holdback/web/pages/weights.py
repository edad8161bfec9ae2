"""Which weight stands for an animal: the last one that was taken empty."""

from __future__ import annotations

import uuid
from collections.abc import Iterable

from holdback.collection.model import Trait
from holdback.web.records.models import Measurement

_COUNTED = frozenset({"", "empty"})


def counts(reading: Measurement) -> bool:
    """Whether a weight counts for size: taken empty, or with nothing noted against it."""
    return reading.condition.casefold() in _COUNTED


def last_weights(animals: Iterable[uuid.UUID]) -> dict[uuid.UUID, Measurement]:
    """Last weight of each animal that counts, else its last weight; one query."""
    found: dict[uuid.UUID, Measurement] = {}
    readings = Measurement.objects.filter(animal__in=list(animals), trait=Trait.MASS.value)
    for reading in readings.order_by("date", "id"):
        before = found.get(reading.animal_id)
        if before is None or counts(reading) or not counts(before):
            found[reading.animal_id] = reading
    return found
