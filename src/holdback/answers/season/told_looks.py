"""What is on record of the looks of the young of a clutch, and which looks are told apart by eye."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import Sex
from holdback.heredity.beliefs import GeneRecord, LocusEvidence, RecordKind
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Ease, Pair, pair


@dataclass(frozen=True, eq=False)
class Young:
    """One young, hatched or dead in the egg, of which some look is on record.

    Parameters
    ----------
    id : str
        Animal id.
    sex : Sex
        As recorded.
    looks : mapping of str to frozenset of str
        Locus key to the keys of the looks that its record leaves open; loci that the record does not tell are left out.
    in_egg : bool
        Whether it died in the egg.
    """

    id: str
    sex: Sex
    looks: Mapping[str, frozenset[str]]
    in_egg: bool = False


def told_look(records: Sequence[GeneRecord], locus: LocusEvidence, catalogue: Catalogue) -> frozenset[str]:
    """Keys of the looks at a locus that fit all that was seen of an animal; empty where nothing tells them apart.

    Parameters
    ----------
    records : sequence of GeneRecord
        All of the animal at the locus.
    locus : LocusEvidence
        The locus.
    catalogue : Catalogue
        Its species.
    """
    seen = [one for one in records if one.kind is RecordKind.LOOK and one.wrong.any() and not one.hidden_by]
    if not seen:
        return frozenset()
    fits: set[str] = set()
    every: set[str] = set()
    for first in range(locus.n_alleles):
        for second in range(first, locus.n_alleles):
            look = catalogue.look(locus.key, locus.pair(first, second)).key
            every.add(look)
            if not any(one.wrong[first, second] for one in seen):
                fits.add(look)
    return frozenset() if fits == every else frozenset(fits)


class Alike:
    """Looks of one locus that count as one.

    Parameters
    ----------
    locus : LocusEvidence
        The locus.
    catalogue : Catalogue
        Its species: a look that is hard to tell by eye counts as what it is taken for.
    left_open : iterable of frozenset of str
        Keys of looks that some record does not tell apart.
    """

    def __init__(self, locus: LocusEvidence, catalogue: Catalogue, left_open: Iterable[frozenset[str]] = ()) -> None:
        self._wild = catalogue.look(locus.key, (WILD, WILD)).key
        self._one: dict[str, str] = {}
        self.hard: dict[str, str] = {}
        for first, allele in enumerate(locus.alleles):
            for other in locus.alleles[first:]:
                look = catalogue.look(locus.key, pair(allele, other))
                self._one.setdefault(look.key, look.key)
                if look.label and look.ease is Ease.HARD:
                    self.hard[look.key] = look.label
                    taken_for = catalogue.look(locus.key, _taken_for(pair(allele, other), catalogue)).key
                    self._join(taken_for, look.key)
        for looks in left_open:
            first_look, *others = sorted(looks, key=lambda key: (key != self._wild, key))
            for key in others:
                self._join(first_look, key)

    def one(self, look: str) -> str:
        """Key of the look that stands for all that count as this one; empty where that is the wild type."""
        top = self._top(look)
        return "" if top == self._top(self._wild) else top

    def alike(self, look: str) -> list[str]:
        """Keys of all looks that count as this one."""
        top = self._top(look)
        return [key for key in self._one if self._top(key) == top]

    def _top(self, look: str) -> str:
        while self._one.setdefault(look, look) != look:
            look = self._one[look]
        return look

    def _join(self, kept: str, other: str) -> None:
        first, second = self._top(kept), self._top(other)
        if first != second:
            self._one[second] = first


def _taken_for(alleles: Pair, catalogue: Catalogue) -> Pair:
    """The pair as which one that is hard to tell is seen: with one copy less of what is hard to see."""
    first, second = alleles
    if WILD in alleles:
        return (WILD, WILD)
    if first == second or catalogue.alleles[second].ease_one is Ease.HARD:
        return pair(WILD, first)
    return pair(WILD, second)
