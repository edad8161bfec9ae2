"""Write one deed on a clutch and go back to its page, or show what was typed with what is wrong."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from holdback.errors import RecordError
from holdback.web.pages.clutch.foretold import Foretold, odds_part
from holdback.web.pages.clutch.page import Said, box_context, page_context
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.fragments import wants_fragment
from holdback.web.pages.size.parts import Part
from holdback.web.pages.toasts import add_toast
from holdback.web.records.models import Change, Clutch
from holdback.web.records.queries import clutch_by_tag

LOOKED = "looked"
"""What the page is told after a deed that only the box was drawn anew for: lede and numbers follow."""

Write = Callable[[uuid.UUID], object]
"""Writes a deed under a batch."""


def clutch_or_404(key: uuid.UUID) -> Clutch:
    """Clutch that is not removed, with its dam and its candidate sires."""
    found = Clutch.objects.filter(pk=key, removed_at__isnull=True).select_related("dam")
    one = found.prefetch_related("candidate_sires__sire").first()
    if one is None:
        raise Http404("there is no such clutch")
    return one


def clutch_named(name: str) -> Clutch:
    """Clutch by its tag, else by its key."""
    one = clutch_by_tag(name)
    if one is None:
        try:
            return clutch_or_404(uuid.UUID(name))
        except ValueError:
            raise Http404(f"no clutch has the tag {name}") from None
    return clutch_or_404(one.pk)


def address(clutch: Clutch, *, egg: str = "", at: str = "") -> str:
    """Address of the page of a clutch, with an egg open."""
    query = f"?{urlencode({'egg': egg})}" if egg else ""
    return f"{reverse('pages:clutch', args=[clutch.tag])}{query}{f'#{at}' if at else ''}"


def shown(request: HttpRequest, clutch: Clutch, said: Said) -> HttpResponse:
    """The page of a clutch, or its box alone where htmx asks.

    What the genes say is asked for afterwards, unless the address wants all at once.
    """
    if wants_fragment(request):
        return box_shown(request, clutch, said)
    odds = odds_part(clutch) if "all" in request.GET else Part[Foretold](is_late=True)
    context = page_context(clutch, said) | {"odds": odds}
    return render(request, "pages/clutch.html", context, status=422 if said.at else 200)


def box_shown(request: HttpRequest, clutch: Clutch, said: Said) -> HttpResponse:
    """The box alone, with the toasts that wait; it needs nothing of other clutches, so that each look is quick."""
    return render(request, "pages/parts/clutch_box.html", box_context(clutch, said) | {"is_part": True})


def done(request: HttpRequest, text: str, batch: uuid.UUID) -> None:
    """Say what was done, with a way back where something was written."""
    is_written = Change.objects.filter(batch=batch).exists()
    add_toast(request, text, undo=reverse("pages:undo", args=[batch]) if is_written else "")


def attempt(
    request: HttpRequest,
    clutch: Clutch,
    write: Write,
    *,
    text: str | Callable[[object], str],
    said: Said,
    to: str,
    egg: str = "",
) -> HttpResponse:
    """Do a deed.

    Parameters
    ----------
    request : HttpRequest
        The POST.
    clutch : Clutch
        The clutch.
    write : callable
        Writes it.
    text : str or callable
        What was done, for the toast; a callable tells it from what `write` returns.
    said : Said
        What was typed, to be shown again where it is refused or asked about.
    to : str
        Address to go on to.
    egg : str
        Mark of the egg that is open then, where htmx asks for the box alone.
    """
    batch = uuid.uuid4()
    try:
        found = write(batch)
    except RecordError as error:
        form = said.forms.get(said.at)
        asked = Said(said.at, said.egg, error.faults, said.forms, told=error.faults)
        if isinstance(form, PlainForm) and not asked.asks:
            asked = Said(said.at, said.egg, form.take(error), said.forms, told=error.faults)
        return shown(request, clutch, asked)
    done(request, text if isinstance(text, str) else text(found), batch)
    if not wants_fragment(request):
        return redirect(to)
    response = box_shown(request, clutch_or_404(clutch.pk), Said(egg=egg))
    response["HX-Push-Url"] = to.partition("#")[0]
    response["HX-Trigger"] = LOOKED
    return response
