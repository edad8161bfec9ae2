"""Loci of the ball python that the herds are drawn at, and how a genotype comes about.

Looks, how often they are missed or imagined, which genotypes die and which look hides others are those of the species
file. Alleles are made common, so that something happens in a herd of moderate size.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holdback.heredity.beliefs.looks import LocusLooks, looks_at
from holdback.species.catalogue import Catalogue, load
from holdback.species.model import WILD, SexLinkage, pair

Alleles = tuple[int, int]
"""Numbers of two alleles; at a sex-linked locus of a male the one on the X first."""


@dataclass(frozen=True, eq=False)
class Gene:
    """One locus.

    Parameters
    ----------
    key : str
        Locus key.
    alleles : tuple of str
        Allele keys, the wild type first.
    frequency : float
        Of each allele but the wild type.
    catalogue : Catalogue
        Species.
    """

    key: str
    alleles: tuple[str, ...]
    frequency: float
    catalogue: Catalogue

    @cached_property
    def frequencies(self) -> NDArray[np.float64]:
        """Of all alleles, shape (n,)."""
        n = len(self.alleles) - 1
        return np.array([1.0 - n * self.frequency, *[self.frequency] * n])

    @cached_property
    def looks(self) -> LocusLooks:
        """Look of every genotype, and what is written down of it."""
        return looks_at(self.catalogue, self.key, self.alleles)

    @cached_property
    def survival(self) -> NDArray[np.float64]:
        """Chance of each genotype to live, shape (n, n); nothing is quite impossible."""
        lethal = [[self.catalogue.lethality(self.key, pair(a, b)) for b in self.alleles] for a in self.alleles]
        return np.maximum(1.0 - np.array(lethal), 1e-6)

    @property
    def linkage(self) -> SexLinkage | None:
        """Recombination with the sex-determining region."""
        return self.catalogue.loci[self.key].sex_linkage

    @cached_property
    def population(self) -> NDArray[np.float64]:
        """Chances of the ordered genotypes of a living animal of unknown descent, shape (n, n)."""
        found = np.outer(self.frequencies, self.frequencies) * self.survival
        return np.asarray(found / found.sum())


WHITE = "bel"
"""Locus whose white look hides all others."""

_DRAWN = {
    "spider": (("spider",), 0.08),
    WHITE: (("lesser", "mojave"), 0.18),
    "clown": (("clown", "cryptic"), 0.12),
    "piebald": (("piebald",), 0.15),
    "albino": (("albino",), 0.2),
    "pastel": (("pastel",), 0.15),
    "enchi": (("enchi",), 0.1),
    "pinstripe": (("pinstripe",), 0.1),
    "banana": (("banana",), 0.15),
}
"""A lethal dominant, a complex of incomplete dominants, a recessive complex, two recessives, three dominants, and one
linked to sex."""


def genes() -> Iterator[Gene]:
    """All loci, that of the lethal gene first."""
    catalogue = load()
    for key, (alleles, frequency) in _DRAWN.items():
        yield Gene(key, (WILD, *alleles), frequency, catalogue)


def common_species() -> Catalogue:
    """Species file in which the genes drawn are as common as they are drawn."""
    alleles = {key: {"frequency": frequency} for named, frequency in _DRAWN.values() for key in named}
    return load().changed({"allele": alleles})
