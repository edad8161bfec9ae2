"""Add a photograph, mark it, look at it, put it away."""

from __future__ import annotations

import json
import uuid
from dataclasses import replace
from typing import Any, cast

from django.http import FileResponse, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.collection.photo_marks import TRAITS, Part
from holdback.errors import Fault, HoldbackError, RecordError
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.photos.drawing import drawn_photo
from holdback.web.pages.photos.forms import MarksForm, PhotoForm
from holdback.web.pages.photos.objects import BY_KEY, KNOWN, RULER, key_of
from holdback.web.pages.photos.words import advice, day_of, length_rows, told
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records import services
from holdback.web.records.models import Photo
from holdback.web.records.photo_files import path_of
from holdback.web.records.services import Marked

REMEMBERED = "photo_scale"
"""Key of the session under which the last scale is kept, so that it is typed once."""

A_WEEK = 7 * 24 * 3600


def photo_or_404(key: uuid.UUID) -> Photo:
    """Photo of an animal that is not removed."""
    return get_object_or_404(Photo.objects.select_related("animal"), pk=key, animal__removed_at__isnull=True)


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Choose or take a photo of an animal."""
    animal = animal_or_404(key)
    form = PhotoForm()
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        form = PhotoForm(request.POST, request.FILES)
        file = request.FILES.get("file")
        try:
            if file is None:
                raise RecordError(Fault("PHO-001", "No photo was chosen.", "Choose one, or take one.", field="file"))
            photo = services.add_photo(animal, who=writer(), file=cast(Any, file))
        except RecordError as error:
            faults = error.faults
        else:
            return redirect("pages:mark-photo", key=photo.pk)
    context = {"room": "Collection", "animal": animal, "form": form, "faults": faults}
    return render(request, "pages/photo_add.html", context, status=422 if faults else 200)


@require_safe
def photo(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """A photo with what is marked on it."""
    one = photo_or_404(key)
    rows = list(one.marks.all())
    marked = services.marked_of(rows)
    lengths = marked.lengths() if marked else ()
    said = f"Photo of {one.animal.name or one.animal.tag}, {day_of(one)}. {told(lengths)}".strip()
    context = {
        "room": "Collection",
        "photo": one,
        "animal": one.animal,
        "day": day_of(one),
        "drawn": drawn_photo(_address(one), (one.width, one.height), marked.traces if marked else (), said=said),
        "rows": length_rows(lengths),
        "told": told(lengths),
        "advice": advice(lengths),
        "faults": () if path_of(one.pk).is_file() else (_missing(),),
    }
    return render(request, "pages/photo.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def mark(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Mark a photo, and keep the marks with the readings made of them."""
    one = photo_or_404(key)
    faults: tuple[Fault, ...] = () if path_of(one.pk).is_file() else (_missing(),)
    form = MarksForm(initial=_start(request, one))
    if request.method == "POST":
        form = MarksForm(request.POST)
        try:
            kept = services.keep_marks(one, form.marked(), who=writer(), date=request.POST.get("date", "").strip())
        except HoldbackError as error:
            form.is_valid()
            faults = form.take(error)
        else:
            request.session[REMEMBERED] = {name: request.POST.get(name, "") for name in ("object", "length", "unit")}
            words = f"{len(kept)} readings are kept." if len(kept) > 1 else "The reading is kept."
            add_toast(request, words, undo=undo_address(kept[0]))
            return redirect("pages:photo", key=one.pk)
    context = {
        "room": "Collection",
        "photo": one,
        "animal": one.animal,
        "address": _address(one),
        "form": form,
        "faults": faults,
        "sources": [(known.words, known.source) for known in KNOWN],
        "parts": [(part.value, words) for part, words in _PARTS],
        "ruler": RULER,
    }
    return render(request, "pages/photo_mark.html", context, status=422 if request.method == "POST" else 200)


_PARTS = (
    (Part.SCALE, "Scale"),
    (Part.HEAD_WIDTH, "Head width"),
    (Part.HEAD_LENGTH, "Head length"),
    (Part.BODY, "Body line"),
)


def _start(request: HttpRequest, one: Photo) -> dict[str, str]:
    """What the form begins with: the marks kept of this photo, else the scale that was used last."""
    marked = services.marked_of(list(one.marks.all()))
    if marked is None:
        return {"marks": "[]", "date": one.taken, **request.session.get(REMEMBERED, {})}
    traces = [
        {"kind": part.value, "points": [list(point) for point in trace.points], "step": trace.step}
        for part, trace in marked.traces
    ]
    kept = one.marks.filter(measurement__isnull=False).select_related("measurement").first()
    key = key_of(marked.length, marked.unit)
    typed = {} if key in BY_KEY else {"length": f"{marked.length:g}", "unit": marked.unit}
    date = kept.measurement.date if kept and kept.measurement else one.taken
    return {"marks": json.dumps(traces), "object": key, "date": date, **typed}


@require_POST
def reading(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """What the marks say so far, as a part of the page; nothing is kept."""
    photo_or_404(key)
    context: dict[str, Any] = {}
    try:
        marked = MarksForm(request.POST).marked()
        if _is_measurable(marked):
            lengths = marked.lengths()
            rows = [replace(row, ground="") for row in length_rows(lengths)]  # short, while one marks
            context = {"rows": rows, "advice": advice(lengths)}
        else:
            context = {"waits": True}
    except HoldbackError as error:
        context = {"faults": error.faults}
    return render(request, "pages/parts/photo_reading.html", context)


def _is_measurable(marked: Marked) -> bool:
    """Whether there is anything of the animal to be told."""
    return any(part in TRAITS for part, _ in marked.traces)


@require_safe
def picture(request: HttpRequest, key: uuid.UUID, size: str) -> HttpResponseBase:
    """The picture itself; a photo's file never changes, so the browser may keep it, but nobody between may."""
    one = photo_or_404(key)
    path = path_of(one.pk, is_small=size == "small")
    if not path.is_file():
        return HttpResponse(_missing().what, status=404, content_type="text/plain; charset=utf-8")
    response = FileResponse(path.open("rb"), content_type="image/jpeg")
    response["Cache-Control"] = f"private, max-age={A_WEEK}, immutable"
    response["Content-Disposition"] = 'inline; filename="photo.jpg"'
    return response


@require_POST
def put_away(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take a photo out of sight, or back into it."""
    one = photo_or_404(key)
    is_away = "again" not in request.POST
    services.put_photo_away(one, who=writer(), is_away=is_away)
    add_toast(request, "The photo is put away." if is_away else "The photo is out again.", undo=undo_address(one))
    if is_away:
        return redirect("pages:animal", key=one.animal_id)
    return redirect("pages:photo", key=one.pk)


def _address(one: Photo) -> str:
    return reverse("pages:photo-large", args=[one.pk])


def _missing() -> Fault:
    hint = "Bring the folder photos back from a copy of the data folder; the marks and readings are still here."
    return Fault("PHO-014", "The file of this photo is missing.", hint)
