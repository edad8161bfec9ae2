"""All projects, and one project."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from holdback.answers.decisions import Decisions
from holdback.bridge.projects import planned_of_records
from holdback.collection.model import PartialDate
from holdback.collection.projects import ProjectState
from holdback.decisions.welfare import welfare_of
from holdback.errors import HoldbackError
from holdback.web.pages.clutch.deed import done
from holdback.web.pages.decided import ALL, part_or_work, plans_now
from holdback.web.pages.keeper import writer
from holdback.web.pages.projects import page
from holdback.web.pages.projects.first import spoken_for
from holdback.web.pages.projects.kept import keep as keep_plan
from holdback.web.pages.projects.kept import kept_shown
from holdback.web.pages.projects.listed import competing, lines_of
from holdback.web.pages.projects.other import animals_of_ways, other_found, other_or_work, other_shown
from holdback.web.pages.projects.rehearsing import asked_of, rehearsal_or_work
from holdback.web.pages.projects.words import goal_said
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.wording import day
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records.models import Project


@require_safe
def projects(request: HttpRequest) -> HttpResponse:
    """All projects in the keeper's order, and which of them want the same animals."""
    found = list(Project.objects.all())
    context: dict[str, Any] = {
        "room": "Projects",
        "closed": [one for one in found if one.state != ProjectState.OPEN.value],
        "is_empty": not found,
    }
    opened = [one for one in found if one.state == ProjectState.OPEN.value]
    if opened:
        try:
            plans = part_or_work(ALL)
            if isinstance(plans, Working):
                context["working"], plans = plans, plans_now()
            context |= {"lines": lines_of(plans, opened), "wanted": competing(plans), "year": plans.open_year}
        except HoldbackError as error:
            context["faults"] = error.faults
    return render(request, "pages/projects.html", context)


@require_safe
def project(request: HttpRequest, key: str) -> HttpResponse:
    """One project: the goal, where it stands, the way, what is rehearsed, what is done now."""
    found = get_object_or_404(Project, key=key)
    context: dict[str, Any] = {
        "room": "Projects",
        "project": found,
        "is_open": found.state == ProjectState.OPEN.value,
        "since": day(PartialDate.parse(found.since)) if found.since else "",
        "asked": asked_of(request.GET),
    }
    try:
        context |= _told(found, context["asked"], is_wide="ways" in request.GET) if context["is_open"] else {}
    except HoldbackError as error:
        context["faults"] = error.faults
    return render(request, "pages/project.html", context)


def _told(project: Project, asked: page.Asked, *, is_wide: bool) -> dict[str, Any]:
    """Everything that the page says of an open project, as far as it is worked out."""
    plans = part_or_work(ALL)
    context: dict[str, Any] = {}
    if isinstance(plans, Working):
        context["working"], plans = plans, plans_now()
    if project.key not in plans.goals:
        raise Http404("the project is of another species")
    goal = goal_said(plans.goals[project.key], plans.catalogue)
    cautions = () if goal.faults else welfare_of(plans.goals[project.key], plans.catalogue)
    context |= {
        "goal": goal,
        "unspoken": () if goal.faults else plans.unspoken(project.key),
        "spoken": spoken_for(project.decisions.all(), cautions),
    }
    if "working" in context or goal.faults:
        return context
    context |= _planned(plans, project.key, asked)
    if context["found"].way or (context["found"].dead_end and not context["unspoken"]):
        context |= _other(plans, project.key, is_wide=is_wide)
    kept = kept_shown(plans, project)
    return context | ({"settling": kept} if isinstance(kept, Working) else {"kept": kept})


def _planned(plans: Decisions, key: str, asked: page.Asked) -> dict[str, Any]:
    """What rests on the way."""
    rehearsing = rehearsal_or_work(key, asked)
    fit = answers_or_work(conflicts=True)
    return {
        "stands": page.standing_shown(plans, key),
        "found": page.planning(plans, key, planned_of_records(), asked, None if isinstance(fit, Working) else fit),
        "rehearsing": rehearsing if isinstance(rehearsing, Working) else None,
        "is_fitting": isinstance(fit, Working),
    }


def _other(plans: Decisions, key: str, *, is_wide: bool) -> dict[str, Any]:
    """Other ways, as far as they are looked for; where they are asked for, the work that looks for them."""
    found = other_or_work(key) if is_wide else other_found(plans, key)
    if isinstance(found, Working):
        return {"looking": found}
    if found is None:
        return {"may_look": True}
    return {"other": other_shown(found, plans, key, page.names_of(plans, animals_of_ways(found)))}


@require_POST
def keep(request: HttpRequest, key: str) -> HttpResponse:
    """Keep the way as it is told now, to be held against the next one."""
    found = get_object_or_404(Project, key=key)
    batch = uuid.uuid4()
    try:
        keep_plan(plans_now(), found, who=writer(), batch=batch)
    except HoldbackError as error:
        add_toast(request, f"Not kept: {error.faults[0].what} {error.faults[0].hint}")
    else:
        done(request, f"The plan of {found.name} is kept.", batch)
    return redirect("pages:project", key=key)
