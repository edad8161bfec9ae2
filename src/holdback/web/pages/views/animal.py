"""An animal: what it is, and writing down more of it."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from holdback.bridge import catalogue_of_records
from holdback.errors import Fault, RecordError
from holdback.web.pages import animal_page, animal_words, family
from holdback.web.pages.belief_words import belief_rows
from holdback.web.pages.correct.kinds import CORRECTIONS
from holdback.web.pages.forms.animal import ChangeForm, ClaimForm, LookForm
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.growth import growth
from holdback.web.pages.history import deeds_on, undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.lineage import lineage
from holdback.web.pages.readings import read_back
from holdback.web.pages.size.animal import HowBig, how_big
from holdback.web.pages.size.of_line import OddsShown, asking, odds_shown
from holdback.web.pages.size.parts import Part, part
from holdback.web.pages.toasts import add_toast
from holdback.web.records import clock, services
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
    context = _context(one, is_all="all" in request.GET, given=request.GET.dict())
    return render(request, "pages/animal.html", context)


def _context(one: Animal, *, is_all: bool, given: Mapping[str, str]) -> dict[str, Any]:
    """What the page says; `is_all` works out at once what it else asks for afterwards."""
    catalogue = catalogue_of_records(one.species)
    readings, lines = list(one.measurements.all()), list(one.line_claims.all())
    known = animal_page.known_of(one)
    belief = known.genes.belief if known.genes else None
    plain, doubt = animal_words.title_sentences(one, belief, catalogue, lines)
    beliefs = belief_rows(known.genes, catalogue, reverse("pages:gene", args=["KEY"])) if known.genes else []
    later = animal_page.settling(known, one, catalogue, is_asked=is_all)
    later |= animal_page.conflicts_on(known, is_asked=is_all)
    later |= _odds(known, given)
    return later | {
        "room": "Collection",
        "animal": one,
        "she": animal_words.PRONOUN.get(one.sex, "It").lower(),
        "her": {"female": "her", "male": "his"}.get(one.sex, "its"),
        "him": {"female": "her", "male": "him"}.get(one.sex, "it"),
        "record_id": known.name,
        "over": animal_words.over_line(one),
        "plain": plain if belief else animal_page.as_written(one, catalogue),
        "doubt": doubt,
        "ledger": animal_words.ledger_rows(
            one,
            readings,
            lines=() if known.answers else lines,  # else the entry on lines says it
            findings=list(one.sex_determinations.all()),
        ),
        "beliefs": beliefs,
        "working": known.working,
        "carries_head": f"What {animal_words.PRONOUN.get(one.sex, 'It').lower()} carries",
        "carries_gloss": animal_page.carries_gloss(len(beliefs), len(catalogue.alleles)),
        "faults": known.faults,
        "cautions": animal_page.gene_cautions(known.genes, catalogue) if known.genes else [],
        "unread": read_back(one.genes_text, catalogue).unread if one.genes_text else (),
        "evidence": family.evidence_table(one, catalogue),
        "lineage": lineage(known.answers, known.name, lines) if known.answers else None,
        "growth": growth(one, readings, catalogue),
        "size": _size(known, is_asked=is_all),
        "parents": family.parents_table(one, animal_page.sire_odds(known, one)),
        "young": family.young(one),
        "mates": family.clutch_mates(one),
        "deeds": deeds_on(one, limit=SHOWN),
    }


def _size(known: animal_page.Known, *, is_asked: bool) -> Part[HowBig]:
    """How big it is; nothing while it is not even known what it carries."""
    if known.answers is None:
        return Part()
    return part(known.answers, lambda sizes: how_big(sizes, known.name), is_asked=is_asked)


def _odds(known: animal_page.Known, given: Mapping[str, str]) -> dict[str, Any]:
    """Whether it could be of a line, where that can be asked; worked out where the address asks for it."""
    asked = asking(known.answers, known.name, given) if known.answers else None
    if known.answers is None or asked is None:
        return {}
    found: Part[OddsShown] = Part()
    if asked.is_asked:
        found = part(known.answers, lambda sizes: odds_shown(sizes, known.name, asked), is_asked=True)
    return {"asking": asked, "odds": found}


@require_safe
def odds_of_line(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Whether it could be of a line, as a part of its page."""
    one = animal_or_404(key)
    context = _odds(animal_page.known_of(one), request.GET.dict())
    if not context:
        raise Http404("its parents are on record, or no line is")
    return render(request, "pages/parts/size_of_line.html", context | {"animal": one})


@require_safe
def settle(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Which mates would settle what the animal may carry, as a part of its page."""
    one = animal_or_404(key)
    context = animal_page.settling(animal_page.known_of(one), one, catalogue_of_records(one.species), is_asked=True)
    return render(request, "pages/parts/tests.html", context | {"animal": one})


@require_safe
def misfits(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """What in the records does not fit this animal, as a part of its page."""
    one = animal_or_404(key)
    known = animal_page.known_of(one)
    context = animal_page.conflicts_on(known, is_asked=True) | {"animal": one}
    return render(request, "pages/parts/misfits.html", context)


@require_safe
def history(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Everything that was written of the animal."""
    one = animal_or_404(key)
    return render(request, "pages/history.html", {"room": "Collection", "animal": one, "deeds": deeds_on(one)})


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Change what is said of the animal itself."""
    one = animal_or_404(key)
    start = {name: getattr(one, name) for name in ("name", "hatched", "origin", "status", "notes")}
    form = ChangeForm(request.POST or None, initial=start | {"genes": one.genes_text})

    def write() -> Record:
        return services.change_animal(one, who=writer(), **form.record())

    ways = [(reverse("pages:correct", args=[one.pk, kind.key]), kind.title) for kind in CORRECTIONS.values()]
    return _written(request, one, form, write, title="Change what is written", done="Changed.", ways=ways)


@require_safe
def add_weight(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The form for a weight."""
    return redirect(f"{reverse('pages:log')}?animal={key}&what=weighed")


@require_http_methods(["GET", "POST"])
def add_look(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Write down a gene that is seen."""
    one = animal_or_404(key)
    form = LookForm(request.POST or None, initial={"date": clock.today().isoformat(), "seen_by": writer()})

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
    request: HttpRequest,
    one: Animal,
    form: PlainForm,
    write: Callable[[], Record],
    *,
    title: str,
    done: str,
    ways: Sequence[tuple[str, str]] = (),
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
        "ways": ways,
        "faults": faults,
        "back": read_back(typed, catalogue) if typed else None,
        "gene_names": sorted(allele.name for allele in catalogue.alleles.values()),
    }
    return render(request, "pages/animal_form.html", context, status=422 if request.method == "POST" else 200)
