"""Put together, apart, lock: one tap each."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from holdback.errors import Fault, RecordError
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.log.deeds import log_lock, put_together
from holdback.web.pages.log.who import animal_meant
from holdback.web.pages.matings import page
from holdback.web.pages.matings.forms import TogetherForm
from holdback.web.pages.questions import How, Questions, taken_in, typed
from holdback.web.pages.toasts import add_toast
from holdback.web.records import services
from holdback.web.records.clock import today
from holdback.web.records.models import Mating


@require_http_methods(["GET", "POST"])
def matings(request: HttpRequest) -> HttpResponse:
    """Who is with whom, and putting two together."""
    form = TogetherForm(
        typed(request.POST) if request.method == "POST" else None,
        initial={"dam": request.GET.get("dam", ""), "sire": request.GET.get("sire", "")},
    )
    faults: tuple[Fault, ...] = ()
    asked: Questions | None = None
    if request.method == "POST" and form.is_valid():
        how = How.of(request.POST.dict())
        try:
            said = _together(form, how)
        except RecordError as error:
            faults, asked = taken_in(form, error, how)
        else:
            return _done(request, said, how)
    now, forgotten = page.pairs(today())
    plain, doubt = page.title(now, forgotten)
    context: dict[str, Any] = {
        "room": "Season",
        "form": form,
        "faults": faults,
        "asked": asked,
        "now": now,
        "forgotten": forgotten,
        "plain": plain,
        "doubt": doubt,
        "males": page.males(today()),
    }
    return render(request, "pages/matings.html", context, status=422 if request.method == "POST" else 200)


def _together(form: TogetherForm, how: How) -> str:
    said = form.cleaned_data
    dam, sire = (animal_meant(said[name], field=name) for name in ("dam", "sire"))
    return put_together(dam, sire, said["on"], how)


@require_POST
def lock(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """A lock seen today."""
    mating = _mating(key)
    return _tapped(
        request,
        mating,
        lambda how: log_lock(mating.dam, mating.sire, today(), how, mating=mating),
        what="Lock",
    )


@require_POST
def apart(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The two are parted today."""
    mating = _mating(key)

    def write(how: How) -> str:
        services.part(mating, who=how.who, on=today(), sure=how.sure, batch=how.batch)
        return f"{mating.sire} and {mating.dam} are apart."

    return _tapped(request, mating, write, what="Apart")


def _mating(key: uuid.UUID) -> Mating:
    return get_object_or_404(Mating.objects.select_related("dam", "sire"), pk=key)


def _tapped(request: HttpRequest, mating: Mating, write: Callable[[How], str], *, what: str) -> HttpResponse:
    """Write a deed of one tap, or ask what it made the records ask."""
    how = How.of(request.POST.dict())
    try:
        said = write(how)
    except RecordError as error:
        faults, asked = taken_in(PlainForm(), error, how)
        context = {"room": "Season", "mating": mating, "what": what, "faults": faults, "asked": asked}
        return render(request, "pages/matings_asked.html", context, status=422)
    return _done(request, said, how)


def _done(request: HttpRequest, said: str, how: How) -> HttpResponse:
    undo = how.undo
    add_toast(request, said if undo else f"Nothing new: that was written already. {said}", undo=undo)
    return redirect("pages:matings")
