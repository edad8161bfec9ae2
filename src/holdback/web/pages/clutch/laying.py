"""She laid: a clutch with everything that was weighed, on one form."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from holdback.errors import Fault, RecordError
from holdback.web.pages.clutch.boxes import places_of_eggs
from holdback.web.pages.clutch.deed import address, clutch_or_404, done
from holdback.web.pages.clutch.forms import ClutchForm, LayingForm
from holdback.web.pages.clutch.page import Said
from holdback.web.pages.family import sires_as_typed
from holdback.web.pages.keeper import writer
from holdback.web.pages.wording import about, counted, listed
from holdback.web.records import services
from holdback.web.records.clock import today
from holdback.web.records.likely_sires import likely_sires
from holdback.web.records.models import Clutch, Place
from holdback.web.records.new_ids import next_clutch_id
from holdback.web.records.queries import animal_by_tag


@require_http_methods(["GET", "POST"])
def lay(request: HttpRequest) -> HttpResponse:
    """Write down a clutch; the address may name the dam and the sire."""
    dam, sire, day = request.GET.get("dam", ""), request.GET.get("sire", ""), today().isoformat()
    mother = animal_by_tag(request.POST.get("dam", dam).strip())
    by_matings = likely_sires(mother, day) if mother else ()
    start = {"dam": dam, "sires": "" if sire in {one.animal for one in by_matings} else sire, "laid": day}
    form = LayingForm(request.POST or None, initial=start, boxes=places_of_eggs(), auto_id="%s")
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        batch = uuid.uuid4()
        try:
            made = _written(form.cleaned_data, batch, sure="sure" in request.POST)
        except RecordError as error:
            faults = error.faults if Said("lay", faults=error.faults).asks else form.take(error)
        else:
            done(request, f"Clutch {made.tag}: {counted(made.eggs or 0, 'egg')}.", batch)
            return redirect(address(made))
    context = {
        "room": "Season",
        "form": form,
        "said": Said("lay", faults=faults),
        "mother": mother,
        "by_matings": listed([f"{one.animal} ({about(one.weight)})" for one in by_matings]),
        "next_id": next_clutch_id(today().year, dam=mother.tag if mother else ""),
    }
    return render(request, "pages/clutch_new.html", context, status=422 if request.method == "POST" else 200)


def _written(typed: Mapping[str, Any], batch: uuid.UUID, *, sure: bool) -> Clutch:
    """The clutch as it was typed."""
    box = Place.objects.filter(pk=typed["box"]).first() if typed["box"] else None
    return services.lay_clutch(
        who=writer(),
        dam=typed["dam"].strip(),
        laid=typed["laid"],
        eggs=typed["eggs"],
        batch=batch,
        sure=sure,
        slugs=typed["slugs"],
        masses=typed["masses"],
        clutch_mass_g=typed["clutch_mass_g"],
        dam_mass_g=typed["dam_mass_g"],
        box=box,
        tag=typed["tag"],
        notes=typed["notes"],
        **({"sires": typed["sires"]} if typed["sires"].strip() else {}),
    )


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Correct what is said of a clutch itself."""
    one = clutch_or_404(key)
    names = ("tag", "laid", "hatched", "eggs", "slugs", "notes")
    start = {name: getattr(one, name) for name in names}
    start |= {"dam": one.dam.tag if one.dam else "", "sires": sires_as_typed(list(one.candidate_sires.all()))}
    form = ClutchForm(request.POST or None, initial=start, auto_id="%s")
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        batch, typed = uuid.uuid4(), form.cleaned_data
        if typed["sires"] == start["sires"]:
            typed.pop("sires")  # weights as they are on record, which the field shows rounded
        try:
            services.correct_clutch(one, who=writer(), batch=batch, **typed)
        except RecordError as error:
            faults = form.take(error)
        else:
            done(request, "The clutch is corrected.", batch)
            return redirect(address(clutch_or_404(key)))
    context = {"room": "Season", "clutch": clutch_or_404(key), "form": form, "faults": faults}
    return render(request, "pages/clutch_form.html", context, status=422 if request.method == "POST" else 200)
