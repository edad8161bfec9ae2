"""Prove an odd look: mark which young showed it, read what that says."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.bridge import answers
from holdback.errors import HoldbackError
from holdback.web.pages import family
from holdback.web.pages.odd_look import nests_of, odd_answer
from holdback.web.pages.views.animal import animal_or_404


@require_safe
def odd_look(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Form and, once asked, the answer; the address holds what was marked, nothing is written."""
    one = animal_or_404(key)
    name = family.record_id(one)
    shown, stronger = request.GET.getlist("shown"), request.GET.getlist("stronger")
    context: dict[str, Any] = {"room": "Collection", "animal": one, "is_asked": "ask" in request.GET}
    try:
        found = answers(one.species)
        context["nests"] = nests_of(found.collection, name, shown, stronger)
        if context["is_asked"]:
            context["answer"] = odd_answer(found, name, shown=shown, stronger=stronger)
    except HoldbackError as error:
        context["faults"] = error.faults
    return render(request, "pages/odd.html", context)
