"""Who carries a gene here, by what is written of each animal."""

from __future__ import annotations

from collections import Counter

from django.db.models import Count, Q
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.estimate import Basis
from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele
from holdback.web.pages.components import Column, Table
from holdback.web.pages.drawing import belief_bar
from holdback.web.pages.family import linked
from holdback.web.pages.templatetags.notebook import basis
from holdback.web.pages.wording import about
from holdback.web.records.models import Animal, Claim, Look
from holdback.web.records.queries import present_animals

SHOWN = 30
"""Animals listed on a gene's page."""


def counts_here() -> Counter[str]:
    """Animals by gene: all of which a look or a claim says that they carry it, or may."""
    counts: Counter[str] = Counter()
    for found in (Look.objects.filter(copies__gt=0), Claim.objects.filter(none__lt=1)):
        rows = (
            found.filter(animal__removed_at__isnull=True).values_list("allele").annotate(Count("animal", distinct=True))
        )
        counts.update(dict(rows))
    return counts


def carriers(allele: Allele, catalogue: Catalogue) -> tuple[Table | None, int]:
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
