"""Hold-back day: choose clutches and tubs, see the hatchlings side by side, hold some back."""

from __future__ import annotations

import uuid
from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from holdback.answers.decisions.hatchlings import candidates_of, clutches_to_choose_from
from holdback.errors import HoldbackError, RecordError
from holdback.web.pages.clutch.deed import done
from holdback.web.pages.decided import plans_now
from holdback.web.pages.holdback_day import page
from holdback.web.pages.holdback_day.asked import MOST_TUBS, Asked
from holdback.web.pages.holdback_day.work import hold_backs_or_work
from holdback.web.pages.keeper import writer
from holdback.web.pages.wording import listed
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records import services
from holdback.web.records.models import Project
from holdback.web.records.queries import animal_by_tag


@require_safe
def hold_back_day(request: HttpRequest) -> HttpResponse:
    """Clutches to choose from; with some chosen, their hatchlings in order. The address holds everything."""
    return _page(request, Asked.of(request.GET))


@require_POST
def hold(request: HttpRequest) -> HttpResponse:
    """Hold the young back that the page names, each for the project beside it."""
    asked = Asked.of(request.POST)
    batch = uuid.uuid4()
    held: dict[str, list[str]] = {}
    for pair in request.POST.getlist("hold"):
        tag, _, key = pair.partition("|")
        held.setdefault(key, []).append(tag)
    told = []
    try:
        for project in Project.objects.filter(key__in=held):
            animals = [one for tag in held[project.key] if (one := animal_by_tag(tag)) is not None]
            sure = "sure" in request.POST
            services.hold_back(animals, who=writer(), project=project, sure=sure, batch=batch)
            told.append(f"{listed([one.tag for one in animals])} for {project.name}")
    except RecordError as error:
        return _page(request, asked, faults=error.faults, may_ask=True)
    if told:
        done(request, f"Held back: {'; '.join(told)}.", batch)
    return redirect(reverse("pages:hold-back") + asked.address())


def _page(request: HttpRequest, asked: Asked, *, faults: Any = (), may_ask: bool = False) -> HttpResponse:
    context: dict[str, Any] = {"room": "Season", "asked": asked, "faults": faults, "may_ask": may_ask}
    try:
        answers = answers_or_work(sizes=True)
        context |= {"working": answers} if isinstance(answers, Working) else _answered(asked)
    except HoldbackError as error:
        context["faults"] = (*faults, *error.faults)
    return render(request, "pages/hold_back.html", context, status=422 if may_ask else 200)


def _answered(asked: Asked) -> dict[str, Any]:
    """Clutches to choose from, and what is worked out of those chosen."""
    plans = plans_now()
    tags = clutches_to_choose_from(plans)
    young = {tag: len(candidates_of(plans, [tag])) for tag in tags}
    choices = page.choices(tags, asked.clutches, young)
    goals = [(key, goal.name, key in asked.projects or not asked.projects) for key, goal in plans.goals.items()]
    context: dict[str, Any] = {"choices": choices, "has_goals": bool(plans.goals), "goals": goals}
    if not asked.clutches or not plans.goals:
        return context
    if set(asked.projects) == set(plans.goals):
        asked = replace(asked, projects=())
    found = hold_backs_or_work(asked.inputs)
    if isinstance(found, Working):
        return context | {"working": found}
    shown, folded = page.rows(found)
    return context | {
        "found": found,
        "over": page.over(found, choices, asked.tubs),
        "shown": shown,
        "folded": folded,
        "line": page.lines_asked(found),
        "to_hold": page.to_hold(found),
        "sold": page.sold(found.for_sale),
        "more": asked.address(more=1) if asked.tubs < MOST_TUBS else "",
    }
