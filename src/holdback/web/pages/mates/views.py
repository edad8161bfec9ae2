"""Every mate of an animal, for a project or a plain wish."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from holdback.answers.decisions.readiness import next_open
from holdback.bridge import catalogue_of_records
from holdback.errors import HoldbackError
from holdback.web.pages.family import record_id
from holdback.web.pages.mates import page
from holdback.web.pages.mates.worked import Wanted, mates_or_work
from holdback.web.pages.worked_out import Working
from holdback.web.records import clock
from holdback.web.records.models import Animal, Project
from holdback.web.records.queries import present_animals

_AHEAD = 3
"""Seasons that can be asked for."""


@require_safe
def mates(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Mates, the best first, with reasons; those that cannot be paired last, with theirs."""
    animal = get_object_or_404(present_animals(), pk=key)
    first = next_open(clock.today(), catalogue_of_records())
    projects = list(Project.objects.filter(state="open"))
    want = request.GET.get("want", "").strip()
    asked = request.GET.get("project", "").strip()
    project = next((one for one in projects if one.key == asked), None)
    if project is None and not want and projects:
        project = projects[0]
    context: dict[str, Any] = {
        "room": "Pair",
        "animal": animal,
        "record_id": record_id(animal),
        "projects": projects,
        "project": project,
        "want": "" if project else want,
        "year": _year(request, first),
        "years": range(first, first + _AHEAD),
    }
    context |= _told(animal, context)
    return render(request, "pages/mates.html", context)


def _told(animal: Animal, context: dict[str, Any]) -> dict[str, Any]:
    project, want = context["project"], context["want"]
    if project is None and not want:
        return {}
    wanted = Wanted(record_id(animal), project.key if project else "", want, context["year"])
    try:
        found = mates_or_work(wanted)
        return {"working": found} if isinstance(found, Working) else page.told(found)
    except HoldbackError as error:
        return {"faults": error.faults}


def _year(request: HttpRequest, first: int) -> int:
    given = request.GET.get("year", "")
    return int(given) if given in {str(first + ahead) for ahead in range(_AHEAD)} else first
