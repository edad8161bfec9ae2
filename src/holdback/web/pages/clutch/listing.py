"""All clutches, season by season."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.html import format_html
from django.views.decorators.http import require_safe

from holdback.bridge import catalogue_of_records
from holdback.collection.model import PartialDate
from holdback.season.by_season import season_of
from holdback.web.pages.components import Column, Table
from holdback.web.pages.family import label
from holdback.web.pages.wording import day, listed
from holdback.web.records.models import Clutch

OPEN = 2
"""Seasons that stand open."""

_HEADS = (
    Column("Clutch"),
    Column("Dam"),
    Column("Sire"),
    Column("Laid"),
    Column("Eggs", is_number=True),
    Column("Slugs", is_number=True),
    Column("Young", is_number=True),
    Column("Stands", is_full=True),
)


@dataclass(frozen=True, slots=True)
class SeasonList:
    """Clutches of one season, named by the year of laying; None where nobody knows when they were laid.

    Those of older seasons are folded away.
    """

    year: int | None
    table: Table
    is_folded: bool = False

    @property
    def heading(self) -> str:
        """Side head."""
        return f"Season {self.year}" if self.year else "Laying date not known"

    @property
    def anchor(self) -> str:
        """Name within the page."""
        return f"season-{self.year or 'unknown'}"


@require_safe
def clutches(request: HttpRequest) -> HttpResponse:
    """Clutches by season, the last first."""
    found = list(
        Clutch.objects.filter(removed_at__isnull=True)
        .select_related("dam")
        .prefetch_related("candidate_sires__sire")
        .annotate(
            young=Count(
                "hatchlings",
                filter=Q(hatchlings__removed_at__isnull=True) & ~Q(hatchlings__hatched=""),
                distinct=True,
            ),
        )
        .order_by("-laid_first", "-tag")
    )
    context = {"room": "Season", "total": len(found), "seasons": list(_seasons(found))}
    return render(request, "pages/clutches.html", context)


def _seasons(found: Iterable[Clutch]) -> Iterable[SeasonList]:
    catalogue = catalogue_of_records()
    years: dict[int | None, list[list[str]]] = {}
    for one in found:
        year = season_of(one.laid_first, catalogue) if one.laid_first else None
        years.setdefault(year, []).append(_row(one))
    for number, (year, rows) in enumerate(years.items()):
        yield SeasonList(year, Table(_HEADS, rows), is_folded=number >= OPEN)


def _row(one: Clutch) -> list[str]:
    sires = [label(row.sire) for row in one.candidate_sires.all() if row.sire]
    link = format_html('<a href="{}">{}</a>', reverse("pages:clutch", args=[one.tag]), one.tag)
    return [
        link,
        label(one.dam) if one.dam else "not known",
        listed(sires, "or") or "not known",
        day(PartialDate.parse(one.laid)) if one.laid else "not known",
        "not counted" if one.eggs is None else str(one.eggs),
        "—" if one.slugs is None else str(one.slugs),
        str(getattr(one, "young", 0)),
        _stands(one),
    ]


def _stands(one: Clutch) -> str:
    """How far it has come, in words."""
    words = "closed" if one.closed else "hatched" if one.hatched else "in the box"
    return f"{words}, out of counts" if one.set_aside else words
