"""Log something: first who, then what, then one short form."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from holdback.collection.event_kinds import LAID
from holdback.errors import Fault, RecordError
from holdback.web.pages.fragments import wants_fragment
from holdback.web.pages.log.deeds import DEEDS, Deed, deeds_of
from holdback.web.pages.log.page import last_words, laying_address
from holdback.web.pages.log.who import animal_asked, offered, used_lately
from holdback.web.pages.questions import How, Questions, taken_in, typed
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.way_back import next_page
from holdback.web.records.models import Animal


@require_http_methods(["GET", "POST"])
def log(request: HttpRequest) -> HttpResponse:
    """Who, what, or the short form, by what the address says already."""
    asked = request.GET.get("animal", "")
    if not asked:
        return _who(request)
    animal = animal_asked(asked)
    if animal is None:
        raise Http404(f"no animal {asked}")
    what = request.GET.get("what", "")
    if not what:
        return _what(request, animal)
    if what == LAID:
        return redirect(laying_address(animal))
    if what not in DEEDS:
        raise Http404(f"nothing is logged as {what}")
    return _form(request, animal, DEEDS[what])


@require_safe
def choices(request: HttpRequest) -> HttpResponse:
    """Animals to offer under a field while one types."""
    field = request.GET.get("field", "")
    text = request.GET.get(field, "")
    context = {"field": field, "text": text.strip(), "animals": offered(text, sex=request.GET.get("sex", ""))}
    return render(request, "pages/parts/log_offers.html", context)


def _who(request: HttpRequest) -> HttpResponse:
    """Find the animal; those written of last are a tap away."""
    text = request.GET.get("who", "").strip()
    context = {
        "room": "Log",
        "text": text,
        "animals": offered(text),
        "lately": used_lately(),
        "rest": _kept(request, "what", "next"),
    }
    name = "pages/parts/log_found.html" if wants_fragment(request) else "pages/log_who.html"
    return render(request, name, context)


def _what(request: HttpRequest, animal: Animal) -> HttpResponse:
    """What happened, as buttons."""
    context = {
        "room": "Log",
        "animal": animal,
        "groups": deeds_of(animal),
        "laying": laying_address(animal),
        "rest": _kept(request, "next"),
    }
    return render(request, "pages/log_what.html", context)


def _form(request: HttpRequest, animal: Animal, deed: Deed) -> HttpResponse:
    """The short form, or writing it down."""
    form = deed.form(typed(request.POST) if request.method == "POST" else None, animal=animal)
    faults: tuple[Fault, ...] = ()
    asked: Questions | None = None
    if request.method == "POST" and form.is_valid():
        how = How.of(request.POST.dict())
        try:
            said = deed.write(animal, form.cleaned_data, how)
        except RecordError as error:
            faults, asked = taken_in(form, error, how)
        else:
            undo = how.undo
            add_toast(request, said if undo else f"Nothing new: that was written already. {said}", undo=undo)
            return redirect(next_page(request) or f"{reverse('pages:log')}?animal={animal.pk}")
    context: dict[str, Any] = {
        "room": "Log",
        "animal": animal,
        "deed": deed,
        "form": form,
        "faults": faults,
        "asked": asked,
        "last": last_words(animal, deed),
        "rest": _kept(request, "next"),
        "next": next_page(request),
    }
    return render(request, "pages/log_form.html", context, status=422 if request.method == "POST" else 200)


def _kept(request: HttpRequest, *names: str) -> str:
    """Parts of the address that go along, as the end of a query."""
    kept = request.GET.copy()
    for name in list(kept):
        if name not in names:
            del kept[name]
    return f"&{kept.urlencode()}" if kept else ""
