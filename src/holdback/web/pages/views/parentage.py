"""Who the parents of an animal are."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from holdback.errors import Fault, RecordError
from holdback.web.pages.family import sires_written
from holdback.web.pages.forms.animal import ParentsForm
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records.services import set_parents


@require_http_methods(["GET", "POST"])
def parents(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Say who the parents are; what is left empty becomes unknown."""
    one = animal_or_404(key)
    start = {
        "dam": one.dam.tag if one.dam else "",
        "sires": sires_written(one),
        "clutch": one.clutch.tag if one.clutch else "",
    }
    form = ParentsForm(request.POST or None, initial=start)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            set_parents(one, who=writer(), **form.cleaned_data)
        except RecordError as error:
            faults = form.take(error)
        else:
            add_toast(request, "The parents are kept.", undo=undo_address(one))
            return redirect("pages:animal", key=one.pk)
    context = {"room": "Collection", "animal": one, "form": form, "faults": faults}
    return render(request, "pages/parents.html", context, status=422 if request.method == "POST" else 200)
