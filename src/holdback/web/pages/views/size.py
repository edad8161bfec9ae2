"""Sizes: the biggest, and the parts of other pages that tell of sizes."""

from __future__ import annotations

import uuid

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.bridge import catalogue_of_records
from holdback.web.pages import family
from holdback.web.pages.growth import growth
from holdback.web.pages.size.animal import how_big
from holdback.web.pages.size.biggest import Asked, biggest_lists
from holdback.web.pages.size.line import line_size
from holdback.web.pages.size.pair import young_rows
from holdback.web.pages.size.parts import asked_part
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records.models import LineClaim
from holdback.web.records.overlay import SPECIES
from holdback.web.records.queries import animal_by_tag


@require_safe
def biggest(request: HttpRequest) -> HttpResponse:
    """The biggest for their age, females and males apart."""
    lines = list(LineClaim.objects.values_list("line", flat=True).distinct().order_by("line"))
    asked = Asked.of(request.GET.dict(), lines)
    found = asked_part(SPECIES, lambda sizes: biggest_lists(sizes, asked))
    context = {"room": "Collection", "size": found, "asked": asked, "lines": lines}
    return render(request, "pages/biggest.html", context)


@require_safe
def of_animal(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """How big an animal is, as a part of its page."""
    one = animal_or_404(key)
    name = family.record_id(one)
    context = {
        "animal": one,
        "growth": growth(one, list(one.measurements.all()), catalogue_of_records(one.species)),
        "size": asked_part(one.species, lambda sizes: how_big(sizes, name)),
    }
    return render(request, "pages/parts/size_animal.html", context)


@require_safe
def of_line(request: HttpRequest, name: str) -> HttpResponse:
    """Whether a line is bigger, as a part of its page."""
    context = {"line": name, "size": asked_part(SPECIES, lambda sizes: line_size(sizes, name))}
    return render(request, "pages/parts/size_line.html", context)


@require_safe
def of_young(request: HttpRequest) -> HttpResponse:
    """What the young of a pair would weigh, as a part of its page."""
    sire, dam = (animal_by_tag(request.GET.get(side, "")) for side in ("sire", "dam"))
    if sire is None or dam is None:
        raise Http404("both of the pair have to be on record")
    ids = family.record_id(sire), family.record_id(dam)
    found = asked_part(sire.species, lambda sizes: young_rows(sizes, *ids))
    return render(request, "pages/parts/size_young.html", {"size": found})
