"""An animal's parents, clutch mates and young, and the evidence on its genes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.model import NO_SIRE, PartialDate
from holdback.species.catalogue import Catalogue
from holdback.web.pages.components import Column, Table
from holdback.web.pages.gene_words import claim_words, look_words
from holdback.web.pages.wording import day, percent
from holdback.web.records.models import Animal, Parentage
from holdback.web.records.queries import animal_by_tag, present_animals, young_of

UNKNOWN_SIRE = "?"
"""A male that is not on record, among candidate sires."""

SHOWN = 24
"""Young listed on the page."""


def record_id(animal: Animal) -> str:
    """Id of an animal in the engine: its tag, with a part of the key where another animal bears the tag now."""
    bearer = animal_by_tag(animal.tag)
    return animal.tag if bearer is None or bearer.pk == animal.pk else f"{animal.tag} ({str(animal.pk)[:8]})"


def linked(animal: Animal) -> SafeString:
    """Name and tag as a link."""
    return format_html('<a href="{}">{}</a>', reverse("pages:animal", args=[animal.pk]), label(animal))


def label(animal: Animal) -> str:
    """Name and tag."""
    return f"{animal.name} {animal.tag}" if animal.name else animal.tag


def sire_rows(animal: Animal) -> list[Parentage]:
    """Candidate sires by the animal's own record, else by its clutch's; likeliest first."""
    own = list(animal.candidate_sires.select_related("sire"))
    if own or animal.clutch is None:
        return own
    return list(animal.clutch.candidate_sires.select_related("sire"))


def sires_written(animal: Animal) -> str:
    """The animal's own candidate sires in the form the field takes."""
    return sires_as_typed(list(animal.candidate_sires.select_related("sire")))


def sires_as_typed(rows: list[Parentage]) -> str:
    """Candidate sires on record in the form a field takes."""
    if len(rows) == 1 and rows[0].weight == 1:
        return rows[0].sire.tag if rows[0].sire else NO_SIRE
    return "|".join(f"{row.sire.tag if row.sire else NO_SIRE}:{row.weight:g}" for row in rows)


def parents_table(animal: Animal, by_genes: Mapping[str, float]) -> Table:
    """Dam and sires with their chances; unknown and "no sire" in words.

    Parameters
    ----------
    animal : Animal
        The animal.
    by_genes : mapping of str to float
        Id of each candidate sire, "?" and "none" among them, to its chance by the genes of the clutch; empty where that
        is not known or there is but one.
    """
    dam = animal.dam or (animal.clutch.dam if animal.clutch else None)
    rows = sire_rows(animal)
    lines: list[list[str]] = [["Dam", *_who_and_genes(dam), "—", "—"]]
    for row in rows:
        who = ["no sire, recorded as such", "—"] if row.no_sire else _who_and_genes(row.sire)
        name = NO_SIRE if row.no_sire or row.sire is None else record_id(row.sire)
        lines.append(["Sire", *who, _chance(row.weight), _chance(by_genes.get(name))])
    rest = 1 - sum(row.weight for row in rows)
    if not rows:
        lines.append(["Sire", "not known", "—", "—", "—"])
    elif rest > 1e-9:
        lines.append(["Sire", "somebody not on record", "—", _chance(rest), _chance(by_genes.get(UNKNOWN_SIRE))])
    is_open = any(row.weight < 1 for row in rows)
    heads = [Column("Parent"), Column("Animal"), Column("Genes as written", is_full=True)]
    heads += [Column("Chance as written"), Column("By the genes of the clutch")]
    shown = len(heads) if is_open and by_genes else len(heads) - 1 if is_open else 3
    return Table(heads[:shown], [line[:shown] for line in lines])


def _chance(chance: float | None) -> str:
    """Chance of a candidate sire."""
    if chance is None:
        return "—"
    return "—" if chance >= 1 else percent(chance)


def _who_and_genes(parent: Animal | None) -> list[str]:
    return ["not known", "—"] if parent is None else [linked(parent), parent.genes_text or "nothing noted"]


@dataclass(frozen=True, slots=True)
class Group:
    """Some animals and how many there are in all."""

    animals: tuple[Animal, ...]
    total: int


def young(animal: Animal) -> Group:
    """Young of the animal, youngest first."""
    return _group(young_of(animal).order_by("-hatched_first", "tag"))


def clutch_mates(animal: Animal) -> Group:
    """Animals from the same clutch."""
    if animal.clutch_id is None:
        return Group((), 0)
    return _group(present_animals().filter(clutch=animal.clutch_id).exclude(pk=animal.pk))


def _group(found: QuerySet[Animal]) -> Group:
    listed = tuple(found[:SHOWN])
    return Group(listed, len(listed) if len(listed) < SHOWN else found.count())


def evidence_table(animal: Animal, catalogue: Catalogue) -> Table | None:
    """Looks and claims written one by one, with who and on what ground; None where there are none."""
    lines: list[list[str]] = [
        [look_words(look, catalogue), "seen", look.seen_by or "not noted", _day(look.date), look.note]
        for look in animal.looks.filter(derived=False)
    ]
    lines += [
        [claim_words(claim, catalogue), "said", claim.said_by or "not noted", _day(claim.date), claim.ground]
        for claim in animal.claims.filter(derived=False)
    ]
    heads = [Column("Gene"), Column("How"), Column("By"), Column("Day"), Column("Ground or note", is_full=True)]
    return Table(heads, lines) if lines else None


def _day(text: str) -> str:
    return day(PartialDate.parse(text)) if text else "—"
