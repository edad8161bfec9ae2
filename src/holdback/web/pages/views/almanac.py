"""The almanac: genes, what they do, how sure that is; the keeper's own among them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from holdback.bridge import catalogue_of_records
from holdback.errors import Fault, RecordError
from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele, Inheritance, Mark
from holdback.species.naming import slug_of
from holdback.web.pages import gene_page
from holdback.web.pages.carriers import carriers, counts_here
from holdback.web.pages.forms.gene import GeneForm, initial_of
from holdback.web.pages.fragments import wants_fragment
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.record_trust import builds_table, chromosome_table, decisions_table, size_table, trust_table
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.find import genes_named
from holdback.web.records.models import GeneChange
from holdback.web.records.services import change_gene as write_gene

_CLASS_WORDS = {
    Inheritance.RECESSIVE.value: "two copies show",
    Inheritance.INCOMPLETE_DOMINANT.value: "one shows, two look different",
    Inheritance.DOMINANT.value: "one shows, two look the same",
}


@require_safe
def almanac(request: HttpRequest) -> HttpResponse:
    """Genes by name, class, what they do, place and standing."""
    catalogue = catalogue_of_records()
    asked = {
        name: request.GET.get(name, "").strip() for name in ("text", "inheritance", "tag", "place", "mark", "here")
    }
    counts = counts_here()
    found = _asked(catalogue, asked, counts)
    context: dict[str, Any] = {
        "room": "Almanac",
        "asked": asked,
        "total": len(catalogue.alleles),
        "lines": [_line(allele, catalogue, counts) for allele in found],
    }
    if wants_fragment(request):
        return render(request, "pages/parts/genes.html", context)
    shared = [locus for locus in catalogue.loci.values() if len(locus.alleles) > 1]
    context |= {
        "classes": [(value, f"{value}: {words}") for value, words in _CLASS_WORDS.items()],
        "tags": sorted({tag for allele in catalogue.alleles.values() for tag in allele.tags}),
        "places": [(locus.key, locus.name) for locus in shared],
        "marks": [mark.value for mark in Mark],
        "species": catalogue.common_name,
        "trust": trust_table(catalogue),
        "size": size_table(catalogue),
        "decisions": decisions_table(catalogue),
        "builds": builds_table(catalogue),
        "chromosomes": chromosome_table(catalogue),
        "trust_note": catalogue.notes.get("records", ""),
    }
    return render(request, "pages/almanac.html", context)


def _asked(catalogue: Catalogue, asked: dict[str, str], counts: Counter[str]) -> list[Allele]:
    found = genes_named(asked["text"], catalogue)
    tests: dict[str, Callable[[Allele, str], bool]] = {
        "inheritance": lambda allele, word: allele.inheritance.value == word,
        "tag": lambda allele, word: word in allele.tags,
        "place": lambda allele, word: allele.locus == word,
        "mark": lambda allele, word: allele.mark.value == word,
        "here": lambda allele, _: counts[allele.key] > 0,
    }
    for name, test in tests.items():
        if asked[name]:
            found = [allele for allele in found if test(allele, asked[name])]
    return found


def _line(allele: Allele, catalogue: Catalogue, counts: Counter[str]) -> dict[str, Any]:
    locus = catalogue.loci[allele.locus]
    is_recessive = allele.inheritance is Inheritance.RECESSIVE
    return {
        "allele": allele,
        "shows": _CLASS_WORDS[allele.inheritance.value],
        "look": (allele.two_copies if is_recessive else allele.one_copy) or "not described",
        "place": locus.name if len(locus.alleles) > 1 else "its own",
        "here": counts[allele.key],
    }


def _found(key: str, catalogue: Catalogue) -> Allele:
    allele = catalogue.alleles.get(key)
    if allele is None:
        raise Http404(f"The almanac has no gene {key!r}.")
    return allele


@require_safe
def gene(request: HttpRequest, key: str) -> HttpResponse:
    """One gene."""
    catalogue = catalogue_of_records()
    allele = _found(key, catalogue)
    text, doubt = gene_page.lede(allele, catalogue)
    here = carriers(allele, catalogue)
    changed = GeneChange.objects.filter(kind="allele", key=key).first()
    context = {
        "room": "Almanac",
        "allele": allele,
        "text": text,
        "doubt": doubt,
        "looks": gene_page.look_rows(allele, catalogue),
        "pairings": gene_page.pairing_rows(allele, catalogue),
        "assumed": gene_page.assumed_rows(allele, changed.patch if changed else ()),
        "standing": gene_page.standing_table(allele, catalogue),
        "cautions": gene_page.gene_cautions(allele, catalogue),
        "combos": gene_page.combos_with(allele, catalogue),
        "here": here,
        "changed": changed,
    }
    return render(request, "pages/gene.html", context)


@require_http_methods(["GET", "POST"])
def change_gene(request: HttpRequest, key: str) -> HttpResponse:
    """Change an entry; what the keeper changes is laid over the species file."""
    catalogue = catalogue_of_records()
    allele = _found(key, catalogue)
    start = initial_of(allele)
    form = GeneForm(request.POST or None, initial=start, catalogue=catalogue)
    before = GeneChange.objects.filter(kind="allele", key=key).first()
    return _written(request, form, key, start=start, kept=before.patch if before else {}, title=allele.name)


@require_http_methods(["GET", "POST"])
def add_gene(request: HttpRequest) -> HttpResponse:
    """A gene of the keeper's own."""
    catalogue = catalogue_of_records()
    start = {"mark": Mark.OWN.value, "inheritance": Inheritance.RECESSIVE.value}
    form = GeneForm(request.POST or None, initial=start, catalogue=catalogue)
    key = slug_of(request.POST.get("name", ""))
    if key and key in catalogue.alleles:
        form.is_valid()
        form.add_error("name", f"The almanac has a gene of that name. Change {catalogue.alleles[key].name} instead.")
    return _written(request, form, key, start={}, kept={}, title="")


def _written(
    request: HttpRequest, form: GeneForm, key: str, *, start: dict[str, str], kept: dict[str, Any], title: str
) -> HttpResponse:
    """Show the form, or write it and go to the gene's page."""
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        patch = {name: value for name, value in {**kept, **form.patch(start)}.items() if value is not None}
        if not patch.get("locus", "x"):
            patch.pop("locus")
        try:
            made = write_gene(who=writer(), key=key, patch=patch or None) if patch != kept else None
        except RecordError as error:
            faults = form.take(error)
        else:
            if made is not None:
                add_toast(request, f"{form.cleaned_data['name']} is kept.", undo=undo_address(made))
            return redirect("pages:gene", key=key)
    context = {"room": "Almanac", "form": form, "faults": faults, "title": title, "key": key}
    return render(request, "pages/gene_form.html", context, status=422 if request.method == "POST" else 200)
