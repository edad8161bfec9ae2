"""Looks and claims that follow from an animal's genes as typed.

They can be made again at any time from the text and the catalogue, so the log keeps the text only.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from holdback.web.records.models import Animal, Claim, Look
from holdback.web.records.overlay import catalogue

if TYPE_CHECKING:
    from holdback.heredity.shorthand import ReadGene
    from holdback.species.catalogue import Catalogue

CHUNK = 500
SAID_BY = "genes as typed"


def derive(animals: Sequence[Animal]) -> None:
    """Make the derived looks and claims of these animals anew."""
    forget([animal.pk for animal in animals])
    typed = [animal for animal in animals if animal.genes_text and not animal.removed_at]
    genes = dict(_read({(animal.species, animal.genes_text) for animal in typed}))
    looks = [look for animal in typed for look in _looks(animal, genes[animal.species, animal.genes_text])]
    claims = [claim for animal in typed for claim in _claims(animal, genes[animal.species, animal.genes_text])]
    Look.objects.bulk_create(looks, batch_size=CHUNK)
    Claim.objects.bulk_create(claims, batch_size=CHUNK)


def forget(animals: Sequence[uuid.UUID]) -> None:
    """Delete the derived looks and claims of the animals with these keys."""
    for start in range(0, len(animals), CHUNK):
        for model in (Look, Claim):
            rows = model._default_manager.filter(animal__in=animals[start : start + CHUNK], derived=True)
            rows._raw_delete(rows.db)  # nothing refers to them; `delete()` would read them first


def _read(texts: set[tuple[str, str]]) -> Iterator[tuple[tuple[str, str], tuple[ReadGene, ...]]]:
    """Genes of each species and text, every text read once."""
    if not texts:
        return
    from holdback.heredity.shorthand import read  # the parser library is slow to import

    known: dict[str, Catalogue] = {species: catalogue(species) for species in {species for species, _ in texts}}
    for species, text in sorted(texts):
        yield (species, text), read(text, known[species]).genes


def _looks(animal: Animal, genes: Iterable[ReadGene]) -> Iterator[Look]:
    """One look for each allele that the text says is seen."""
    for gene in genes:
        if gene.shown and gene.allele:
            _, one, two = gene.copies or (0.0, 1.0, 0.0)
            yield Look(animal=animal, allele=gene.allele, copies=2 if two > one else 1, seen_by=SAID_BY, derived=True)


def _claims(animal: Animal, genes: Iterable[ReadGene]) -> Iterator[Claim]:
    """One claim for each allele that the text gives chances for."""
    for gene in genes:
        if gene.copies is None or not gene.allele:
            continue
        none, one, two = gene.copies
        yield Claim(
            animal=animal,
            allele=gene.allele,
            none=none,
            one=one,
            two=two,
            said_by=SAID_BY,
            ground=gene.source[:200],
            derived=True,
        )
