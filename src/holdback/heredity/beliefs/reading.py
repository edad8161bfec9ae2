"""From the records of a collection to likelihoods: what each animal shows, and what is said of it, locus by locus.

A description that does not name a look says that it was not seen (common practice, no source). How often looks are
missed or imagined and how far claims are trusted comes from the species file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.descent.family import UNKNOWN_SIRE, Family
from holdback.heredity.beliefs.claim_records import ClaimRecords
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, GeneRecord, LocusEvidence, RecordKind
from holdback.heredity.beliefs.hiding import Hiding
from holdback.heredity.beliefs.look_records import LookRecords, Seen
from holdback.heredity.beliefs.looks import LocusLooks, frozen, looks_at
from holdback.heredity.beliefs.naming import gene_names
from holdback.heredity.beliefs.texts import TextGenes, text_genes
from holdback.heredity.beliefs.told import Told, told_of
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, pair

__all__ = ["evidence_of", "gene_names"]

_LEAST = 1e-6
"""Least chance to live and least share in the population: nothing on record is impossible."""

_DEAD = re.compile(r"\b(died|dead|stillborn)\b", re.IGNORECASE)
_DEAD_IN_EGG = re.compile(r"\b(died|dead) in (the )?(egg|shell)\b", re.IGNORECASE)


def evidence_of(collection: Collection, catalogue: Catalogue, family: Family) -> Evidence:
    """Everything recorded on genes, as likelihoods.

    Parameters
    ----------
    collection : Collection
        Checked records.
    catalogue : Catalogue
        Species with the keeper's own genes.
    family : Family
        Descent of the same animals.

    Returns
    -------
    Evidence
        Loci at which some animal's text or a statement names an allele, in the order of the species file.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> one = Collection.from_frames({"animals": [{"id": "A", "genes": "Clown"}]})
    >>> evidence_of(one, load(), Family.from_collection(one)).loci["clown"].records["A"][0].words
    'shows Clown'
    """
    return _Records(collection, catalogue, family).evidence()


@dataclass(frozen=True, eq=False)
class _Records:
    """Records of a collection, read and indexed."""

    collection: Collection
    catalogue: Catalogue
    family: Family

    def evidence(self) -> Evidence:
        trust = self.catalogue.records
        return Evidence(
            loci={locus: self._locus(locus) for locus in self._tables},
            sex_error=trust["sex_error"].value,
            heterogametic=Sex.MALE if self.catalogue.is_heterogametic(Sex.MALE) else Sex.FEMALE,
            second_division=trust["second_division"].value,
        )

    @cached_property
    def _texts(self) -> dict[str, TextGenes]:
        animals = self.collection.animals.values()
        return {animal.id: text_genes(animal.genes, self.catalogue) for animal in animals}

    @cached_property
    def _descended(self) -> frozenset[str]:
        """Animals with a recorded parent."""
        return frozenset(animal for animal in self.collection.animals if self.family.parents(animal))

    @cached_property
    def _told(self) -> dict[str, dict[str, list[Told]]]:
        """Statements that count, by animal and locus."""
        found: dict[str, dict[str, list[Told]]] = {}
        for animal in self.collection.animals:
            for one in told_of(self.collection.statements_of(animal), self.catalogue):
                found.setdefault(animal, {}).setdefault(one.locus, []).append(one)
        return found

    @cached_property
    def _named(self) -> dict[str, dict[str, str]]:
        """Standing allele to the animals whose record names it, with the name used."""
        named: dict[str, dict[str, str]] = {}
        for animal, text in self._texts.items():
            for allele, name in text.names.items():
                named.setdefault(allele, {})[animal] = name
            for told in self._told.get(animal, {}).values():
                for one in told:
                    if not one.is_absent:
                        named.setdefault(one.allele, {}).setdefault(animal, one.name)
        return named

    @cached_property
    def _tables(self) -> dict[str, LocusLooks]:
        """Looks of the loci in play, in file order."""
        opened = {key for text in self._texts.values() for here in text.loci.values() for key in here.open_alleles}
        in_play = opened | set(self._named)
        tables = {}
        for key, locus in self.catalogue.loci.items():
            alleles = tuple(allele for allele in locus.alleles if allele in in_play)
            if alleles:
                tables[key] = looks_at(self.catalogue, key, (WILD, *alleles))
        return tables

    @cached_property
    def _hiding(self) -> Hiding:
        return Hiding(self._texts, self._told, self._named, self._tables, self.family, self.catalogue)

    def _locus(self, key: str) -> LocusEvidence:
        looks = self._tables[key]
        frequencies = self._frequencies(looks)
        survival = self._survival(looks)
        population = frozen(np.outer(frequencies, frequencies))
        below = {allele: self._below(self._named.get(allele, {})) for allele in looks.alleles[1:]}
        shown = LookRecords(looks, population, self.catalogue, self._locus_in_words(looks), below)
        claims = ClaimRecords(looks, population, self.catalogue, below, self._descended)
        of_all = ((animal, self._records_of(animal, shown, claims)) for animal in self.collection.animals)
        records = {animal: found for animal, found in of_all if found}
        if survival.min() < 1.0:
            for animal in self._dead:
                records[animal] = (*records.get(animal, ()), self._died(animal, looks, survival))
        return LocusEvidence(
            key=key,
            alleles=looks.alleles,
            frequencies=frequencies,
            survival=survival,
            linkage=self.catalogue.loci[key].sex_linkage,
            records=records,
            hides=frozen(looks.hiding),
            maker=self._makers(key),
        )

    def _records_of(self, animal: str, shown: LookRecords, claims: ClaimRecords) -> tuple[GeneRecord, ...]:
        locus, text = shown.looks.locus, self._texts[animal]
        told = self._told.get(animal, {}).get(locus, [])
        white_at = self._hiding.shown_at(animal, locus)
        seen = Seen(
            animal=animal,
            text=text,
            told=[one for one in told if one.is_seen],
            has_unknown_parent=animal in self._with_unknown_parent,
            hidden_by=white_at or (self._hiding.possible_at(animal, locus) if told else ""),
            is_hidden=bool(white_at),
        )
        return (*shown.of(seen), *claims.of(animal, text, told, is_hidden=bool(white_at)))

    @cached_property
    def _with_unknown_parent(self) -> frozenset[str]:
        """Animals of which a parent is not on record; one that has no sire lacks none."""
        known = {
            young
            for brood in self.family.broods
            if brood.dam is not None and any(one.animal != UNKNOWN_SIRE for one in brood.sires)
            for young in brood.young
        }
        return frozenset(self.collection.animals.keys() - known)

    def _frequencies(self, looks: LocusLooks) -> FloatArray:
        """Shares of the alleles in the population, an allele under all its names; the wild type has the rest."""
        shares = dict.fromkeys(looks.alleles[1:], 0.0)
        for key in self.catalogue.loci[looks.locus].alleles:
            standing = self.catalogue.stands_for(key)
            if standing in shares:
                shares[standing] += self.catalogue.alleles[key].frequency
        named = np.maximum(np.array(list(shares.values())), _LEAST)
        return frozen(np.array([1.0 - named.sum(), *named]))

    def _survival(self, looks: LocusLooks) -> FloatArray:
        alive = [
            [1.0 - self.catalogue.lethality(looks.locus, pair(first, second)) for second in looks.alleles]
            for first in looks.alleles
        ]
        return frozen(np.maximum(np.array(alive), _LEAST))

    @cached_property
    def _dead(self) -> dict[str, bool]:
        """Animals that are recorded as dead; True for those that died in the egg."""
        status = {animal.id: animal.status for animal in self.collection.animals.values()}
        return {animal: bool(_DEAD_IN_EGG.search(word)) for animal, word in status.items() if _DEAD.search(word)}

    def _died(self, animal: str, looks: LocusLooks, survival: FloatArray) -> GeneRecord:
        """Record that takes the chance to live out again, for the genotypes that die no later than the animal did."""
        in_egg = self._dead[animal]
        stages = {"in egg", "after hatching"} if in_egg else {"after hatching"}
        dies = [
            [self.catalogue.lethal_stage(pair(first, second)) in stages for second in looks.alleles]
            for first in looks.alleles
        ]
        likelihood = np.where(dies, 1.0 / survival, 1.0)
        return GeneRecord(
            key=f"died:{animal}:{looks.locus}",
            animal=animal,
            kind=RecordKind.LOOK,
            words="died in the egg" if in_egg else "died",
            likelihood=frozen(likelihood / likelihood.max()),
            wrong=frozen(np.zeros(survival.shape, dtype=bool)),
        )

    def _below(self, named: Iterable[str]) -> frozenset[str]:
        """All recorded descendants of some animals."""
        found: set[str] = set()
        stack = list(named)
        while stack:
            for brood in self.family.broods_of_parent.get(stack.pop(), ()):
                new = set(brood.young) - found
                found |= new
                stack.extend(new)
        return frozenset(found)

    def _locus_in_words(self, looks: LocusLooks) -> str:
        """Genes of a locus as the collection names them; the name of the locus where they are many."""
        if len(looks.alleles) > 3:
            return f"any gene of the {self.catalogue.loci[looks.locus].name}"
        names = []
        for allele in looks.alleles[1:]:
            used = set(self._named.get(allele, {}).values())
            names.append(used.pop() if len(used) == 1 else self.catalogue.alleles[allele].name)
        return " or ".join(names)

    def _makers(self, locus: str) -> dict[str, float]:
        """Chance, by claim, that an animal carries its allele on the sex-limited chromosome."""
        if self.catalogue.loci[locus].sex_linkage is None:
            return {}
        trust = self.catalogue.records["claim_trust"].value
        limited = "male maker" if self.catalogue.is_heterogametic(Sex.MALE) else "female maker"
        return {
            animal: 0.5 + (0.5 if text.makers[locus] == limited else -0.5) * trust
            for animal, text in self._texts.items()
            if locus in text.makers
        }
