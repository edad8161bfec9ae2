"""What was counted over all seasons, and what of the looks has to be worked out first."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.bridge.season import season_of_records
from holdback.errors import HoldbackError
from holdback.web.pages.season.counts import counted_words, counts_of, ids_counted, looks_table
from holdback.web.pages.season.names import Names
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records import clock


@require_safe
def counts(request: HttpRequest) -> HttpResponse:
    """Hatching, slugs and losses, use of males, sexes and looks, growth by feeding."""
    context: dict[str, Any] = {"room": "Season", "is_late": "all" not in request.GET}
    try:
        season = season_of_records(clock.today())
        found = season.statistics
    except HoldbackError as error:
        return render(request, "pages/season_counts.html", context | {"faults": error.faults})
    told = counts_of(season, found, Names.of(season.collection, ids_counted(found)))
    context |= {"counts": told, "said": counted_words(told)}
    if not context["is_late"]:
        context |= _looks()
    return render(request, "pages/season_counts.html", context)


@require_safe
def looks(request: HttpRequest) -> HttpResponse:
    """Looks that came beside those foretold, as a part of the page."""
    return render(request, "pages/parts/season_looks.html", _looks())


def _looks() -> dict[str, Any]:
    try:
        answers = answers_or_work()
        if isinstance(answers, Working):
            return {"working": answers}
        return {"looks": looks_table(answers.season(clock.today()).statistics.looks), "is_told": True}
    except HoldbackError as error:
        return {"faults": error.faults}
