"""Genes as words in a sentence: what is seen, and what is said."""

from __future__ import annotations

from collections.abc import Iterable

from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Inheritance, pair
from holdback.web.records.models import Claim, Look

_SURE = 1 - 1e-9


def look_words(look: Look, catalogue: Catalogue) -> str:
    """Name of a look: "Pastel", "Super Pastel", "Yellow Belly, 7 in 10 by eye"."""
    from holdback.web.pages.wording import about

    name = gene_name(look.allele, look.copies, catalogue)
    if look.copies == 0:
        return f"no {name}"
    return name if look.sure >= _SURE else f"{name}, {about(look.sure)} by eye"


def gene_name(allele: str, copies: int, catalogue: Catalogue) -> str:
    """Trade name of an allele in so many copies; the key itself where the catalogue no longer has it."""
    entry = catalogue.alleles.get(allele)
    if entry is None:
        return allele
    if copies == 2:
        return catalogue.look(entry.locus, pair(allele, allele)).label or entry.name
    return entry.name


def claim_words(claim: Claim, catalogue: Catalogue) -> str:
    """A claim as the trade writes it: "het Clown", "66 % het Clown", "possible Super Pastel"."""
    from holdback.web.pages.wording import het_percent, whole_percent

    entry = catalogue.alleles.get(claim.allele)
    name = entry.name if entry else claim.allele
    is_hidden = entry is None or entry.inheritance is Inheritance.RECESSIVE
    if claim.two > 0 and claim.none < _SURE and not is_hidden:
        return f"{name}, possible {gene_name(claim.allele, 2, catalogue)}" if claim.none == 0 else f"possible {name}"
    carried = claim.one + claim.two
    word = "het " if is_hidden else ""
    if carried >= _SURE:
        return f"{word}{name}"
    return f"{het_percent(carried)} {word}{name}" if is_hidden else f"{name}, {whole_percent(carried)}"


def looks_in_words(looks: Iterable[Look], catalogue: Catalogue) -> str:
    """All that an animal shows, "ordinary" looks left out; empty where nothing is noted."""
    return ", ".join(dict.fromkeys(look_words(look, catalogue) for look in looks if look.copies))


def claims_in_words(claims: Iterable[Claim], catalogue: Catalogue) -> str:
    """All that is said of an animal's hidden genes."""
    return ", ".join(dict.fromkeys(claim_words(claim, catalogue) for claim in claims))


def allele_named(text: str, catalogue: Catalogue) -> str:
    """Key of the allele that a word names; empty if it names none."""
    from holdback.species.model import Allele

    found = catalogue.find(text) if text.strip() else None
    return found.key if isinstance(found, Allele) else ""


def is_wild(alleles: tuple[str, str]) -> bool:
    """Whether a pair is two copies of the wild type."""
    return alleles == (WILD, WILD)
