"""Which rows a snapshot takes, and how columns become values."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.db.models import QuerySet

from holdback.collection import model as known

Key = uuid.UUID
CHUNK = 5000
"""Keys in one query; SQLite allows some 32,000."""


@dataclass(frozen=True)
class Scope:
    """Which rows to take.

    Parameters
    ----------
    species : str
        Species of the animals.
    animals : frozenset of UUID or None
        Keys of the animals; None is all.
    asked : frozenset of UUID or None
        Those of them whose readings are wanted too; None is all.
    clutches : frozenset of UUID
        Keys of clutches to take even where none of the animals hatched from them.
    has_exact_places : bool
        Whether places of origin keep their exact coordinates; else all are coarse.
    """

    species: str
    animals: frozenset[Key] | None = None
    asked: frozenset[Key] | None = None
    clutches: frozenset[Key] = frozenset()
    has_exact_places: bool = False


def within(found: QuerySet[Any], field: str, keys: frozenset[Key] | None, *columns: str) -> Iterator[tuple[Any, ...]]:
    """Columns of the rows whose field is one of the keys, a limited number of keys a query."""
    if keys is None:
        yield from found.values_list(*columns).iterator(CHUNK)
        return
    ordered = sorted(keys)
    for start in range(0, len(ordered), CHUNK):
        yield from found.filter(**{f"{field}__in": ordered[start : start + CHUNK]}).values_list(*columns)


@lru_cache(maxsize=16384)
def date_of(text: str) -> known.PartialDate | None:
    """Date out of its column; None for an empty one."""
    return known.PartialDate.parse(text) if text else None


def given_date(text: str) -> known.PartialDate:
    """Date out of a column that is never empty."""
    date = date_of(text)
    assert date is not None, "the column is constrained not to be empty"
    return date
