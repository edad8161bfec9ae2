"""The calendar as a page, as a file, and as a feed that a calendar program fetches."""

from __future__ import annotations

import hashlib

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from holdback.bridge.season import season_of_records
from holdback.errors import HoldbackError
from holdback.web.access.feed_address import close_feed, feed_secret, opens_feed, renew_feed
from holdback.web.pages import keeper
from holdback.web.pages.toasts import add_toast
from holdback.web.records import clock
from holdback.web.records.services.calendar_told import tell

CONTENT_TYPE = "text/calendar; charset=utf-8"
_LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


@require_safe
def calendar(request: HttpRequest) -> HttpResponse:
    """What is in the calendar, and how to get it into a calendar program."""
    secret = feed_secret()
    context = {
        "room": "Season",
        "address": request.build_absolute_uri(reverse("pages:calendar-feed", args=[secret])) if secret else "",
        "is_only_here": request.get_host().rpartition(":")[0] in _LOOPBACK,
        "today": clock.today(),
    }
    try:
        context["entries"] = _entries()
    except HoldbackError as error:
        context["faults"] = error.faults
    return render(request, "pages/calendar.html", context)


def _entries() -> list[object]:
    from holdback.calendars.entries import entries_of

    return list(entries_of(season_of_records(clock.today())))


@require_safe
def calendar_file(request: HttpRequest) -> HttpResponse:
    """The calendar as a file to open once."""
    try:
        answer = HttpResponse(_calendar(), content_type=CONTENT_TYPE)
    except HoldbackError as error:
        context = {"room": "Season", "faults": error.faults, "back": reverse("pages:calendar")}
        return render(request, "pages/refused.html", context, status=422)
    answer["Content-Disposition"] = 'attachment; filename="season.ics"'
    return answer


@require_safe
def calendar_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """The calendar for a program that asks again and again; 404 for an address that is not, or no longer, given out."""
    if not opens_feed(secret):
        raise Http404("no calendar is given out under this address")
    try:
        content = _calendar()
    except HoldbackError as error:
        # A program must not take this for an empty calendar and drop what it has.
        text = "\n".join(str(fault) for fault in error.faults)
        return HttpResponse(text, status=503, content_type="text/plain; charset=utf-8")
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    if request.headers.get("If-None-Match") == tag:
        return HttpResponseNotModified()
    return HttpResponse(content, content_type=CONTENT_TYPE, headers={"ETag": tag, "Cache-Control": "private, no-cache"})


def _calendar() -> bytes:
    from holdback.calendars.entries import entries_of
    from holdback.calendars.ical import calendar_bytes

    told = tell(entries_of(season_of_records(clock.today())), now=timezone.now())
    name = f"{keeper.name()}, season" if keeper.name() else "Season"
    return calendar_bytes(told, name=name)


@require_POST
def give_out(request: HttpRequest) -> HttpResponse:
    """A new address for calendar programs; the old one leads nowhere from now on."""
    renew_feed()
    add_toast(request, "The calendar has a new address; one given out before leads nowhere now.")
    return redirect("pages:calendar")


@require_POST
def close(request: HttpRequest) -> HttpResponse:
    """No calendar program gets in any more."""
    close_feed()
    add_toast(request, "The calendar is given out no more.")
    return redirect("pages:calendar")
