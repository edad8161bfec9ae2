"""What keepers write down of each look at a locus, as a table of true look against recorded look.

Every row is a distribution over the looks that could be recorded, so that a record which leaves several looks open has
the sum of their chances as its likelihood.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from holdback.heredity.beliefs.evidence import FloatArray
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Allele, Ease, LocusLook, Pair, pair

BoolArray = NDArray[np.bool_]
_Array = TypeVar("_Array", FloatArray, BoolArray)

_PLAINLY_MISSED = 0.01
"""Chance that a plain look goes unrecorded; an assumption, no source."""
_LEAST = 1e-9


@dataclass(frozen=True, eq=False)
class LocusLooks:
    """Looks of one locus, for the alleles in play.

    Parameters
    ----------
    locus : str
        Locus key.
    alleles : tuple of str
        Standing alleles, `WILD` first.
    looks : tuple of LocusLook
        Looks that these alleles can give, that of the wild type first.
    look_of : int array, shape (n, n)
        Symmetric; number of the look of each genotype.
    confusion : float array, shape (k, k)
        Chance that the look of the row is recorded as that of the column; rows sum to 1, every entry above 0.
    """

    locus: str
    alleles: tuple[str, ...]
    looks: tuple[LocusLook, ...]
    look_of: NDArray[np.int_]
    confusion: FloatArray
    _made: dict[frozenset[str], tuple[FloatArray, BoolArray]] = field(default_factory=dict)

    @property
    def wild(self) -> frozenset[str]:
        """Key of the look of the wild type."""
        return frozenset({self.looks[0].key})

    def record(self, looks: frozenset[str]) -> tuple[FloatArray, BoolArray]:
        """Likelihood of a record that leaves these looks open, and where it is a mistake.

        Parameters
        ----------
        looks : frozenset of str
            Look keys, at least one of them in play.

        Returns
        -------
        likelihood : float array, shape (n, n)
            P(record | genotype); read-only, shared.
        wrong : bool array, shape (n, n)
            True where the look of the genotype is none of them.
        """
        made = self._made.get(looks)
        if made is None:
            said = np.array([look.key in looks for look in self.looks])
            likelihood = self.confusion[:, said].sum(axis=1)[self.look_of]
            made = self._made[looks] = frozen(likelihood), frozen(~said[self.look_of])
        return made

    def fits(self, looks: frozenset[str]) -> list[tuple[int, int]]:
        """Allele numbers of the unordered genotypes that have one of these looks."""
        _, wrong = self.record(looks)
        first, second = np.nonzero(np.triu(~wrong))
        return list(zip(first.tolist(), second.tolist(), strict=True))

    @property
    def hiding(self) -> BoolArray:
        """Genotypes whose look hides other loci; bool array, shape (n, n)."""
        return np.array([bool(look.hides) for look in self.looks])[self.look_of]

    def without(self, allele: str, catalogue: Catalogue) -> frozenset[str]:
        """Keys of the looks that a genotype can have without showing an allele."""
        found = set()
        for each in _pairs(self.alleles):
            look = catalogue.look(self.locus, each)
            first, second = (WILD if key == allele else key for key in each)
            if catalogue.look(self.locus, pair(first, second)).key == look.key:
                found.add(look.key)
        return frozenset(found)


def frozen(array: _Array) -> _Array:
    """The array, made read-only because many records share it."""
    array.setflags(write=False)
    return array


@lru_cache(maxsize=1024)
def looks_at(catalogue: Catalogue, locus: str, alleles: tuple[str, ...]) -> LocusLooks:
    """Looks of a locus for the alleles in play.

    Parameters
    ----------
    catalogue : Catalogue
        Species.
    locus : str
        Locus key.
    alleles : tuple of str
        Standing alleles, `WILD` first.
    """
    pairs_by_look: dict[str, list[Pair]] = {}
    for each in _pairs(alleles):
        pairs_by_look.setdefault(catalogue.look(locus, each).key, []).append(each)
    looks = tuple(catalogue.look(locus, pairs[0]) for pairs in pairs_by_look.values())
    number = {look.key: index for index, look in enumerate(looks)}
    look_of = np.array([[number[catalogue.look(locus, pair(a, b)).key] for b in alleles] for a in alleles])
    errors = _Errors(catalogue, locus, alleles, pairs_by_look)
    return LocusLooks(locus, alleles, looks, look_of, frozen(_confusion(looks, errors)))


def _pairs(alleles: tuple[str, ...]) -> Iterable[Pair]:
    return (pair(first, second) for index, first in enumerate(alleles) for second in alleles[index:])


@dataclass(frozen=True, eq=False)
class _Errors:
    """Chances of the single errors at one locus."""

    catalogue: Catalogue
    locus: str
    alleles: tuple[str, ...]
    pairs_by_look: Mapping[str, list[Pair]]

    def missed(self, look: LocusLook) -> float:
        """Chance that a look which shows is recorded as wild type."""
        keys = look.alleles or {key for each in self.pairs_by_look[look.key] for key in each if key != WILD}
        alleles = [self.catalogue.alleles[key] for key in keys]
        if look.ease is Ease.PLAIN:
            return max(_missed_where_plain(allele) for allele in alleles)
        return max(allele.missed for allele in alleles)

    def imagined(self, look: LocusLook, otherwise: float) -> float:
        """Chance that a look is recorded of a wild type; `otherwise` where it is not the least form of one allele."""
        rates = [
            self.catalogue.alleles[key].imagined for key in self.alleles if key != WILD and self._least(key) == look.key
        ]
        return max(rates, default=otherwise)

    def _least(self, allele: str) -> str:
        one, two = self._forms(allele)
        return one.key if one.label else two.key

    def _forms(self, allele: str) -> tuple[LocusLook, LocusLook]:
        look = self.catalogue.look
        return look(self.locus, pair(WILD, allele)), look(self.locus, (allele, allele))

    def mixed_up(self, true: LocusLook, recorded: LocusLook, otherwise: float) -> float:
        """Chance that one look which shows is recorded as another: the missed rate for forms hard to tell apart."""
        for key in self.alleles:
            if key != WILD:
                one, two = self._forms(key)
                if {one.key, two.key} == {true.key, recorded.key} and two.ease is not Ease.PLAIN:
                    return self.catalogue.alleles[key].missed
        return otherwise


def _missed_where_plain(allele: Allele) -> float:
    """The allele's own rate, unless that rate speaks of a form of it that is harder to tell."""
    if allele.ease_one is Ease.PLAIN and allele.ease_two is Ease.PLAIN:
        return allele.missed
    return min(allele.missed, _PLAINLY_MISSED)


def _confusion(looks: tuple[LocusLook, ...], errors: _Errors) -> FloatArray:
    count = len(looks)
    look_error = errors.catalogue.records["look_error"].value
    table = np.empty((count, count))
    for index, true in enumerate(looks):
        for other, recorded in enumerate(looks):
            if index == 0:
                chance = errors.imagined(recorded, look_error / max(count - 1, 1))
            elif other == 0:
                chance = errors.missed(true)
            else:
                chance = errors.mixed_up(true, recorded, look_error / max(count - 2, 1))
            table[index, other] = max(chance, _LEAST)
        table[index, index] = 0.0
        table[index, index] = max(1.0 - table[index].sum(), _LEAST)
    table /= table.sum(axis=1, keepdims=True)
    return table
