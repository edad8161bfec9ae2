"""Places there are for eggs and for young, as far as somebody said."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable

from holdback.web.records.models import Place, Stay

_FIGURES = re.compile(r"(\d+)")
INCUBATOR, TUB = "incubator", "tub"
BOXES = ("egg box", "box")
"""Kinds of places that something is counted of; a box goes by either word."""


def egg_places() -> int | None:
    """Egg places of all incubators; None where nobody said.

    An incubator whose own number is not said counts those of its boxes; a box that stands in no incubator counts too.
    """
    found = list(
        Place.objects.filter(kind__in=(INCUBATOR, *BOXES), closed__isnull=True).values_list(
            "id", "kind", "within_id", "capacity"
        )
    )
    said = {key for key, kind, _, capacity in found if kind == INCUBATOR and capacity is not None}
    counted = [
        capacity
        for key, kind, within, capacity in found
        if capacity is not None and (key in said or (kind in BOXES and within not in said))
    ]
    return sum(counted) if counted else None


def tubs_free(*, young_from: dt.date | None = None) -> int | None:
    """Tubs in which nobody is; None where no tub is on record.

    Parameters
    ----------
    young_from : date, optional
        Young of a clutch that hatched from this day on take no tub here: what asks for room counts them itself.
    """
    tubs = Place.objects.filter(kind=TUB, closed__isnull=True)
    if not tubs.exists():
        return None
    stays = Stay.objects.filter(until__isnull=True)
    if young_from is not None:
        stays = stays.exclude(animal__clutch__isnull=False, animal__hatched_first__gte=young_from)
    return tubs.exclude(pk__in=stays.values("place")).count()


def in_order(names: Iterable[str]) -> list[str]:
    """Names in the order a keeper reads them: 2-A before 10-A.

    Examples
    --------
    >>> in_order(["10-A", "2-B", "2-A"])
    ['2-A', '2-B', '10-A']
    """
    return sorted(names, key=order_key)


def order_key(name: str) -> tuple[tuple[int, int, str], ...]:
    """Key that puts numbers inside of names in the order of numbers, and numbers before letters."""
    parts = [part for part in _FIGURES.split(name.casefold()) if part]
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)
