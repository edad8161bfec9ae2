"""What an animal has, gene by gene, from what is believed of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.heredity.genotype import GenotypeBelief
from holdback.species.model import WILD, Inheritance

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

WORTH_TELLING = 0.01
"""Chance of a gene below which it is not spoken of: records may err, so nothing is ever quite out."""


@dataclass(frozen=True, slots=True)
class Carried:
    """One gene of an animal; names held to be the same gene count as one.

    Parameters
    ----------
    allele : str
        Key of the allele that stands for it.
    name : str
        Trade name that the animal most likely has it under.
    locus : str
        Locus key.
    chance : float
        Chance of at least one copy.
    shows : float
        Chance that it shows.
    two : float
        Chance of two copies.
    is_recessive : bool
        Whether one copy does not show.
    """

    allele: str
    name: str
    locus: str
    chance: float
    shows: float
    two: float
    is_recessive: bool


@dataclass(frozen=True, eq=False)
class Animal:
    """An animal with its genes worked out.

    Parameters
    ----------
    belief : GenotypeBelief
        What it may carry.
    catalogue : Catalogue
        Its species.
    """

    belief: GenotypeBelief
    catalogue: Catalogue

    @cached_property
    def carried(self) -> Mapping[str, Carried]:
        """By standing allele, every gene that is worth telling, in the order of the catalogue."""
        found: dict[str, Carried] = {}
        for locus in self.catalogue.loci:
            if locus in self.belief.loci:
                found |= _at(locus, self.belief, self.catalogue)
        return found

    @cached_property
    def counted(self) -> Mapping[str, Carried]:
        """Those that it has with the chance from which a gene counts as had."""
        least = self.catalogue.decisions["idea_least_chance"].value
        return {key: each for key, each in self.carried.items() if each.chance >= least}

    @cached_property
    def shown(self) -> Mapping[str, Carried]:
        """Those that it shows with that chance."""
        least = self.catalogue.decisions["idea_least_chance"].value
        return {key: each for key, each in self.carried.items() if each.shows >= least}

    @cached_property
    def hides(self) -> str:
        """Name of a look of it that hides all other genes; empty where none does."""
        for locus, odds in self.belief.loci.items():
            for alleles, chance in odds.items():
                look = self.catalogue.look(locus, alleles)
                if chance >= 0.5 and look.hides == "all":
                    return look.label
        return ""

    def chance_of(self, allele: str) -> float:
        """Chance of at least one copy of an allele, or of a name held to be the same."""
        found = self.carried.get(self.catalogue.stands_for(allele))
        return found.chance if found else 0.0

    def chance_of_any(self, alleles: Iterable[str]) -> float:
        """Largest chance of one of several alleles; 0 for none."""
        return max((self.chance_of(each) for each in alleles), default=0.0)


def is_recessive(allele: str, catalogue: Catalogue) -> bool:
    """Whether one copy of an allele does not show."""
    return catalogue.alleles[allele].inheritance is Inheritance.RECESSIVE


def _at(locus: str, belief: GenotypeBelief, catalogue: Catalogue) -> dict[str, Carried]:
    chance: dict[str, list[float]] = {}
    named: dict[str, dict[str, float]] = {}
    for alleles, odds in belief.at(locus).items():
        standing = [catalogue.stands_for(each) for each in alleles if each != WILD]
        for key in set(standing):
            shows = not is_recessive(key, catalogue) or WILD not in alleles
            sums = chance.setdefault(key, [0.0, 0.0, 0.0])
            sums[0] += odds
            sums[1] += odds if shows else 0.0
            sums[2] += odds if standing.count(key) == 2 else 0.0
        for each in set(alleles) - {WILD}:
            names = named.setdefault(catalogue.stands_for(each), {})
            names[each] = names.get(each, 0.0) + odds
    return {
        key: Carried(
            allele=key,
            name=catalogue.alleles[max(named[key], key=named[key].__getitem__)].name,
            locus=locus,
            chance=chance[key][0],
            shows=chance[key][1],
            two=chance[key][2],
            is_recessive=is_recessive(key, catalogue),
        )
        for key in catalogue.loci[locus].alleles
        if key in chance and chance[key][0] >= WORTH_TELLING
    }
