"""Pages of the plans for a line."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.web.pages.line.breeding import breeding_part
from holdback.web.pages.line.carry import carried
from holdback.web.pages.line.forms import BreedingForm
from holdback.web.records.models import LineClaim


@require_safe
def breeding(request: HttpRequest, name: str) -> HttpResponse:
    """Who of a line should breed, as a part of its page."""
    _line_or_404(name)
    part = breeding_part(name, BreedingForm.of(request.GET))
    return render(request, "pages/parts/line_breeding.html", {"line": name, "breeding": part})


@require_safe
def carry(request: HttpRequest, name: str) -> HttpResponse:
    """How to carry a gene into a line with the animals at hand; the address holds everything."""
    _line_or_404(name)
    context = {"room": "Lines", "line": name, "carried": carried(name, request.GET)}
    return render(request, "pages/line_carry.html", context)


def _line_or_404(name: str) -> None:
    if not LineClaim.objects.filter(line=name).exists():
        raise Http404(f"no claim names the line {name}")
