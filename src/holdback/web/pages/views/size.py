"""Sizes: the biggest, the young of a clutch, and the parts of other pages that tell of sizes."""

from __future__ import annotations

import uuid

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.bridge import catalogue_of_records
from holdback.collection.model import PartialDate
from holdback.web.pages import family
from holdback.web.pages.growth import growth
from holdback.web.pages.size.animal import how_big
from holdback.web.pages.size.biggest import Asked, biggest_lists
from holdback.web.pages.size.clutch import hatchlings
from holdback.web.pages.size.line import line_size
from holdback.web.pages.size.pair import young_rows
from holdback.web.pages.size.parts import asked_part
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.pages.wording import day
from holdback.web.records.models import Clutch, LineClaim
from holdback.web.records.overlay import SPECIES
from holdback.web.records.queries import animal_by_tag, clutch_by_tag, present_animals


@require_safe
def biggest(request: HttpRequest) -> HttpResponse:
    """The biggest for their age, females and males apart."""
    lines = list(LineClaim.objects.values_list("line", flat=True).distinct().order_by("line"))
    asked = Asked.of(request.GET.dict(), lines)
    found = asked_part(SPECIES, lambda sizes: biggest_lists(sizes, asked))
    context = {"room": "Collection", "size": found, "asked": asked, "lines": lines}
    return render(request, "pages/biggest.html", context)


@require_safe
def clutch(request: HttpRequest, name: str) -> HttpResponse:
    """Young of a clutch beside each other."""
    one = _clutch_or_404(name)
    species = one.dam.species if one.dam else SPECIES
    young = list(present_animals().filter(clutch=one).order_by("tag"))
    context = {
        "room": "Collection",
        "clutch": one,
        "over": _over(one),
        "sires": [row.sire for row in one.candidate_sires.select_related("sire") if row.sire],
        "young": young,
        "size": asked_part(young[0].species if young else species, lambda sizes: hatchlings(sizes, one.tag)),
    }
    return render(request, "pages/clutch.html", context)


def _clutch_or_404(name: str) -> Clutch:
    """Clutch by its tag, else by its key."""
    found = clutch_by_tag(name)
    if found is None:
        try:
            found = Clutch.objects.filter(pk=uuid.UUID(name), removed_at__isnull=True).first()
        except ValueError:
            found = None
    if found is None:
        raise Http404(f"no clutch has the tag {name}")
    return found


def _over(one: Clutch) -> str:
    """Line above the title: when it was laid and hatched, and how many eggs."""
    laid = f"Laid {day(PartialDate.parse(one.laid))}" if one.laid else "Laying date not known"
    hatched = f"hatched {day(PartialDate.parse(one.hatched))}" if one.hatched else ""
    eggs = f"{one.eggs} eggs" if one.eggs is not None else ""
    return " · ".join(part for part in (laid, hatched, eggs) if part)


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
