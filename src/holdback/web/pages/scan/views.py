"""Scan a label: take a photo, go to what it is of."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl, urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from holdback.errors import Fault, RecordError
from holdback.web.pages.labels.views import address_of
from holdback.web.pages.scan.reading import Code, codes_on
from holdback.web.records.models import Animal, Clutch, Place
from holdback.web.records.short_codes import Found

_ROUND = ("what", "place", "animals", "unit", "prey", "due")
"""What an address of a round may hold."""


@require_http_methods(["GET", "POST"])
def scan(request: HttpRequest) -> HttpResponse:
    """Read a photo and go on; or say what was read, or why nothing was."""
    round_ = _round(request.POST.get("round", "") or request.GET.get("round", ""))
    faults: tuple[Fault, ...] = ()
    codes: list[Code] = []
    if request.method == "POST":
        photo = request.FILES.get("photo")
        try:
            codes = codes_on(photo.file if photo else None, photo.size if photo else None)
        except RecordError as error:
            faults = error.faults
    known = [(code.found, _way_on(code.found, round_)) for code in codes if code.found is not None]
    if len(codes) == len(known) == 1:
        return redirect(known[0][1])
    if codes and not known:
        faults = tuple(_strange(code) for code in codes)
    context = {
        "room": "Rounds" if round_ is not None else "Collection",
        "round": round_,
        "faults": faults,
        "known": [(_said(found), way) for found, way in known],
        "strange": [_strange(code) for code in codes if code.found is None] if known else [],
    }
    return render(request, "pages/scan.html", context, status=422 if faults else 200)


def _round(text: str) -> str | None:
    """Query of the round that is gone through, with nothing strange in it; None outside of one."""
    if not text:
        return None
    return urlencode([(name, value) for name, value in parse_qsl(text) if name in _ROUND]) or "what=both"


def _way_on(found: Found, round_: str | None) -> str:
    """Its page; within a round its tub there."""
    if round_ is None:
        return address_of(found)
    animal = found if isinstance(found, Animal) else _only_one_in(found)
    return f"{reverse('pages:round')}?{round_}&at={animal.pk}" if animal else address_of(found)


def _only_one_in(found: Clutch | Place) -> Animal | None:
    """The animal of a tub, where just one is in it."""
    if isinstance(found, Clutch):
        return None
    stays = found.stays.filter(until__isnull=True).select_related("animal")[:2]
    return stays[0].animal if len(stays) == 1 else None


def _said(found: Found) -> str:
    """What it is, for a link."""
    if isinstance(found, Clutch):
        return f"Clutch {found.tag}"
    return str(found)


def _strange(code: Code) -> Fault:
    """Why a code leads nowhere; it is not followed."""
    fields: dict[str, Any] = {"field": "photo", "value": code.text[:80]}
    if code.is_label:
        what = "the label is of nothing in these records: of another keeper, or what it was of was removed."
        return Fault("SEA-344", what, "Find the animal by its name instead.", **fields)
    what = f"the code is of another program and was not followed: {code.text[:80]!r}."
    return Fault("SEA-343", what, "Scan a label printed here.", **fields)
