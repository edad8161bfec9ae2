"""The pedigree of an animal: its page, and the drawing as a file."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from holdback.errors import Fault, HoldbackError
from holdback.web.pages import animal_words, family, keeper
from holdback.web.pages.pedigree.asked import MOST_DOWN, MOST_UP, Asked
from holdback.web.pages.pedigree.page import View
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records import clock
from holdback.web.records.models import Animal


@require_safe
def pedigree(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Ancestors and descendants as a drawing and as a list; the address holds every option."""
    one = animal_or_404(key)
    asked = Asked.of(request.GET.dict())
    context: dict[str, Any] = {
        "room": "Collection",
        "animal": one,
        "her": animal_words.PRONOUN.get(one.sex, "It"),
        "asked": asked,
        "query": asked.address(),
        "ups": range(MOST_UP + 1),
        "downs": range(MOST_DOWN + 1),
    }
    found = _view(one, asked)
    if isinstance(found, View):
        context |= {"shown": found.page(), "unfolded": asked.unfolded().address()}
    elif isinstance(found, Working):
        context["working"] = found
    else:
        context["faults"] = found
    return render(request, "pages/pedigree.html", context)


@require_safe
def pedigree_file(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The drawing alone, black on white, with its head and how to read it."""
    one = animal_or_404(key)
    asked = Asked.of(request.GET.dict())
    found = _view(one, asked)
    if not isinstance(found, View):
        # The page says how far the work is, or what is wrong.
        return redirect(reverse("pages:pedigree", args=[key]) + asked.address())
    text = found.file(keeper=keeper.name(), today=clock.today())
    response = HttpResponse(text, content_type="image/svg+xml")
    name = "".join(letter if letter.isalnum() else "-" for letter in one.tag)
    response["Content-Disposition"] = f'inline; filename="pedigree-{name}.svg"'
    return response


def _view(one: Animal, asked: Asked) -> View | Working | tuple[Fault, ...]:
    """The pedigree, the job that works the answers out, or what is wrong."""
    try:
        answers = answers_or_work(one.species)
        return answers if isinstance(answers, Working) else View(answers, family.record_id(one), asked)
    except HoldbackError as error:
        return error.faults
