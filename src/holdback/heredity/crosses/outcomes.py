"""The looks of the young with their odds, listed lazily over one or several possible pairs of parents.

The space of looks falls into strata: everything that no look hides, where parts multiply, and one stratum for each look
that hides all else. With several scenarios (doubtful sires) a look's chance is the weighted sum over them; the listing
stops when no look still unseen can beat the last one listed (threshold algorithm, Fagin, Lotem & Naor 2003).
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.crosses.couples import BySex, Genotype
from holdback.heredity.crosses.listing import in_order, likeliest
from holdback.heredity.crosses.looks import LookKey
from holdback.heredity.crosses.result import HiddenGene, Outcome
from holdback.heredity.crosses.trade_names import TradeNames
from holdback.heredity.crosses.young import Cross, LookClass, Part, sex_of
from holdback.heredity.frequency import in_words
from holdback.species.model import WILD, Inheritance, LocusLook

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_TRUST = (Basis.MEASURED, Basis.BY_OFFSPRING, Basis.BY_DESCENT, Basis.CLAIMED, Basis.ASSUMED, Basis.REHEARSED)
"""Bases from the strongest to the weakest."""

_ALL, _OPEN = "all", "open"
"""Classes of a part that a hiding look elsewhere covers: every class, or those that hide nothing themselves."""

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
    """

    def __init__(self, cross: Cross) -> None:
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
        self._hidden: dict[tuple[int, LookKey | str, int], tuple[HiddenGene, ...]] = {}
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
        if len(key) == 1:
            for index, found in self.hiding:
                if found.seen.key == key:
                    return self._hiding_look(index, found, sex)
        choice = []
        left = len(key)
        for part, classes in zip(self.cross.parts, self.open, strict=True):
            own = tuple(entry for entry in key if entry[0] in part.loci)
            wanted = part.classes.get(own)
            place = next((place for place, found in enumerate(classes) if found is wanted), None)
            if place is None:
                return None
            left -= len(own)
            choice.append(place)
        return None if left else self._open_look(choice, sex)

    def hidden(self, found: Found, sex: int) -> tuple[HiddenGene, ...]:
        """What cannot be seen on young of a look."""
        genes: list[HiddenGene] = []
        for index, which in enumerate(found.parts):
            name = which if isinstance(which, str) else which.seen.key
            known = self._hidden.get((index, name, sex))
            if known is None:
                known = self._hidden[index, name, sex] = self._hidden_in(self.cross.parts[index], which, sex)
            genes.extend(known)
        return tuple(genes)

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
            rests_on=max(bases, key=_TRUST.index),
        )


_There = Sequence[tuple[float, Looks, Found]]

Scenarios = Sequence[tuple[float, Looks]]
"""Possible pairs with their probabilities, summing to 1."""


def totals(scenarios: Scenarios) -> tuple[float, float]:
    """Chance that an egg hatches, and that its young lives."""
    sums = [0.0, 0.0]
    for weight, looks in scenarios:
        for sex in (0, 1):
            for index, chance in enumerate(looks.total(sex)):
                sums[index] += 0.5 * weight * chance
    return sums[0], sums[1]


def n_looks(scenarios: Scenarios, *, same_loci: bool) -> int:
    """Number of different looks of one sex, an upper bound where there are several possible pairs.

    Parameters
    ----------
    scenarios : Scenarios
        Possible pairs with their probabilities.
    same_loci : bool
        Whether all of them have the same loci in play, and so the same parts; looks that come up in several of them
        are then counted once.
    """
    apart = sum(math.prod(map(len, looks.open)) + len(looks.hiding) for _, looks in scenarios)
    if not same_loci:
        return apart
    by_part = zip(*(looks.open for _, looks in scenarios), strict=True)
    opened = math.prod(len({found.seen.key for classes in part for found in classes}) for part in by_part)
    return min(apart, opened + len({found.seen.key for _, looks in scenarios for _, found in looks.hiding}))


def list_outcomes(scenarios: Scenarios, catalogue: Catalogue, *, by_sex: bool, top: int) -> tuple[Outcome, ...]:
    """Likeliest looks of the young.

    Parameters
    ----------
    scenarios : Scenarios
        Possible pairs with their probabilities.
    catalogue : Catalogue
        Species.
    by_sex : bool
        Whether sons and daughters are listed apart.
    top : int
        How many looks at most.

    Returns
    -------
    tuple of Outcome
        Likeliest first; equally likely ones with fewer genes first.
    """
    _, living = totals(scenarios)
    names = TradeNames(catalogue)
    found: list[Outcome] = []
    for sex in (0, 1) if by_sex else (0,):
        share = 0.5 if by_sex else 1.0
        scale = (share, living, sex_of(sex, catalogue) if by_sex else None)
        found.extend(_outcome(there, sex, scale, names) for there in _top_looks(scenarios, sex, top))
    found.sort(key=lambda look: (-round(look.probability, 12), len(look.looks), look.label, str(look.sex)))
    return tuple(found[:top])


def _top_looks(scenarios: Scenarios, sex: int, top: int) -> list[_There]:
    """Likeliest looks over all scenarios, each with what every scenario adds to it."""
    if len(scenarios) == 1:
        weight, only = scenarios[0]
        return [[(weight, only, look)] for look in only.top(sex, top)]
    chances: dict[LookKey, float] = {}
    rounds = 0
    streams = [(weight, looks.each(sex)) for weight, looks in scenarios]
    ceilings = [weight for weight, _ in scenarios]
    while any(ceiling > 0.0 for ceiling in ceilings):
        rounds += 1
        for index, (weight, stream) in enumerate(streams):
            look = next(stream, None)
            ceilings[index] = 0.0 if look is None else weight * look.hatching
            if look is not None and look.key not in chances:
                others = ((share, looks.at(look.key, sex)) for share, looks in scenarios)
                chances[look.key] = sum(share * other.hatching for share, other in others if other is not None)
        if rounds % 8 == 0 and len(chances) >= top and heapq.nlargest(top, chances.values())[-1] >= sum(ceilings):
            break
    return [
        [(weight, looks, found) for weight, looks in scenarios if (found := looks.at(key, sex)) is not None]
        for key in heapq.nlargest(top, chances, key=chances.__getitem__)
    ]


def _outcome(there: _There, sex: int, scale: tuple[float, float, Sex | None], names: TradeNames) -> Outcome:
    """One look with its odds and hidden genes, over all scenarios."""
    share, living_in_all, shown_sex = scale
    hatching = share * math.fsum(weight * found.hatching for weight, _, found in there)
    living = share * math.fsum(weight * found.living for weight, _, found in there)
    first = there[0][2]
    key = first.key
    book = there[0][1].cross.book
    # The trade names what shows with one copy first and the recessives last: "Pastel Clown".
    named = sorted(zip(key, first.looks, strict=True), key=lambda item: _is_recessive(item[1], book.catalogue))
    labels = tuple(
        book.label(look, {allele for _, looks, _ in there for allele in looks.cross.alleles[locus]})
        for (locus, _), look in named
    )
    label, trade_name = " ".join(labels) or "normal", names.of(key, book)
    return Outcome(
        looks=labels,
        label=label,
        probability=hatching,
        per_hatchling=living / living_in_all if living_in_all > 0.0 else 0.0,
        sex=shown_sex,
        hidden=_mixed_hidden(there, sex),
        lost=hatching > 0.0 and living <= 0.0,
        text=in_words(min(hatching, 1.0)),
        trade_name="" if trade_name == label else trade_name,
        keys=tuple(entry[1] for entry in key),
    )


def _is_recessive(look: LocusLook, catalogue: Catalogue) -> bool:
    """Whether every gene that a look names is recessive."""
    return all(catalogue.alleles[allele].inheritance is Inheritance.RECESSIVE for allele in look.alleles)


def _mixed_hidden(there: Sequence[tuple[float, Looks, Found]], sex: int) -> tuple[HiddenGene, ...]:
    """Hidden genes of a look, weighted by how much each scenario adds to the look."""
    if len(there) == 1:
        return there[0][1].hidden(there[0][2], sex)
    weights = [weight * (found.living or found.hatching) for weight, _, found in there]
    total = math.fsum(weights)
    mixed: dict[str, HiddenGene] = {}
    for weight, (_, looks, found) in zip(weights, there, strict=True):
        for gene in looks.hidden(found, sex):
            share = weight / total
            known = mixed.get(gene.allele)
            mixed[gene.allele] = HiddenGene(
                allele=gene.allele,
                gene=gene.gene,
                chance=share * gene.chance + (known.chance if known else 0.0),
                two_copies=share * gene.two_copies + (known.two_copies if known else 0.0),
                rests_on=max(gene.rests_on, known.rests_on, key=_TRUST.index) if known else gene.rests_on,
            )
    return tuple(mixed.values())
