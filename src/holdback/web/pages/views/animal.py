"""An animal: what it is, and writing down more of it."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from holdback.answers import Answers, RecordedGenes
from holdback.bridge import catalogue_of_records, collection_around
from holdback.errors import Fault, HoldbackError, RecordError
from holdback.species.catalogue import Catalogue
from holdback.web.pages import animal_words, family
from holdback.web.pages.forms.animal import ChangeForm, ClaimForm, LookForm, WeightForm
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.growth import growth
from holdback.web.pages.history import deeds_on, undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.readings import read_back
from holdback.web.pages.toasts import add_toast
from holdback.web.records import services
from holdback.web.records.models import Animal, Record
from holdback.web.records.queries import present_animals

SHOWN = 8
"""Deeds shown on the page before the whole history."""


def animal_or_404(key: uuid.UUID) -> Animal:
    """Animal that is not removed, with its dam and clutch."""
    return get_object_or_404(present_animals().select_related("dam", "clutch", "clutch__dam"), pk=key)


@require_safe
def animal(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """What the animal is."""
    one = animal_or_404(key)
    return render(request, "pages/animal.html", _context(one))


def _context(one: Animal) -> dict[str, Any]:
    catalogue = catalogue_of_records(one.species)
    genes, faults = _genes(one, catalogue)
    readings, lines = list(one.measurements.all()), list(one.line_claims.all())
    plain, doubt = animal_words.title_sentences(one, genes.belief if genes else None, catalogue, lines)
    gene_url = reverse("pages:gene", args=["KEY"])
    beliefs = animal_words.belief_rows(genes, catalogue, gene_url) if genes else []
    return {
        "room": "Collection",
        "animal": one,
        "she": animal_words.PRONOUN.get(one.sex, "It").lower(),
        "her": {"female": "her", "male": "his"}.get(one.sex, "its"),
        "record_id": family.record_id(one),
        "over": animal_words.over_line(one),
        "plain": plain,
        "doubt": doubt,
        "ledger": animal_words.ledger_rows(one, readings, lines=lines, findings=list(one.sex_determinations.all())),
        "beliefs": beliefs,
        "carries_head": f"What {animal_words.PRONOUN.get(one.sex, 'It').lower()} carries",
        "carries_gloss": _carries_gloss(len(beliefs), len(catalogue.alleles)),
        "faults": faults,
        "cautions": _cautions(genes, catalogue) if genes else [],
        "unread": read_back(one.genes_text, catalogue).unread if one.genes_text else (),
        "evidence": family.evidence_table(one, catalogue),
        "growth": growth(one, readings, catalogue),
        "parents": family.parents_table(one),
        "young": family.young(one),
        "mates": family.clutch_mates(one),
        "deeds": deeds_on(one, limit=SHOWN),
    }


def _genes(one: Animal, catalogue: Catalogue) -> tuple[RecordedGenes | None, tuple[Fault, ...]]:
    """What the animal carries, or the faults for which nothing can be said."""
    name = family.record_id(one)
    try:
        return Answers(collection_around([name], one.species), catalogue).genes(name), ()
    except HoldbackError as error:
        return None, error.faults


def _carries_gloss(in_play: int, known: int) -> str:
    """How many genes are in play, and that nothing is known of the rest."""
    if not in_play:
        return ""
    rest = f"Nothing is known of the other {known - in_play} in the almanac."
    return (
        f"{in_play} {'gene' if in_play == 1 else 'genes'} in play, by its own record and its recorded parents. {rest}"
    )


def _cautions(genes: RecordedGenes, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Welfare statements about genes that the animal carries, or may carry."""
    found = []
    for locus in genes.belief.loci:
        for allele in catalogue.loci[locus].alleles:
            none, _, two = genes.belief.copies(locus, allele)
            for flag in catalogue.alleles[allele].flags:
                chance = two if flag.copies == 2 else 1 - none
                if chance > 1e-9:
                    name = catalogue.alleles[allele].name
                    word = name if chance > 1 - 1e-9 else f"May carry {name}"
                    found.append((f"{word}: {flag.kind}", f"{flag.text} ({flag.mark})"))
    return found


@require_safe
def history(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Everything that was written of the animal."""
    one = animal_or_404(key)
    return render(request, "pages/history.html", {"room": "Collection", "animal": one, "deeds": deeds_on(one)})


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Change what is said of the animal itself."""
    one = animal_or_404(key)
    start = {name: getattr(one, name) for name in ("tag", "name", "sex", "hatched", "origin", "status", "notes")}
    form = ChangeForm(request.POST or None, initial=start | {"genes": one.genes_text})

    def write() -> Record:
        return services.change_animal(one, who=writer(), **form.record())

    return _written(request, one, form, write, title="Change what is written", done="Changed.")


@require_http_methods(["GET", "POST"])
def add_weight(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Write down a reading."""
    one = animal_or_404(key)
    start = {"date": timezone.localdate().isoformat(), "trait": "mass", "unit": "g"}
    form = WeightForm(request.POST or None, initial=start)

    def write() -> Record:
        return services.add_measurement(one, who=writer(), **form.cleaned_data)

    return _written(request, one, form, write, title="Weigh or measure", done="The reading is kept.")


@require_http_methods(["GET", "POST"])
def add_look(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Write down a gene that is seen."""
    one = animal_or_404(key)
    form = LookForm(request.POST or None, initial={"date": timezone.localdate().isoformat(), "seen_by": writer()})

    def write() -> Record:
        return services.add_look(one, who=writer(), **form.record())

    return _written(request, one, form, write, title="A gene that is seen", done="The look is kept.")


@require_http_methods(["GET", "POST"])
def add_claim(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Write down what somebody says the animal carries."""
    one = animal_or_404(key)
    form = ClaimForm(request.POST or None)

    def write() -> Record:
        return services.add_claim(one, who=writer(), **form.record())

    return _written(request, one, form, write, title="What is said of its genes", done="The claim is kept.")


def _written(
    request: HttpRequest, one: Animal, form: PlainForm, write: Callable[[], Record], *, title: str, done: str
) -> HttpResponse:
    """Show a form, or write it and go back to the animal with a toast."""
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            record = write()
        except RecordError as error:
            faults = form.take(error)
        else:
            add_toast(request, done, undo=undo_address(record))
            return redirect("pages:animal", key=one.pk)
    catalogue = catalogue_of_records(one.species)
    typed = form["genes"].value() if "genes" in form.fields else ""
    context = {
        "room": "Collection",
        "animal": one,
        "form": form,
        "title": title,
        "faults": faults,
        "back": read_back(typed, catalogue) if typed else None,
        "gene_names": sorted(allele.name for allele in catalogue.alleles.values()),
    }
    return render(request, "pages/animal_form.html", context, status=422 if request.method == "POST" else 200)
