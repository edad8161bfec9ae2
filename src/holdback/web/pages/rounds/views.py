"""Choose a round, go through it, take what the phone sends, answer what it made the records ask."""

from __future__ import annotations

import datetime as dt
import json
import math
import uuid
from typing import Any, NoReturn, cast

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_POST, require_safe

from holdback.collection.units import MASS_IN_G
from holdback.errors import Fault, RecordError
from holdback.web.pages.keeper import writer
from holdback.web.pages.rounds import asking
from holdback.web.pages.rounds.asked import asked, asked_of_phones
from holdback.web.pages.rounds.due import due_animals
from holdback.web.pages.rounds.routes import Rooms, Stop
from holdback.web.pages.rounds.tubs import tubs_of
from holdback.web.pages.rounds.worker import named
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.wording import counted
from holdback.web.records.clock import today
from holdback.web.records.models import Entry
from holdback.web.records.rules import MASS_UNITS
from holdback.web.records.services.inbox import answer as answer_entry
from holdback.web.records.services.inbox import keep_photo, receive
from holdback.web.records.services.inbox_reading import is_time


@require_safe
@ensure_csrf_cookie
def choose(request: HttpRequest) -> HttpResponse:
    """Where to go and what to do there; what phones sent and what is asked of it."""
    rooms = Rooms.now()
    context = {
        "room": "Rounds",
        "stretches": rooms.stretches(),
        "total": sum(len(animals) for animals in rooms.animals.values()),
        "deeds": asking.DEEDS.items(),
        "due": asking.DUE,
        "units": MASS_UNITS,
        "asked": asked_of_phones(),
        "sending": _sending(),
    }
    return named(render(request, "pages/rounds.html", context))


@require_safe
@ensure_csrf_cookie
def go(request: HttpRequest) -> HttpResponse:
    """The round itself: one page that goes on without a network."""
    round_ = asking.Round.of(request.GET.dict())
    rooms, day = Rooms.now(), today()
    known = round_.place in rooms.places if round_.place else True
    only = due_animals(day, round_.deeds) if round_.is_due else round_.animals
    stops = rooms.stops(round_.place, only) if known else []
    above = len(rooms.chain(round_.place)) if round_.place and known else _shared(stops)
    data = {
        "tubs": tubs_of(stops, on=day, above=above),
        "weigh": round_.is_weighed,
        "feed": round_.is_fed,
        "over": asking.OVER[round_.deeds],
        "label": _label(rooms, round_, stops),
        "unit": round_.unit,
        "grams": dict(MASS_IN_G),
        "prey": round_.prey_g,
        "made": timezone.localdate().isoformat(),
    }
    context = {
        "room": "Rounds",
        "round": round_,
        "data": data,
        "units": MASS_UNITS,
        "sending": _sending(),
        "nobody": "Nobody is due" if round_.is_due else "No animal is there",
    }
    return named(render(request, "pages/rounds_go.html", context))


def _label(rooms: Rooms, round_: asking.Round, stops: list[Stop]) -> str:
    """What the round is called in a list of rounds."""
    place = ", ".join(one.name for one in rooms.chain(round_.place)) if round_.place in rooms.places else ""
    others = "those due" if round_.is_due else counted(len(stops), "animal")
    return f"{asking.OVER[round_.deeds]}, {place or others}"


def _shared(stops: list[Stop]) -> int:
    """Outer places that all stops are in."""
    paths = {stop.path[:-1] for stop in stops if stop.path}
    if not paths:
        return 0
    depth = 0
    for names in zip(*paths, strict=False):  # as deep as the shallowest of them
        if len(set(names)) > 1:
            break
        depth += 1
    return depth


def _sending() -> dict[str, str]:
    """Addresses and the cookie that the page sends by."""
    return {
        "entries": reverse("pages:round-entries"),
        "photo": reverse("pages:round-photo", args=[uuid.UUID(int=0)]),
        "worker": reverse("pages:worker"),
        "rounds": reverse("pages:rounds"),
        "cookie": settings.CSRF_COOKIE_NAME,
    }


@require_POST
def entries(request: HttpRequest) -> JsonResponse:
    """What a phone sends: each entry is answered with what became of it."""
    try:
        sent = _read(request.body)
        found = receive(
            sent["entries"], device=str(sent.get("device", "")), who=writer(), sent_at=_time(sent.get("sent_at"))
        )
    except RecordError as error:
        return JsonResponse({"faults": [fault.as_json() for fault in error.faults]}, status=400)
    return JsonResponse({"entries": [_answered(entry) for entry in found]})


def _read(body: bytes) -> dict[str, Any]:
    """A sending decoded from JSON; nothing in it that JSON of the database could not hold."""

    def refuse(word: str) -> NoReturn:
        raise ValueError(f"{word} is no number")

    try:
        sent = _storable(json.loads(body, parse_constant=refuse, parse_float=_finite))
        if not isinstance(sent, dict) or not isinstance(sent.get("entries"), list):
            raise ValueError("it holds no list of entries")
    except (ValueError, RecursionError) as fault:
        hint = "Load the page of rounds again and send once more; the entries still wait on the phone."
        raise RecordError(Fault("SEA-300", f"the sending cannot be read: {fault}.", hint)) from fault
    return sent


def _finite(text: str) -> float:
    """A number as Python reads it; ValueError where it is too large for one."""
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(f"{text[:20]} is too large a number")
    return value


def _storable(value: Any) -> Any:
    """A value whose texts hold nothing that a database cannot: half a character, or the character 0."""
    if isinstance(value, str):
        return value.encode("utf-16", "surrogatepass").decode("utf-16", "replace").replace("\0", "\ufffd")
    if isinstance(value, list):
        return [_storable(one) for one in value]
    if isinstance(value, dict):
        return {_storable(name): _storable(one) for name, one in value.items()}
    return value


def _time(text: object) -> dt.datetime | None:
    """The phone's time, where it is told with its offset."""
    try:
        found = dt.datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return found if is_time(found) else None


def _answered(entry: Entry) -> dict[str, Any]:
    """What became of an entry, for the phone."""
    if entry.state in {Entry.DONE, Entry.LEFT}:
        said = entry.said[-1].get("message", "") if entry.said else ""
    else:
        told = asked(entry)
        said = f"{told.what} {told.hint}".strip()
    return {"id": str(entry.pk), "state": entry.state, "said": said}


@require_POST
def photo(request: HttpRequest, key: uuid.UUID) -> JsonResponse:
    """The photo of an entry that was taken."""
    entry = get_object_or_404(Entry, pk=key)
    file = request.FILES.get("file")
    try:
        if file is None:
            raise RecordError(Fault("PHO-001", "No photo was chosen.", "Choose one, or take one.", field="file"))
        keep_photo(entry, file=cast(Any, file), who=entry.who)
    except RecordError as error:
        return JsonResponse({"faults": [fault.as_json() for fault in error.faults]}, status=422)
    return JsonResponse({"id": str(entry.pk)})


@require_POST
def answer(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Answer what an entry made the records ask, and go back to where it was asked."""
    entry = get_object_or_404(Entry, pk=key)
    back = reverse("pages:desk") if request.POST.get("from") == "desk" else reverse("pages:rounds")
    try:
        after = answer_entry(
            entry,
            choice=request.POST.get("choice", ""),
            who=writer(),
            typed=request.POST.get("typed", ""),
            unit=request.POST.get("unit", "g"),
        )
    except RecordError as error:
        add_toast(request, " ".join(f"{fault.what} {fault.hint}" for fault in error.faults))
        return redirect(back)
    if after.state == Entry.DONE and after.batch:
        add_toast(request, after.said[-1]["message"], undo=reverse("pages:undo", args=[after.batch]))
    elif after.state == Entry.LEFT:
        add_toast(request, "Left out. What the phone sent stays in the inbox of the records.")
    return redirect(back)
