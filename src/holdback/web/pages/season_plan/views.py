"""The board, what its limits cost, its sheet for the wall, and the deeds on it."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from holdback.answers.decisions.readiness import next_open
from holdback.bridge import catalogue_of_records
from holdback.collection.projects import PairingState
from holdback.errors import Fault, HoldbackError, RecordError
from holdback.web.pages import keeper
from holdback.web.pages.family import label
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.questions import How, Questions, taken_in
from holdback.web.pages.season_plan import page
from holdback.web.pages.season_plan.asked import Asked
from holdback.web.pages.season_plan.board import Now
from holdback.web.pages.season_plan.keeping import keep as keep_plan
from holdback.web.pages.season_plan.worked import Planned, costs, planned
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.worked_out import Working
from holdback.web.records import clock, services
from holdback.web.records.models import Animal, PlannedPairing, Project


def _asked(request: HttpRequest) -> Asked:
    return Asked.of(request.GET, year=next_open(clock.today(), catalogue_of_records()))


@require_safe
def season_plan(request: HttpRequest) -> HttpResponse:
    """Who goes with whom in a season, why, and what another choice costs."""
    asked = _asked(request)
    first = next_open(clock.today(), catalogue_of_records())
    context: dict[str, Any] = {
        "room": "Season",
        "asked": asked,
        "years": range(first, first + 3),
        "has_projects": Project.objects.filter(state="open").exists(),
        "keeper": keeper.name(),
        "today": clock.today(),
    }
    context |= page.told(asked) if context["has_projects"] else {}
    return render(
        request, "pages/season_plan_print.html" if "print" in request.GET else "pages/season_plan.html", context
    )


@require_safe
def season_costs(request: HttpRequest) -> HttpResponse:
    """What the limits cost, and the next best plan, as a part of the page."""
    asked = _asked(request).plain
    context: dict[str, Any] = {}
    try:
        found = planned(asked)
        worked = found if isinstance(found, Working) else costs(asked)
        if isinstance(worked, Working):
            context["working"] = worked
        elif isinstance(found, Planned):
            context |= page.costs_told(worked, found)
    except HoldbackError as error:
        context["faults"] = error.faults
    return render(request, "pages/parts/season_plan_costs.html", context)


@require_POST
def keep(request: HttpRequest) -> HttpResponse:
    """Write the pairings of the plan down as planned."""
    asked, how = _asked(request), How.of(request.POST.dict())
    back = reverse("pages:season-plan") + asked.but(her="").address
    try:
        found = planned(asked)
        if isinstance(found, Working):
            return redirect(back)  # the page says how far it is
        said = keep_plan(Now.of(found, asked), page.names_of(found), how, words=request.POST.get("words", ""))
    except HoldbackError as error:
        return _refused(request, error, how, what=f"Keep the plan for {asked.year}", back=back)
    add_toast(request, said, undo=how.undo)
    return redirect(reverse("pages:season-plan") + Asked(asked.year, asked.is_mean, asked.reserve, asked.most).address)


_DEEDS = {
    "lock": ("Lock", "is locked: every plan keeps it"),
    "unlock": ("Unlock", "is unlocked: plans may change it"),
    "plan": ("Plan", "is planned"),
}
"""Deeds on a pair: as the head of a page that asks, and as it was done."""


@require_POST
def lock(request: HttpRequest) -> HttpResponse:
    """Plan a pair, lock it on record, so that every plan keeps it, or unlock it."""
    given, how = request.POST, How.of(request.POST.dict())
    dam, sire = (get_object_or_404(Animal, pk=_key(given.get(name, ""))) for name in ("dam", "sire"))
    deed = given.get("deed") if given.get("deed") in _DEEDS else "lock"
    head, said = _DEEDS[str(deed)]
    try:
        _write(given.dict(), dam, sire, how, deed=str(deed))
    except RecordError as error:
        return _refused(request, error, how, what=f"{head} {label(sire)} with {label(dam)}", back=_back(request))
    undo = how.undo
    pair = f"{label(sire)} with {label(dam)}"
    add_toast(request, f"{pair} {said}." if undo else f"{pair}: nothing new.", undo=undo)
    return redirect(_back(request))


def _write(given: dict[str, str], dam: Animal, sire: Animal, how: How, *, deed: str) -> None:
    year, words = int(given["year"]) if given.get("year", "").isdecimal() else 0, given.get("words", "")
    present = PlannedPairing.objects.filter(year=year, dam=dam, sire=sire).first()
    if deed == "plan" and present is not None and present.state == PairingState.LOCKED.value:
        return  # more than planned already
    if deed != "plan" and present is not None and present.state != PairingState.DROPPED.value:
        is_locked = deed == "lock"
        services.lock_pairing(present, who=how.who, locked=is_locked, words=words, sure=how.sure, batch=how.batch)
        return
    services.plan_pairing(
        who=how.who,
        year=year,
        dam=dam,
        sire=sire,
        sure=how.sure,
        batch=how.batch,
        project=Project.objects.filter(key=given.get("project", "")).first(),
        locked=deed == "lock",
        words=words,
    )


@require_POST
def drop(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Drop a planned pairing; it stays on record."""
    pairing = get_object_or_404(PlannedPairing.objects.select_related("dam", "sire"), pk=key)
    how = How.of(request.POST.dict())
    services.drop_pairing(pairing, who=how.who, batch=how.batch)
    add_toast(request, f"{label(pairing.sire)} with {label(pairing.dam)} is dropped.", undo=how.undo)
    return redirect(_back(request))


def _refused(request: HttpRequest, error: HoldbackError, how: How, *, what: str, back: str) -> HttpResponse:
    """What is wrong, or what is asked, with everything sent kept."""
    faults: tuple[Fault, ...] = error.faults
    asked: Questions | None = None
    if isinstance(error, RecordError):
        faults, asked = taken_in(PlainForm(), error, how)
    sent = [
        (name, value) for name, value in request.POST.items() if name not in ("answer", "words", "csrfmiddlewaretoken")
    ]
    wants_words = any(fault.code == "DEC-130" for fault in error.faults)
    context = {
        "room": "Season",
        "what": what,
        "faults": faults,
        "asked": asked,
        "sent": sent,
        "words": request.POST.get("words", ""),
        "wants_words": wants_words,
        "back": back,
    }
    return render(request, "pages/season_plan_asked.html", context, status=422)


def _key(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


def _back(request: HttpRequest) -> str:
    """The page that the deed was done on."""
    given = request.POST.get("next", "")
    is_ours = url_has_allowed_host_and_scheme(given, allowed_hosts=None)
    return given if is_ours and given.startswith("/") else reverse("pages:season-plan")
