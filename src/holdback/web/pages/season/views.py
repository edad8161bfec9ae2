"""The season, on the screen and for the wall."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from holdback.answers.season import Season
from holdback.bridge import catalogue_of_records
from holdback.bridge.season import season_of_records
from holdback.errors import HoldbackError
from holdback.season.by_season import season_of
from holdback.web.pages import keeper
from holdback.web.pages.family import record_id
from holdback.web.pages.season.asked import GROUPS, Asked
from holdback.web.pages.season.breeders import breeders, lengths_table
from holdback.web.pages.season.names import Names
from holdback.web.pages.season.of_animal import this_season
from holdback.web.pages.season.page import ids_of, year_of
from holdback.web.pages.season.room import room
from holdback.web.records import clock
from holdback.web.records.queries import present_animals


@require_safe
def season(request: HttpRequest) -> HttpResponse:
    """The year of every female, room for eggs and young, who may breed, how long things take."""
    asked = Asked.of(request.GET.dict())
    today = clock.today()
    now = season_of(today, catalogue_of_records())
    year = asked.year or now
    context: dict[str, Any] = {
        "room": "Season",
        "asked": asked,
        "season_year": year,
        "years": (year - 1, year + 1 if year <= now else None),
        "is_now": year == now,
        "groups": GROUPS.items(),
        "today": today,
        "keeper": keeper.name(),
        "print_address": asked.address(print="1"),
    }
    try:
        context |= _told(season_of_records(today, year=year), asked, is_now=year == now)
    except HoldbackError as error:
        context["faults"] = error.faults
    template = "pages/season_print.html" if asked.is_print else "pages/season.html"
    return render(request, template, context)


def _told(found: Season, asked: Asked, *, is_now: bool) -> dict[str, Any]:
    names = Names.of(found.collection, ids_of(found))
    told: dict[str, Any] = {"year": year_of(found, names, asked)}
    if asked.is_print:
        return told
    told["lengths"] = lengths_table(found.intervals.told())
    if is_now:
        told |= {"rooms": room(found.load), "load": found.load, "breeders": breeders(found, names)}
    return told


@require_safe
def of_animal(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """What the season says of one animal, as a part of its page."""
    animal = get_object_or_404(present_animals(), pk=key)
    try:
        context: dict[str, Any] = {"told": this_season(season_of_records(clock.today()), record_id(animal))}
    except HoldbackError as error:
        context = {"faults": error.faults}
    return render(request, "pages/parts/this_season.html", context)
