"""Days on which an animal took a meal."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping, Sequence

from holdback.collection.collection import Collection

_MEAL = frozenset({"meal", "fed", "feeding", "feed"})
_NOT_TAKEN = re.compile(r"refus|regurg|vomit|left (?:it|over)|not (?:taken|eaten)|untouched|ignored|no interest")


def meals_of(collection: Collection) -> Mapping[str, Sequence[int]]:
    """Ordinal days of meals taken by each animal, in order; a meal that came up again or was refused is none."""
    found: dict[str, list[int]] = defaultdict(list)
    for event in collection.records.events:
        if event.date.day and event.kind.casefold() in _MEAL and not _NOT_TAKEN.search(event.note.casefold()):
            found[event.animal].append(event.date.earliest.toordinal())
    return {animal: sorted(days) for animal, days in found.items()}


def is_fed(day: float, meals: Sequence[int], empty_after_days: float) -> bool:
    """Whether a meal was taken in the days before.

    On the day itself an animal is weighed first and fed then, as it is not handled after a meal (common practice, no
    source).
    """
    return bisect_left(meals, day) > bisect_left(meals, day - empty_after_days + 1)
