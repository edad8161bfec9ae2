"""Who carries a gene here: by all records where that is quick, else by what is written of each animal."""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import dataclass

from django.db.models import Count, Q
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.bridge import ready_answers, records_fingerprint
from holdback.bridge.cached import Shelf
from holdback.collection.estimate import Basis
from holdback.errors import HoldbackError
from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele
from holdback.web.pages.belief_words import NUMBER_SETTLED, Copies
from holdback.web.pages.components import Column, Table
from holdback.web.pages.drawing import belief_bar
from holdback.web.pages.family import linked
from holdback.web.pages.templatetags.notebook import basis
from holdback.web.pages.wording import SURE, about
from holdback.web.records.models import Animal, Claim, Look
from holdback.web.records.queries import present_animals

SHOWN = 30
"""Animals listed on a gene's page."""

LEAST = 0.05
"""Chance of carrying from which an animal is counted."""

PATIENCE = 0.5
"""Seconds spent on saying how each is known; for the rest it stands on the page of the animal."""

_shelf = Shelf(32)


def counts_here() -> Counter[str]:
    """Animals by gene: all of which a look or a claim says that they carry it, or may."""
    counts: Counter[str] = Counter()
    for found in (Look.objects.filter(copies__gt=0), Claim.objects.filter(none__lt=1)):
        rows = (
            found.filter(animal__removed_at__isnull=True).values_list("allele").annotate(Count("animal", distinct=True))
        )
        counts.update(dict(rows))
    return counts


@dataclass(frozen=True, slots=True)
class Carriers:
    """Animals that carry a gene, or may.

    Parameters
    ----------
    table : Table or None
        The surest; None where there are none.
    total : int
        How many there are.
    by_beliefs : bool
        Whether all records were weighed; else the list is of what is written.
    """

    table: Table | None
    total: int
    by_beliefs: bool


def carriers(allele: Allele, catalogue: Catalogue) -> Carriers:
    """Animals that carry a gene or may, surest first; kept until the records change."""
    key = (records_fingerprint(), allele.key)
    found: Carriers | None = _shelf.get(key)
    if found is None:
        found = _carriers(allele, catalogue)
        _shelf.put(key, found)
    return found


def _carriers(allele: Allele, catalogue: Catalogue) -> Carriers:
    try:
        answers = ready_answers()
    except HoldbackError:  # the records do not hold together; what is written can still be listed
        answers = None
    if answers is None:
        return Carriers(*_as_written(allele), by_beliefs=False)
    return Carriers(*_by_beliefs(answers, allele, catalogue), by_beliefs=True)


def _by_beliefs(answers: Answers, allele: Allele, catalogue: Catalogue) -> tuple[Table | None, int]:
    """Animals by their beliefs, with the chance and how it is known."""
    standing = catalogue.stands_for(allele.key)
    found = []
    for name in answers.collection.animals:
        copies = answers.beliefs.copies(name, allele.locus, standing)
        if 1 - copies[0] >= LEAST:
            found.append((copies, name))
    found.sort(key=_rank)
    listed = found[:SHOWN]
    animals = {
        one.tag: one for one in present_animals().filter(tag__in=[name for _, name in listed]).order_by("living")
    }
    end = time.monotonic() + PATIENCE
    lines = [
        [
            _who(animals[name]) if name in animals else name,
            format_html('<span class="nb">{} {}</span>', belief_bar(copies, allele.name, is_mini=True), _words(copies)),
            _known_how(answers, name, allele.locus, standing) if time.monotonic() < end else "see its page",
        ]
        for copies, name in listed
    ]
    heads = [Column("Animal"), Column(allele.name), Column("How known", is_full=True)]
    return (Table(heads, lines) if lines else None), len(found)


def _rank(found: tuple[Copies, str]) -> tuple[int, float, str]:
    """Two copies first, then sure carriers, then by chance; alike ones by id."""
    (_, one, two), name = found
    if one + two >= SURE:
        return (0 if two >= NUMBER_SETTLED else 1), 0.0, name
    return 2, -round(one + two, 3), name


def _words(copies: Copies) -> str:
    """Whether it carries the gene, in words."""
    some = copies[1] + copies[2]
    if some < SURE:
        return f"may carry it, {about(some)}"
    return "two copies" if copies[2] >= NUMBER_SETTLED else "carries it"


def _known_how(answers: Answers, name: str, locus: str, allele: str) -> SafeString:
    """How it is known, with the sentence that says why."""
    grounds = answers.grounds(name, locus)
    if grounds.allele != allele:  # what it likelier has at the same place is told on its own page
        return basis(Basis.BY_DESCENT)
    if grounds.basis is Basis.MEASURED:
        return basis(Basis.MEASURED, "seen")
    return format_html('{} <span class="second small">{}</span>', basis(grounds.basis), grounds.sentence)


def _as_written(allele: Allele) -> tuple[Table | None, int]:
    """Animals that show or are said to carry a gene, surest first, and how many there are."""
    shown = Q(looks__allele=allele.key, looks__copies__gt=0)
    said = Q(claims__allele=allele.key, claims__none__lt=1)
    total = present_animals().filter(shown | said).distinct().count()
    if not total:
        return None, 0
    lines: list[list[str]] = []
    seen = Look.objects.filter(allele=allele.key, copies__gt=0, animal__removed_at__isnull=True)
    listed = set()
    for look in seen.select_related("animal").order_by("-copies", "animal__tag")[:SHOWN]:
        if look.animal_id in listed:
            continue
        listed.add(look.animal_id)
        copies = (1 - look.sure, look.sure, 0.0) if look.copies == 1 else (1 - look.sure, 0.0, look.sure)
        bar = belief_bar(copies, allele.name, is_mini=True)
        word = " shows it" if look.sure >= 1 else f" {about(look.sure)}"
        by = "seen, as written" if look.derived or not look.seen_by else f"seen by {look.seen_by}"
        lines.append([_who(look.animal), format_html("{}{}", bar, word), basis(Basis.MEASURED, by)])
    claims = Claim.objects.filter(allele=allele.key, none__lt=1, animal__removed_at__isnull=True)
    for claim in claims.exclude(animal__in=listed).select_related("animal").order_by("none", "animal__tag")[:SHOWN]:
        if claim.animal_id in listed or len(lines) >= SHOWN:
            continue
        listed.add(claim.animal_id)
        bar = belief_bar((claim.none, claim.one, claim.two), allele.name, is_mini=True)
        word = " carries it, as claimed" if claim.none == 0 else f" {about(1 - claim.none)}"
        by = "claimed, as written" if claim.derived or not claim.said_by else f"claimed by {claim.said_by}"
        lines.append([_who(claim.animal), format_html("{}{}", bar, word), basis(Basis.CLAIMED, by)])
    return Table([Column("Animal"), Column(allele.name), Column("How known", is_full=True)], lines), total


def _who(animal: Animal) -> SafeString:
    return format_html("{}, {}", linked(animal), animal.sex if animal.sex != "unknown" else "sex not known")
