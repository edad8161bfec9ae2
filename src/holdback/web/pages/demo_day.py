"""The demo's day: moved by a day or to a date, so that a season can be played through."""

from __future__ import annotations

import datetime as dt
import uuid

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from holdback.answers.season.words import day_asked
from holdback.errors import HoldbackError
from holdback.web.pages import wording
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.undo import came_from
from holdback.web.records.clock import is_movable, today
from holdback.web.records.services.day import set_day


@require_POST
def move(request: HttpRequest) -> HttpResponse:
    """Move the demo to the day that was typed, or to the next one, and return to where it was asked."""
    if not is_movable():
        raise Http404("only the demo has a day of its own")
    batch, before = uuid.uuid4(), today()
    try:
        day = day_asked(request.POST.get("day", "").strip()) or before + dt.timedelta(days=1)
        set_day(day, who=writer(), batch=batch)
    except HoldbackError as error:
        context = {
            "room": "Desk",
            "faults": error.faults,
            "back": came_from(request),
            "heading": "The demo stays on its day",
        }
        return render(request, "pages/refused.html", context, status=422)
    undo = reverse("pages:undo", args=[batch]) if day != before else ""
    add_toast(request, f"The demo is at {day.strftime('%a')} {wording.day(day)}.", undo=undo)
    return redirect(came_from(request))
