"""Looks that hide others: which animals show one, and which may."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from holdback.descent.family import Family
from holdback.heredity.beliefs.looks import LocusLooks
from holdback.heredity.beliefs.stated import stated_looks
from holdback.heredity.beliefs.texts import TextGenes
from holdback.heredity.beliefs.told import Told
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD

_ALL = "all"


@dataclass(frozen=True, eq=False)
class Hiding:
    """Hiding looks of a collection.

    Parameters
    ----------
    texts : mapping of str to TextGenes
        Gene texts by animal.
    told : mapping of str to mapping of str to list of Told
        Statements that count, by animal and locus.
    named : mapping of str to mapping of str to str
        Standing allele to the animals whose record names it.
    tables : mapping of str to LocusLooks
        Looks of the loci in play.
    family : Family
        Descent.
    catalogue : Catalogue
        Species.
    """

    texts: Mapping[str, TextGenes]
    told: Mapping[str, Mapping[str, list[Told]]]
    named: Mapping[str, Mapping[str, str]]
    tables: Mapping[str, LocusLooks]
    family: Family
    catalogue: Catalogue

    def shown_at(self, animal: str, locus: str) -> str:
        """Locus of a look that the animal shows and that hides this locus; empty where there is none."""
        whites = self._whites.get(animal)
        return next((key for key, hides in whites.items() if _covers(key, hides, locus)), "") if whites else ""

    def possible_at(self, animal: str, locus: str) -> str:
        """Locus that may hide what was seen on an animal of whose look nothing else is on record.

        Notes
        -----
        It may where the animal, a recorded ancestor or a recorded young has a record that names an allele of a hiding
        look of that locus. Empty otherwise.
        """
        if self.texts[animal].is_described:
            return ""
        seen = _seen_loci(self.told.get(animal, {}))
        near = {animal, *self.family.ancestors(animal)}
        near.update(young for brood in self.family.broods_of_parent.get(animal, ()) for young in brood.young)
        for key, (hides, alleles) in self._makers.items():
            is_near = any(near & self.named.get(allele, {}).keys() for allele in alleles)
            if _covers(key, hides, locus) and key not in seen and is_near:
                return key
        return ""

    @cached_property
    def _whites(self) -> dict[str, dict[str, str]]:
        """Animal to loci whose look hides others, and what it hides; a statement on the locus counts over the text."""
        found: dict[str, dict[str, str]] = {}
        for animal, text in self.texts.items():
            told = self.told.get(animal, {})
            seen = _seen_loci(told)
            hides = {locus: words for locus, words in text.hides.items() if locus not in seen}
            for locus in seen & self._makers.keys():
                words = self._hidden_by_statement(locus, told[locus])
                if words:
                    hides[locus] = words
            if hides:
                found[animal] = dict(sorted(hides.items()))
        return found

    def _hidden_by_statement(self, locus: str, told: Iterable[Told]) -> str:
        """What is hidden where all that was seen at a locus is a look that hides; else empty."""
        shown = [one for one in told if one.is_seen and not one.is_absent]
        looks = frozenset().union(*stated_looks(shown, (), locus, self.catalogue).values())
        return hidden_in_words(look.hides for look in self.tables[locus].looks if look.key in looks)

    @cached_property
    def _makers(self) -> dict[str, tuple[str, frozenset[str]]]:
        """Loci in play with a look that hides: what it hides, and the alleles that make it."""
        found = {}
        for locus, table in self.tables.items():
            words = {look.hides for look in table.looks} - {""}
            if words:
                numbers = {int(number) for axis in np.nonzero(table.hiding) for number in axis}
                found[locus] = hidden_in_words(words), frozenset(table.alleles[each] for each in numbers) - {WILD}
        return found


def hidden_in_words(each: Iterable[str]) -> str:
    """What several possible looks hide, as one word of the species file; empty if one of them hides nothing."""
    words = set(each)
    if not words or "" in words:
        return ""
    return _ALL if _ALL in words else " ".join(sorted(words))


def _covers(key: str, hides: str, locus: str) -> bool:
    return key != locus and (hides == _ALL or locus in hides.split())


def _seen_loci(told: Mapping[str, Iterable[Told]]) -> set[str]:
    return {locus for locus, each in told.items() if any(one.is_seen for one in each)}
