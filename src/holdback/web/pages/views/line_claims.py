"""Write down, correct and take back what is said of an animal's share of a line."""

from __future__ import annotations

import uuid
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from holdback.errors import Fault, RecordError
from holdback.web.pages.family import sire_rows
from holdback.web.pages.forms.line import LineClaimForm
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records import services
from holdback.web.records.models import Animal, LineClaim


@require_http_methods(["GET", "POST"])
def add(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Say how much of a line an animal is."""
    one = animal_or_404(key)
    form = LineClaimForm(request.POST or None, initial={"line": request.GET.get("line", "")})

    def write() -> LineClaim:
        return services.add_line_claim(one, who=writer(), **form.record())

    return _written(request, one, form, write)


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Correct what is said."""
    claim = get_object_or_404(LineClaim.objects.select_related("animal"), pk=key)
    start = {
        "line": claim.line,
        "low": round(100 * claim.share_low, 6),
        "high": round(100 * claim.share_high, 6),
        "ground": claim.ground,
    }
    form = LineClaimForm(request.POST or None, initial=start)
    form.fields["line"].disabled = True

    def write() -> LineClaim:
        said = form.record()
        said.pop("line")
        return services.change_line_claim(claim, who=writer(), **said)

    return _written(request, claim.animal, form, write, claim=claim)


@require_POST
def remove(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take back what is said."""
    claim = get_object_or_404(LineClaim.objects.select_related("animal"), pk=key)
    services.remove_line_claim(claim, who=writer())
    add_toast(request, "The claim is taken back.", undo=undo_address(claim))
    return redirect("pages:animal", key=claim.animal_id)


def _written(
    request: HttpRequest,
    one: Animal,
    form: LineClaimForm,
    write: Callable[[], LineClaim],
    *,
    claim: LineClaim | None = None,
) -> HttpResponse:
    """Show the form, or write it and go back to the animal with a toast."""
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            record = write()
        except RecordError as error:
            faults = form.take(error)
        else:
            add_toast(request, "The claim is kept.", undo=undo_address(record))
            return redirect("pages:animal", key=one.pk)
    context = {
        "room": "Lines",
        "animal": one,
        "form": form,
        "claim": claim,
        "has_parents": bool(one.dam_id or one.clutch_id or sire_rows(one)),
        "faults": faults,
        "lines": LineClaim.objects.order_by("line").values_list("line", flat=True).distinct(),
    }
    return render(request, "pages/line_claim.html", context, status=422 if request.method == "POST" else 200)
