"""Reads that several places need: find an animal by its tag, list and search."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from dataclasses import dataclass

from django.db.models import F, Q, QuerySet

from holdback.collection.housing import path_text
from holdback.web.records.models import Animal, Change, Clutch, Place

DEEPEST_PLACE = 20
"""Places that stand within each other at most; a ring of places ends there."""

_WITH_KEY = re.compile(r"(.+) \(([0-9a-f]{8})\)")

SORTS = {
    "tag": ("tag",),
    "name": ("name", "tag"),
    "sex": ("sex", "tag"),
    "hatched": ("hatched_first", "tag"),
    "status": ("status", "tag"),
}
"""Word of a column to the order that it stands for."""


def present_animals() -> QuerySet[Animal]:
    """Animals that are not removed, dead ones among them."""
    return Animal.objects.filter(removed_at__isnull=True)


def animal_by_tag(tag: str) -> Animal | None:
    """Animal with this tag that is not removed: the living one, else the one hatched last; None if there is none.

    Where several had the tag, the others go by the tag and the beginning of their key: ``A7 (1f0c9a2e)``.
    """
    found = present_animals().filter(tag=tag)
    first = found.order_by("-living", F("hatched_first").desc(nulls_last=True), "id").first()
    if first is None and (parts := _WITH_KEY.fullmatch(tag)):
        return next((one for one in present_animals().filter(tag=parts[1]) if str(one.pk).startswith(parts[2])), None)
    return first


def clutch_by_tag(tag: str) -> Clutch | None:
    """Clutch with this tag that is not removed."""
    return Clutch.objects.filter(tag=tag, removed_at__isnull=True).first()


def whole_places(*, in_use: bool = False) -> dict[uuid.UUID, str]:
    """Every place by its key with what it is within, the largest first: ``room 1 / rack B``; one query.

    Parameters
    ----------
    in_use : bool
        Whether places out of use stay away.
    """
    rows = list(Place.objects.values_list("id", "name", "within_id", "closed"))
    known = {key: (name, within) for key, name, within, _ in rows}
    found = {}
    for key in [key for key, _, _, closed in rows if not (in_use and closed)]:
        parts: list[str] = []
        at: uuid.UUID | None = key
        while at is not None and len(parts) < DEEPEST_PLACE:
            name, at = known[at]
            parts.append(name)
        found[key] = path_text(parts[::-1])
    return found


def find_animals(
    words: str = "",
    *,
    sex: str = "",
    status: str = "",
    hatched_from: dt.date | None = None,
    hatched_to: dt.date | None = None,
    sort: str = "tag",
) -> QuerySet[Animal]:
    """Animals that fit, for lists and search fields.

    Parameters
    ----------
    words : str
        Every word must stand somewhere in tag, name, genes, status or notes; case does not matter.
    sex, status : str
        Exactly this; empty is any.
    hatched_from, hatched_to : date, optional
        Bounds of the earliest day of the hatch date.
    sort : str
        A key of `SORTS`, with a minus in front for the other way round.

    Notes
    -----
    Reads the search column of every animal: 20,000 animals take some 10 ms.
    """
    found = present_animals()
    for word in words.casefold().split():
        found = found.filter(search_text__contains=word)
    if sex:
        found = found.filter(sex=sex)
    if status:
        found = found.filter(status=status)
    if hatched_from:
        found = found.filter(hatched_first__gte=hatched_from)
    if hatched_to:
        found = found.filter(hatched_first__lte=hatched_to)
    sign, key = ("-", sort[1:]) if sort.startswith("-") else ("", sort)
    return found.order_by(*(sign + column for column in SORTS.get(key, SORTS["tag"])))


@dataclass(frozen=True, slots=True)
class Parents:
    """The parents on record.

    Parameters
    ----------
    dam : Animal or None
        The dam; None is unknown.
    sires : tuple of (Animal or None, float)
        Candidate sires with their weights, likeliest first; None stands for no sire at all. Empty is unknown.
    """

    dam: Animal | None
    sires: tuple[tuple[Animal | None, float], ...]


def parents_of(animal: Animal) -> Parents:
    """Dam and candidate sires of an animal: its own, else those of its clutch."""
    nest = animal.clutch
    dam = animal.dam or (nest.dam if nest else None)
    sires = list(animal.candidate_sires.select_related("sire"))
    if not sires and nest:
        sires = list(nest.candidate_sires.select_related("sire"))
    return Parents(dam, tuple((row.sire, row.weight) for row in sires))


def young_of(animal: Animal) -> QuerySet[Animal]:
    """Animals of which this one is the dam or may be the sire, by itself or through their clutch."""
    return (
        present_animals()
        .filter(
            Q(dam=animal)
            | Q(dam__isnull=True, clutch__dam=animal)
            | Q(candidate_sires__sire=animal)
            | Q(clutch__candidate_sires__sire=animal, candidate_sires__isnull=True)
        )
        .distinct()
    )


def changes_of(record: uuid.UUID) -> QuerySet[Change]:
    """The log of one record, newest first."""
    return Change.objects.filter(record=record).select_related("undone_by").order_by("-id")
