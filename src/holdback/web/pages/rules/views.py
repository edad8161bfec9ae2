"""The keeper's own rules: read, set, tried out; incubators and boxes."""

from __future__ import annotations

import re
import uuid
from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import NoReverseMatch, reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.errors import Fault, RecordError
from holdback.web.pages.clutch.boxes import places_of_eggs
from holdback.web.pages.clutch.deed import done
from holdback.web.pages.components import Column, Table
from holdback.web.pages.keeper import writer
from holdback.web.pages.rules.example import example
from holdback.web.pages.rules.forms import BoxesForm, IncubatorForm, RulesForm, as_typed
from holdback.web.pages.wording import listed
from holdback.web.records import services
from holdback.web.records.clock import today
from holdback.web.records.models import Place
from holdback.web.records.own_rules import RULES, own_rules
from holdback.web.records.services.boxes import INCUBATOR


@require_http_methods(["GET", "POST"])
def own(request: HttpRequest) -> HttpResponse:
    """Own rules; all that were changed are set in one deed."""
    before = as_typed(own_rules())
    form = RulesForm(request.POST or None, initial=before)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        batch = uuid.uuid4()
        changed = {key: text for key, text in form.cleaned_data.items() if text.strip() != before[key]}
        error = _set(changed, batch)
        if error is None:
            done(request, "Your rules are kept." if changed else "Nothing was changed.", batch)
            return redirect("pages:own-rules")
        faults = form.take(error)
    return _page(request, {"form": form, "faults": faults}, status=422 if request.method == "POST" else 200)


def _set(changed: dict[str, str], batch: uuid.UUID) -> RecordError | None:
    """Set rules, all or none; what is wrong with them, together."""
    found: list[Fault] = []
    with transaction.atomic():
        for key, text in changed.items():
            try:
                services.set_rule(key, text.strip() or _emptied(key), who=writer(), batch=batch)
            except RecordError as error:
                found += error.faults
        if found:
            transaction.set_rollback(True)
    return RecordError(found) if found else None


def _emptied(key: str) -> str | None:
    """What an empty field means: no text where a rule may be empty, else its default."""
    return "" if key in {"egg_prefix", "qr_address", "candle_days"} else None


@require_safe
def tried(request: HttpRequest) -> HttpResponse:
    """The ids that patterns would give, as they are typed."""
    now = own_rules()
    said = example(
        request.GET.get("clutch_pattern", now.clutch_pattern),
        request.GET.get("hatchling_pattern", now.hatchling_pattern),
        year=today().year,
    )
    return HttpResponse(said, content_type="text/plain; charset=utf-8")


@require_POST
def add_incubator(request: HttpRequest) -> HttpResponse:
    """A new incubator."""
    form = IncubatorForm(request.POST)
    faults: tuple[Fault, ...] = ()
    if form.is_valid():
        batch = uuid.uuid4()
        try:
            made = services.add_incubator(who=writer(), batch=batch, **form.cleaned_data)
        except RecordError as error:
            faults = form.take(error)
        else:
            done(request, f"{made.name} is there.", batch)
            return redirect(f"{reverse('pages:own-rules')}#places")
    return _page(request, {"incubator_form": form, "place_faults": faults}, status=422)


@require_POST
def add_boxes(request: HttpRequest) -> HttpResponse:
    """New boxes in an incubator."""
    form = BoxesForm(request.POST, incubators=_incubators())
    faults: tuple[Fault, ...] = ()
    if form.is_valid():
        typed, batch = form.cleaned_data, uuid.uuid4()
        within = get_object_or_404(Place, pk=typed["incubator"])
        names = [name.strip() for name in re.split(r"[,;\n]", typed["boxes"]) if name.strip()]
        try:
            made = services.add_boxes(within, names, who=writer(), capacity=typed["each"], batch=batch)
        except RecordError as error:
            faults = form.take(error)
        else:
            done(request, f"{listed([box.name for box in made])} in {within.name}.", batch)
            return redirect(f"{reverse('pages:own-rules')}#places")
    return _page(request, {"boxes_form": form, "place_faults": faults}, status=422)


def _incubators() -> list[tuple[str, str]]:
    return [(str(key), name) for key, name in Place.objects.filter(kind=INCUBATOR).values_list("id", "name")]


def _page(request: HttpRequest, more: dict[str, Any], *, status: int) -> HttpResponse:
    now = own_rules()
    incubators = _incubators()
    context = {
        "room": "Almanac",
        "form": RulesForm(initial=as_typed(now)),
        "example": example(now.clutch_pattern, now.hatchling_pattern, year=today().year),
        "incubator_form": IncubatorForm(),
        "boxes_form": BoxesForm(incubators=incubators),
        "incubators": incubators,
        "places": _places(),
        "all_places": _all_places(),
        "n_rules": len(RULES),
    }
    return render(request, "pages/own_rules.html", context | more, status=status)


def _places() -> Table | None:
    """Places for eggs with their room."""
    rooms = {str(key): room for key, room in Place.objects.values_list("id", "capacity")}
    rows = [[name, "not said" if rooms[key] is None else str(rooms[key])] for key, name in places_of_eggs()]
    return Table([Column("Place"), Column("Egg places", is_number=True)], rows, is_cards=False) if rows else None


def _all_places() -> str:
    """Address of the page of all places; empty where there is none."""
    try:
        return reverse("pages:places")
    except NoReverseMatch:
        return ""
