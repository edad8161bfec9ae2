"""How far the answers are, stopping the work, beginning it again."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from holdback.web.jobs.models import Job
from holdback.web.jobs.work import cancel
from holdback.web.pages.decided import PLANS, begin_again
from holdback.web.pages.worked_out import BELIEFS, Working, begin

KINDS = (BELIEFS, PLANS)
"""Kinds of jobs that a page waits for."""


@require_safe
def progress(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """How far the work is; once it is over the page is loaded anew."""
    job = get_object_or_404(Job, pk=key, kind__in=KINDS)
    if job.is_over:
        response = HttpResponse(status=204)
        response["HX-Refresh"] = "true"
        return response
    return render(request, "pages/parts/working.html", {"working": Working.of(job)})


@require_POST
def stop(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Stop the work."""
    cancel(get_object_or_404(Job, pk=key, kind__in=KINDS))
    return redirect(_back(request))


@require_POST
def again(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Begin anew what was stopped or broke."""
    job = get_object_or_404(Job, pk=key, kind__in=KINDS)
    if job.is_over and job.kind == PLANS:
        begin_again(job)
    elif job.is_over:
        begin(job.inputs["species"], conflicts=job.inputs["conflicts"], sizes=job.inputs["sizes"])
    return redirect(_back(request))


def _back(request: HttpRequest) -> str:
    """The page that asked, if it is one of this site."""
    given = request.META.get("HTTP_REFERER", "")
    return given if url_has_allowed_host_and_scheme(given, {request.get_host()}, request.is_secure()) else "/"
