"""List what happened to an animal, correct an entry, take one out."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.errors import Fault, RecordError
from holdback.web.pages.fragments import wants_fragment
from holdback.web.pages.happened.forms import EventForm, MatingForm, ReadingForm
from holdback.web.pages.happened.page import (
    DAILY,
    EVENT,
    MATING,
    READING,
    event_words,
    mating_words,
    page_of,
    reading_words,
)
from holdback.web.pages.questions import How, Questions, taken_in, typed
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.pages.way_back import next_page
from holdback.web.records import services
from holdback.web.records.models import Animal, Mating, Measurement, Observation


@dataclass(frozen=True, slots=True)
class Kind:
    """How entries of one kind are found, told, corrected and taken out."""

    find: Callable[[uuid.UUID], Any]
    form: Callable[..., Any]
    words: Callable[[Any], str]
    animal: Callable[[Any], Animal]
    change: Callable[[Any, dict[str, Any], How], object]
    remove: Callable[[Any, How], object]


KINDS: dict[str, Kind] = {
    EVENT: Kind(
        lambda key: get_object_or_404(Observation.objects.select_related("animal"), pk=key),
        EventForm,
        event_words,
        lambda seen: seen.animal,
        lambda seen, said, how: services.change_observation(
            seen, who=how.who, sure=how.sure, batch=how.batch, **said
        ),
        lambda seen, how: services.remove_observation(seen, who=how.who, batch=how.batch),
    ),
    READING: Kind(
        lambda key: get_object_or_404(Measurement.objects.select_related("animal"), pk=key),
        ReadingForm,
        reading_words,
        lambda one: one.animal,
        lambda one, said, how: services.change_measurement(one, who=how.who, batch=how.batch, **said),
        lambda one, how: services.remove_measurement(one, who=how.who, batch=how.batch),
    ),
    MATING: Kind(
        lambda key: get_object_or_404(Mating.objects.select_related("dam", "sire"), pk=key),
        MatingForm,
        lambda one: mating_words(one, one.sire),
        lambda one: one.dam,
        lambda one, said, how: services.change_mating(one, who=how.who, sure=how.sure, batch=how.batch, **said),
        lambda one, how: services.remove_mating(one, who=how.who, batch=how.batch),
    ),
}  # fmt: skip


@require_safe
def happened(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """All that happened to an animal, by pages."""
    one = animal_or_404(key)
    but_daily = request.GET.get("but") == DAILY
    found = page_of(one, number=request.GET.get("page", "1"), but_daily=but_daily)
    context = {
        "room": "Collection",
        "animal": one,
        "page": found,
        "entries": found.object_list,
        "but": DAILY if but_daily else "",
        "next": request.get_full_path(),
    }
    name = "pages/parts/happened_list.html" if wants_fragment(request) else "pages/happened.html"
    return render(request, name, context)


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, kind: str, key: uuid.UUID) -> HttpResponse:
    """Correct one entry; the log keeps what stood there before."""
    of = _kind(kind)
    record = of.find(key)
    form = of.form(typed(request.POST) if request.method == "POST" else None, record=record)
    faults: tuple[Fault, ...] = ()
    asked: Questions | None = None
    if request.method == "POST" and form.is_valid():
        how = How.of(request.POST.dict())
        try:
            of.change(record, form.said(), how)
        except RecordError as error:
            faults, asked = taken_in(form, error, how)
        except forms.ValidationError as error:
            form.add_error("typed", error)
        else:
            undo = how.undo
            add_toast(request, "Corrected." if undo else "Nothing was changed.", undo=undo)
            return redirect(_back(request, of.animal(record)))
        record = of.find(key)
    context: dict[str, Any] = {
        "room": "Collection",
        "animal": of.animal(record),
        "kind": kind,
        "record": record,
        "words": of.words(record),
        "form": form,
        "faults": faults,
        "asked": asked,
        "back": _back(request, of.animal(record)),
        "query": request.GET.urlencode(),
    }
    return render(request, "pages/happened_form.html", context, status=422 if request.method == "POST" else 200)


@require_POST
def remove(request: HttpRequest, kind: str, key: uuid.UUID) -> HttpResponse:
    """Take one entry out; undo brings it back."""
    of = _kind(kind)
    record = of.find(key)
    animal, words, how = of.animal(record), of.words(record), How(uuid.uuid4())
    try:
        of.remove(record, how)
    except RecordError as error:
        context = {"room": "Collection", "faults": error.faults, "back": _back(request, animal)}
        return render(request, "pages/refused.html", context, status=422)
    add_toast(request, f"Taken out: {words}.", undo=how.undo)
    return redirect(_back(request, animal))


def _kind(kind: str) -> Kind:
    if kind not in KINDS:
        raise Http404(f"no entries of the kind {kind}")
    return KINDS[kind]


def _back(request: HttpRequest, animal: Animal) -> str:
    return next_page(request) or reverse("pages:happened", args=[animal.pk])
