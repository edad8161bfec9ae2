"""Change a number of the species file that answers rest on, and take the change back."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from holdback.bridge import catalogue_of_records
from holdback.errors import Fault, RecordError
from holdback.species.catalogue import Catalogue
from holdback.web.pages.forms.assumed import ChromosomeForm, ValueForm, initial_chromosome, initial_value
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.record_trust import words_for
from holdback.web.pages.toasts import add_toast
from holdback.web.records.models import GeneChange
from holdback.web.records.services import change_gene

CHROMOSOME = "chromosome"


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, kind: str, key: str) -> HttpResponse:
    """Change a number; what the keeper changes is laid over the species file."""
    form, title = _asked(request, catalogue_of_records(), kind, key)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        patch = form.patch() | ({"name": key} if kind == CHROMOSOME else {})
        try:
            made = change_gene(who=writer(), kind=kind, key=key, patch=patch)
        except RecordError as error:
            faults = error.faults
        else:
            assert made is not None, "a patch is given"
            add_toast(request, f"{title}: kept.", undo=undo_address(made))
            return redirect("pages:almanac")
    context = {
        "room": "Almanac",
        "form": form,
        "faults": faults,
        "title": title,
        "kind": kind,
        "key": key,
        "changed": GeneChange.objects.filter(kind=kind, key=key).exists(),
    }
    return render(request, "pages/assumed_form.html", context, status=422 if request.method == "POST" else 200)


@require_POST
def reset(request: HttpRequest, kind: str, key: str) -> HttpResponse:
    """Take the keeper's own number back."""
    before = GeneChange.objects.filter(kind=kind, key=key).first()
    if before is None:
        raise Http404(f"{key} was not changed")
    change_gene(who=writer(), kind=kind, key=key, patch=None)
    add_toast(request, "The number that ships counts again.", undo=undo_address(before))
    return redirect("pages:almanac")


def _asked(request: HttpRequest, catalogue: Catalogue, kind: str, key: str) -> tuple[ValueForm | ChromosomeForm, str]:
    """Form for a number, and what to call it."""
    data: Any = request.POST or None
    if kind == CHROMOSOME:
        pair = next((one for one in catalogue.chromosome_pairs if one.name == key), None)
        if pair is not None:
            return ChromosomeForm(data, initial=initial_chromosome(pair)), f"Chromosome pair {key}"
    tables = {"records": catalogue.records, "size": catalogue.size}
    tables |= {"chromosomes": catalogue.chromosomes, "decisions": catalogue.decisions}
    values = tables.get(kind, {})
    if key not in values:
        raise Http404(f"the species file has no {kind} {key}")
    return ValueForm(data, initial=initial_value(values[key])), words_for(key)
