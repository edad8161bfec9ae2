"""The list of animals, and adding one."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse
from django.views.decorators.http import require_http_methods, require_safe

from holdback.bridge import catalogue_of_records
from holdback.errors import RecordError
from holdback.web.pages.forms.animal import AnimalForm
from holdback.web.pages.fragments import wants_fragment
from holdback.web.pages.gene_words import allele_named
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.readings import read_back
from holdback.web.pages.roster import SORTS, Question, choices, roster
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.wording import counted
from holdback.web.records.services import add_animal as write_animal

FOLDED = ("shows", "carries", "year", "origin", "line", "whose")
"""Questions of the part that unfolds."""


@require_safe
def collection(request: HttpRequest) -> HttpResponse:
    """Who is here, by search, filter and order."""
    question = Question.of(request.GET.dict())
    catalogue = catalogue_of_records()
    found = roster(question, catalogue, page=request.GET.get("page", "1"))
    unknown = [name for name in (question.shows, question.carries) if name and not allele_named(name, catalogue)]
    context = {
        "room": "Collection",
        "roster": found,
        "question": question,
        "address": question.address(),
        "unknown_genes": " and ".join(unknown),
        "unknown_genes_many": len(unknown) > 1,
    }
    if wants_fragment(request):
        response = render(request, "pages/parts/roster.html", context)
        page = found.page.number
        parts = [question.address(), f"page={page}" if page > 1 else ""]
        query = "&".join(part for part in parts if part)
        response["HX-Push-Url"] = reverse("pages:collection") + (f"?{query}" if query else "")
        return response
    context |= {
        "said": f"{counted(found.total, 'animal')} on record." if found.total else "No animal is on record yet.",
        "choices": choices(),
        "sorts": [(key, label) for key, (label, _) in SORTS.items()],
        "gene_names": sorted(allele.name for allele in catalogue.alleles.values()),
        "has_more": any(getattr(question, name) for name in FOLDED),
        "import_url": import_url(),
    }
    return render(request, "pages/collection.html", context)


def import_url() -> str:
    """Address of the import's first page; empty where there is none."""
    try:
        return reverse("imports:start")
    except NoReverseMatch:
        return ""


@require_safe
def reading(request: HttpRequest) -> HttpResponse:
    """What is read of the shorthand that is being typed."""
    fields = ("genes", "text", "sire", "dam", "want", *(name for name in request.GET if name.endswith("-genes")))
    text = next((value for key in fields if (value := request.GET.get(key, ""))), "")
    back = read_back(text, catalogue_of_records()) if text.strip() else None
    return render(request, "pages/parts/reading.html", {"back": back})


@require_http_methods(["GET", "POST"])
def add_animal(request: HttpRequest) -> HttpResponse:
    """Form for a new animal; after it, her page."""
    form = AnimalForm(request.POST or None)
    faults: tuple[object, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            made = write_animal(who=writer(), **form.record())
        except RecordError as error:
            faults = form.take(error)
        else:
            add_toast(request, f"{made} is on record.", undo=undo_address(made))
            return redirect("pages:animal", key=made.pk)
    catalogue = catalogue_of_records()
    typed = form["genes"].value() or ""
    context = {
        "room": "Collection",
        "form": form,
        "faults": faults,
        "back": read_back(typed, catalogue) if typed else None,
        "import_url": import_url(),
    }
    return render(request, "pages/animal_new.html", context, status=422 if request.method == "POST" else 200)
