"""The way back."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import resolve, reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from holdback.errors import RecordError
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast
from holdback.web.records.models import Animal, Change, Place, Project
from holdback.web.records.queries import clutch_by_tag
from holdback.web.records.services.undo import undo as take_back


@require_POST
def undo(request: HttpRequest, batch: uuid.UUID) -> HttpResponse:
    """Take back everything of one deed and return to where it was asked."""
    try:
        rows = take_back(batch, who=writer())
    except RecordError as error:
        context = {"room": "Collection", "faults": error.faults, "back": came_from(request)}
        return render(request, "pages/refused.html", context, status=422)
    add_toast(request, f"Taken back: {_first_deed(batch)}.", undo=reverse("pages:undo", args=[rows[0].batch]))
    return redirect(came_from(request))


def _first_deed(batch: uuid.UUID) -> str:
    return Change.objects.filter(batch=batch).values_list("deed", flat=True).first() or "the last change"


def came_from(request: HttpRequest) -> str:
    """Page the request came from, if it still exists; else the first page."""
    referer = request.headers.get("referer", "")
    if not url_has_allowed_host_and_scheme(referer, allowed_hosts={request.get_host()}):
        return reverse("pages:collection")
    path = referer.partition("://")[2].partition("/")[2]
    parts = path.split("/")
    if parts[0] == "animals" and len(parts) > 1 and not _is_here(parts[1]):
        return reverse("pages:collection")
    if parts[0] == "places" and len(parts) > 1 and not _is_place(parts[1]):
        return reverse("pages:places")
    if parts[0] == "clutches" and not _is_clutch(path):
        return reverse("pages:clutches")
    if parts[0] == "projects" and not _is_project(path):
        return reverse("pages:desk")
    return f"/{path}"


def _is_here(text: str) -> bool:
    try:
        key = uuid.UUID(text)
    except ValueError:
        return True
    return Animal.objects.filter(pk=key, removed_at__isnull=True).exists()


def _is_place(text: str) -> bool:
    try:
        return Place.objects.filter(pk=uuid.UUID(text)).exists()
    except ValueError:
        return True


def _is_project(path: str) -> bool:
    """Whether the project that a page is about still exists; True for a page of all of them."""
    key = resolve(f"/{path.partition('?')[0].partition('#')[0]}").kwargs.get("key")
    return key is None or Project.objects.filter(key=key).exists()


def _is_clutch(path: str) -> bool:
    """Whether the page of a clutch still exists; True for every other page."""
    found = resolve(f"/{path.partition('?')[0].partition('#')[0]}")
    return found.url_name != "clutch" or clutch_by_tag(found.kwargs["name"]) is not None
