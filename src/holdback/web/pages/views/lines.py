"""Lines: all of them, and one page each."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.answers import Answers
from holdback.errors import HoldbackError
from holdback.web.pages.line.breeding import BreedingPart, breeding_part
from holdback.web.pages.line.forms import BreedingForm
from holdback.web.pages.line_page import doubts_table, line_page, listed_lines
from holdback.web.pages.size.line import line_size
from holdback.web.pages.size.parts import part
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records.models import LineClaim


@require_safe
def lines(request: HttpRequest) -> HttpResponse:
    """All lines that a claim names."""
    context: dict[str, object] = {"room": "Lines"}
    try:
        found = answers_or_work()
        context |= {"working": found} if isinstance(found, Working) else {"lines": listed_lines(found)}
    except HoldbackError as error:
        context["faults"] = error.faults
    return render(request, "pages/lines.html", context)


@require_safe
def line(request: HttpRequest, name: str) -> HttpResponse:
    """One line: who brought it in, who carries it, what is left, what to do."""
    if not LineClaim.objects.filter(line=name).exists():
        raise Http404(f"no claim names the line {name}")
    context: dict[str, object] = {"room": "Lines", "line": name}
    try:
        found = answers_or_work()
        is_asked = "all" in request.GET
        context |= {"working": found} if isinstance(found, Working) else _line(found, name, is_asked=is_asked)
    except HoldbackError as error:
        context["faults"] = error.faults
    if "page" in context:
        form, is_asked = BreedingForm.of(request.GET), "all" in request.GET or BreedingForm.is_asked(request.GET)
        context["breeding"] = breeding_part(name, form) if is_asked else BreedingPart(form, is_late=True)
    if "all" in request.GET and "page" in context:
        context |= {"is_asked": True} | _doubts(name)
    return render(request, "pages/line.html", context)


def _line(answers: Answers, name: str, *, is_asked: bool) -> dict[str, object]:
    """What the page says of the line, and of its size if that is worked out or asked for."""
    size = part(answers, lambda sizes: line_size(sizes, name), is_asked=is_asked)
    return {"page": line_page(answers, name), "size": size}


@require_safe
def doubts(request: HttpRequest, name: str) -> HttpResponse:
    """Parents that are likely wrong and would move the line, as a part of its page."""
    return render(request, "pages/parts/line_doubts.html", {"line": name} | _doubts(name))


def _doubts(name: str) -> dict[str, object]:
    """Parents that are likely wrong, or how far the search for them is, or what keeps it from its end."""
    try:
        found = answers_or_work(conflicts=True)
        return {"working": found} if isinstance(found, Working) else {"doubts": doubts_table(found, name)}
    except HoldbackError as error:
        return {"faults": error.faults}
