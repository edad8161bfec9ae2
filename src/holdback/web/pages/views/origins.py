"""Write down, correct and take back where an animal is said to come from."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from holdback.errors import Fault, RecordError
from holdback.web.pages.forms.origin import OriginForm, initial_of
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records import services
from holdback.web.records.models import PlaceOfOrigin


@require_http_methods(["GET", "POST"])
def origin(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Say where an animal comes from."""
    one = animal_or_404(key)
    present = PlaceOfOrigin.objects.filter(animal=one).first()
    form = OriginForm(request.POST or None, initial=initial_of(present))
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            said = services.set_origin(one, who=writer(), **form.record())
        except RecordError as error:
            faults = form.take(error)
        else:
            add_toast(request, "The place is kept.", undo=undo_address(said))
            return redirect("pages:animal", key=one.pk)
    context = {"room": "Collection", "animal": one, "form": form, "present": present, "faults": faults}
    return render(request, "pages/origin.html", context, status=422 if request.method == "POST" else 200)


@require_POST
def remove(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take back where an animal is said to come from."""
    said = get_object_or_404(PlaceOfOrigin, animal=animal_or_404(key))
    services.remove_origin(said, who=writer())
    add_toast(request, "The place is taken back.", undo=undo_address(said))
    return redirect("pages:animal", key=key)
