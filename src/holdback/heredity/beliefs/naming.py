"""Which of several trade names of one allele an animal goes by."""

from __future__ import annotations

from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Animal
from holdback.heredity.beliefs.texts import text_genes
from holdback.heredity.beliefs.told import told_of
from holdback.species.catalogue import Catalogue


def gene_names(collection: Collection, catalogue: Catalogue) -> Mapping[tuple[str, str], str]:
    """Trade name of each allele in play for each animal.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        Species.

    Returns
    -------
    mapping of (animal id, standing allele key) to str
        The name of the animal's own record; else that of its nearest recorded ancestors, where these agree; else the
        name of the allele that stands for all. Alleles that no record names are left out.
    """
    own = {animal: names_used(collection, animal, catalogue) for animal in collection.animals}
    alleles = sorted({allele for names in own.values() for allele in names})
    found = {}
    for allele in alleles:
        standing = catalogue.alleles[allele].name
        used = {animal: names[allele] for animal, names in own.items() if allele in names}
        is_one = set(used.values()) == {standing}
        for animal in collection.animals.values():
            found[animal.id, allele] = standing if is_one else _nearest(animal, used, collection) or standing
    return found


def names_used(collection: Collection, animal: str, catalogue: Catalogue) -> dict[str, str]:
    """Names of the alleles that an animal's own text and statements name, by standing allele; the text first."""
    names = dict(text_genes(collection.animals[animal].genes, catalogue).names)
    for told in told_of(collection.statements_of(animal), catalogue):
        if not told.is_absent:
            names.setdefault(told.allele, told.name)
    return names


def _nearest(animal: Animal, used: Mapping[str, str], collection: Collection) -> str:
    """Name of the nearest generation that has one, the animal's own the first; empty where its names differ."""
    generation, seen = [animal.id], {animal.id}
    while generation:
        names = {used[one] for one in generation if one in used}
        if names:
            return names.pop() if len(names) == 1 else ""
        parents = (one for each in generation for one in _parents(collection.animals[each]))
        generation = [one for one in dict.fromkeys(parents) if one not in seen]
        seen.update(generation)
    return ""


def _parents(animal: Animal) -> list[str]:
    sires = [one.animal for one in animal.sires if one.animal != NO_SIRE]
    return [*sires, animal.dam] if animal.dam else sires
