"""Places there are for eggs and for young, as far as somebody said."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Q

from holdback.web.records.models import Place

INCUBATOR, BOX, TUB = "incubator", "box", "tub"
"""Kinds of places that something is counted of."""


def egg_places() -> int | None:
    """Egg places of all incubators; None where nobody said.

    An incubator whose own number is not said counts those of its boxes; a box that stands in no incubator counts too.
    """
    found = list(Place.objects.filter(kind__in=(INCUBATOR, BOX)).values_list("id", "kind", "within_id", "capacity"))
    said = {key for key, kind, _, capacity in found if kind == INCUBATOR and capacity is not None}
    counted = [
        capacity
        for key, kind, within, capacity in found
        if capacity is not None and (key in said or (kind == BOX and within not in said))
    ]
    return sum(counted) if counted else None


def tubs_free() -> int | None:
    """Tubs in which nobody is; None where no tub is on record."""
    tubs = Place.objects.filter(kind=TUB)
    if not tubs.exists():
        return None
    return tubs.exclude(Q(stays__until__isnull=True, stays__animal__isnull=False)).distinct().count()


def in_order(names: Iterable[str]) -> list[str]:
    """Names in the order a keeper reads them: 2-A before 10-A.

    Examples
    --------
    >>> in_order(["10-A", "2-B", "2-A"])
    ['2-A', '2-B', '10-A']
    """
    return sorted(names, key=order_key)


def order_key(name: str) -> tuple[tuple[int, int, str], ...]:
    """Key that puts numbers inside of names in the order of numbers."""
    parts: list[tuple[int, int, str]] = []
    run = ""
    for letter in f"{name} ":
        if run and letter.isdecimal() != run[-1].isdecimal():
            parts.append((0, int(run), "") if run.isdecimal() else (1, 0, run.casefold()))
            run = ""
        run += letter
    return tuple(parts)
