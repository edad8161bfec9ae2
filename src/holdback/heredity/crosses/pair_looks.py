"""The looks that the young of one possible pair may have, likeliest first, with what each hides.

The space of looks falls into strata: everything that no look hides, where parts multiply, and one stratum for each look
that hides all else.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from holdback.collection.estimate import Basis
from holdback.heredity.crosses.couples import BySex, Genotype
from holdback.heredity.crosses.listing import in_order, likeliest
from holdback.heredity.crosses.looks import LookKey
from holdback.heredity.crosses.result import HiddenGene
from holdback.heredity.crosses.young import Cross, LookClass, Part
from holdback.species.model import WILD, LocusLook

TRUST = (Basis.MEASURED, Basis.BY_OFFSPRING, Basis.BY_DESCENT, Basis.CLAIMED, Basis.ASSUMED, Basis.REHEARSED)
"""Bases from the strongest to the weakest."""

_ALL, _OPEN = "all", "open"
"""Classes of a part that a hiding look elsewhere covers: every class, or those that hide nothing themselves."""

HiddenGenes = dict[tuple[Part, LookKey | str, int], tuple[HiddenGene, ...]]
"""Part, class and sex to the genes that cannot be seen there."""

_Members = Iterable[tuple[Genotype, tuple[BySex, BySex]]]


@dataclass(frozen=True, slots=True)
class Found:
    """A look found in one scenario.

    Parameters
    ----------
    key : LookKey
        Identity of the look.
    looks : tuple of LocusLook
        What is seen.
    hatching, living : float
        Chance that an egg of the sex hatches with this look, and that the young lives as well.
    parts : tuple of (LookClass or str)
        For each part its class, or which of its classes are covered.
    """

    key: LookKey
    looks: tuple[LocusLook, ...]
    hatching: float
    living: float
    parts: tuple[LookClass | str, ...]


class Looks:
    """Looks of the young of one scenario.

    Parameters
    ----------
    cross : Cross
        The pair in parts.
    hidden : dict
        Hidden genes already worked out, by part, class and sex; shared by scenarios that share parts.
    """

    def __init__(self, cross: Cross, hidden: HiddenGenes) -> None:
        self.cross = cross
        self.open = [
            [found for found in part.classes.values() if not found.seen.hides_all and max(found.hatching) > 0.0]
            for part in cross.parts
        ]
        self.hiding = [
            (index, found)
            for index, part in enumerate(cross.parts)
            for found in part.classes.values()
            if found.seen.hides_all and max(found.hatching) > 0.0
        ]
        self._part_of = {locus: index for index, part in enumerate(cross.parts) for locus in part.loci}
        self._places = [{found.seen.key: place for place, found in enumerate(classes)} for classes in self.open]
        self._hidden = hidden
        self._telling: dict[tuple[str, str], dict[str, frozenset[int]]] = {}

    def total(self, sex: int) -> tuple[float, float]:
        """Chance that an egg of a sex hatches, and that its young lives."""
        hatching = living = 1.0
        for part in self.cross.parts:
            hatching *= math.fsum(found.hatching[sex] for found in part.classes.values())
            living *= math.fsum(found.living[sex] for found in part.classes.values())
        return hatching, living

    def top(self, sex: int, count: int) -> list[Found]:
        """Likeliest looks of one sex."""
        factors = [[found.hatching[sex] for found in classes] for classes in self.open]
        opened = [self._open_look(choice, sex) for _, choice in likeliest(factors, count)]
        covered = [self._hiding_look(index, found, sex) for index, found in self.hiding]
        return sorted(opened + covered, key=lambda look: -look.hatching)[:count]

    def each(self, sex: int) -> Iterator[Found]:
        """Looks of one sex, likeliest first, one at a time."""
        factors = [[found.hatching[sex] for found in classes] for classes in self.open]
        covered = sorted((self._hiding_look(*entry, sex) for entry in self.hiding), key=lambda look: -look.hatching)
        opened = (self._open_look(choice, sex) for _, choice in in_order(factors))
        return heapq.merge(opened, covered, key=lambda look: -look.hatching)

    def at(self, key: LookKey, sex: int) -> Found | None:
        """A look by its identity, None where this pair cannot give it."""
        hider = self._hider(key)
        if hider is not None:
            return self._hiding_look(*hider, sex)
        choice = self._choice(key)
        return None if choice is None else self._open_look(choice, sex)

    def chance(self, key: LookKey, sex: int) -> float:
        """Chance that an egg of a sex hatches with a look."""
        hider = self._hider(key)
        if hider is not None:
            return self._hiding_look(*hider, sex).hatching
        choice = self._choice(key)
        if choice is None:
            return 0.0
        return math.prod(classes[place].hatching[sex] for classes, place in zip(self.open, choice, strict=True))

    def hidden(self, found: Found, sex: int) -> tuple[HiddenGene, ...]:
        """What cannot be seen on young of a look."""
        genes: list[HiddenGene] = []
        for index, which in enumerate(found.parts):
            name = which if isinstance(which, str) else which.seen.key
            part = self.cross.parts[index]
            known = self._hidden.get((part, name, sex))
            if known is None:
                known = self._hidden[part, name, sex] = self._hidden_in(part, which, sex)
            genes.extend(known)
        return tuple(genes)

    def _hider(self, key: LookKey) -> tuple[int, LookClass] | None:
        """Part and class of a look that hides all else."""
        if len(key) != 1:
            return None
        return next(((index, found) for index, found in self.hiding if found.seen.key == key), None)

    def _choice(self, key: LookKey) -> list[int] | None:
        """Class of each part that makes up a look, None where there is none."""
        own: dict[int, LookKey] = {}
        for entry in key:
            index = self._part_of.get(entry[0])
            if index is None:
                return None
            own[index] = (*own.get(index, ()), entry)
        choice = [places.get(own.get(index, ())) for index, places in enumerate(self._places)]
        found = [place for place in choice if place is not None]
        return found if len(found) == len(choice) else None

    def _open_look(self, choice: Sequence[int], sex: int) -> Found:
        """Look where nothing hides all else."""
        chosen = [classes[place] for classes, place in zip(self.open, choice, strict=True)]
        if len(chosen) == 1:
            only = chosen[0]
            return Found(only.seen.key, only.seen.looks, only.hatching[sex], only.living[sex], (only,))
        shown = [
            (self._place(entry[0]), entry, look)
            for found in chosen
            for entry, look in zip(found.seen.key, found.seen.looks, strict=True)
        ]
        shown.sort(key=lambda item: item[0])
        return Found(
            key=tuple(entry for _, entry, _ in shown),
            looks=tuple(look for _, _, look in shown),
            hatching=math.prod(found.hatching[sex] for found in chosen),
            living=math.prod(found.living[sex] for found in chosen),
            parts=tuple(chosen),
        )

    def _hiding_look(self, index: int, hider: LookClass, sex: int) -> Found:
        """Look that hides all else: parts before it must not hide it in turn, parts behind are free."""
        hatching, living = hider.hatching[sex], hider.living[sex]
        parts: list[LookClass | str] = []
        for other, part in enumerate(self.cross.parts):
            if other == index:
                parts.append(hider)
                continue
            covered = self.open[other] if other < index else list(part.classes.values())
            hatching *= math.fsum(found.hatching[sex] for found in covered)
            living *= math.fsum(found.living[sex] for found in covered)
            parts.append(_OPEN if other < index else _ALL)
        return Found(hider.seen.key, hider.seen.looks, hatching, living, tuple(parts))

    def _place(self, locus: str) -> int:
        return self.cross.order.index(locus)

    def _hidden_in(self, part: Part, which: LookClass | str, sex: int) -> tuple[HiddenGene, ...]:
        """Hidden genes of one part."""
        if isinstance(which, LookClass):
            members: _Members = which.members.items()
        else:
            members = [
                member
                for found in part.classes.values()
                if which == _ALL or not found.seen.hides_all
                for member in found.members.items()
            ]
        members = list(members)
        alive = math.fsum(living[sex] for _, (_, living) in members)
        weights = [(genotype, (living if alive > 0.0 else hatching)[sex]) for genotype, (hatching, living) in members]
        total = math.fsum(weight for _, weight in weights)
        if total <= 0.0:
            return ()
        genes = []
        for index, locus in enumerate(part.loci):
            covered = isinstance(which, str) or locus in which.seen.unseen
            for allele in sorted({part.book.identity(each) for each in self.cross.alleles[locus]} - {WILD}):
                copies = [0.0, 0.0, 0.0]
                for genotype, weight in weights:
                    copies[part.book.copies(allele, genotype[index])] += weight / total
                key = part.book.look(locus, weights[0][0][index]).key
                left_open = frozenset((0, 1, 2)) if covered else self._left_open(locus, allele)[key]
                if len(left_open) == 1:
                    continue
                chance = copies[1] + copies[2] if 0 in left_open else copies[2]
                if chance > 0.0:
                    genes.append(self._gene(locus, allele, chance, copies[2]))
        return tuple(genes)

    def _left_open(self, locus: str, allele: str) -> dict[str, frozenset[int]]:
        """Copies of an allele that each look leaves open."""
        known = self._telling.get((locus, allele))
        if known is None:
            present = self.cross.alleles[locus]
            known = self._telling[locus, allele] = self.cross.book.telling(locus, allele, present)
        return known

    def _gene(self, locus: str, allele: str, chance: float, two_copies: float) -> HiddenGene:
        """Hidden gene with its name and the weakest basis it rests on."""
        book, alleles = self.cross.book, self.cross.catalogue.alleles
        named = sorted(each for each in self.cross.alleles[locus] if book.identity(each) == allele)
        bases = [
            parent.basis.get(locus, Basis.CLAIMED)
            for parent in (self.cross.sire, self.cross.dam)
            if any(odds > 0.0 and book.copies(allele, alleles_) for alleles_, odds in parent.at(locus).items())
        ]
        return HiddenGene(
            allele=allele,
            gene=alleles[named[0] if len(named) == 1 else allele].name,
            chance=min(chance, 1.0),
            two_copies=min(two_copies, 1.0),
            rests_on=max(bases, key=TRUST.index),
        )
