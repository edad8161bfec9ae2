"""Table of the whole looks of a clutch: what was foretold in each state of the parents, and what came."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from holdback.answers.season.before_young import uses_all_kin
from holdback.answers.season.clutch_looks import ClutchLooks
from holdback.answers.season.foretold_looks import States, states_of_part
from holdback.answers.season.told_looks import Alike, Young
from holdback.answers.season.whole_looks import Joiner, whole_looks
from holdback.collection.model import Sex
from holdback.heredity.beliefs.evidence import FloatArray
from holdback.heredity.crosses.couples import Genotype
from holdback.heredity.crosses.looks import LookKey
from holdback.heredity.crosses.young import Cross, Part, sex_of
from holdback.species.model import WILD, Inheritance, LocusLook, pair

MOST_STATES = 64
"""States of the parents that are kept apart; those that differ least become one."""

MOST_LOOKS = 24
LEAST_CHANCE = 0.001
"""Looks listed: so many, the likeliest by what was foretold, with at least this chance; all others are one class.

What came has no say in it: a class made for a rare look because it came would make every rare look a fault.
"""

NEXT_OF_KIN = (
    "The pedigree is too large or too entangled to use all of it here: the parents are told by their own records, "
    "those of their ancestors for three generations, and those of their other young."
)

_LEAST_TOLD = 0.5
"""Share of the loci in play that a record has to tell for the young to count."""

Class = tuple[LookKey, int | None]
"""Look, and the number of the sex where sons and daughters are counted apart."""


@dataclass(frozen=True, eq=False)
class LookTable:
    """Whole looks of a clutch.

    Parameters
    ----------
    foretold : tuple of (float, mapping)
        Probability of each state of the parents, and the chance of each look in it.
    came : mapping of str to int
        Young by look.
    unseen : int
        Good eggs without a young that counts.
    others : tuple of str
        Looks that came and are not listed.
    notes : tuple of str
        What was not told apart, in sentences.
    """

    foretold: tuple[tuple[float, Mapping[str, float]], ...]
    came: Mapping[str, int]
    unseen: int
    others: tuple[str, ...]
    notes: tuple[str, ...]


def look_table(clutch: ClutchLooks) -> LookTable:
    """Whole looks of a clutch beside what was foretold."""
    return _Maker(clutch).table()


@dataclass(frozen=True, eq=False)
class _Maker:
    """The steps from a clutch to its table."""

    clutch: ClutchLooks

    def table(self) -> LookTable:
        came = Counter(self._class_of(one) for one in self._young)
        weights, classes, chances = self._mixed(came)
        mean = weights @ chances
        listed = [int(one) for one in np.argsort(-mean, kind="stable")[:MOST_LOOKS] if mean[one] >= LEAST_CHANCE]
        labels = {classes[one]: self._label(classes[one]) for one in range(len(classes))}
        names = [labels[classes[one]] for one in listed]
        never = {self._label(one): 0.0 for one in came if one not in classes or mean[classes.index(one)] <= 0}
        came_by_name = {self._label(one): count for one, count in came.items()}
        rows = Counter[tuple[float, ...]]()
        for weight, row in zip(weights.tolist(), np.round(chances[:, listed], 12).tolist(), strict=True):
            rows[tuple(row)] += weight
        return LookTable(
            foretold=tuple((weight, {**dict(zip(names, row, strict=True)), **never}) for row, weight in rows.items()),
            came=came_by_name,
            unseen=self.clutch.n_good - len(self._young),
            others=tuple(look for look in came_by_name if look not in names and look not in never),
            notes=tuple(self._notes()),
        )

    @cached_property
    def _hiders(self) -> frozenset[str]:
        """Loci with a look that hides others."""
        return frozenset(locus for locus in self.clutch.alleles if any(look.hides for look in self._looks(locus)))

    def _looks(self, locus: str) -> Iterator[LocusLook]:
        """Looks that young of the clutch may have at a locus."""
        alleles = [WILD, *sorted(self.clutch.alleles[locus])]
        for number, first in enumerate(alleles):
            for second in alleles[number:]:
                yield self.clutch.book.look(locus, pair(first, second))

    def _is_told(self, young: Young, locus: str) -> bool:
        """Whether the look at a locus is on record, or hidden by one that is."""
        return locus in young.looks or locus in self._covered(young)

    def _covered(self, young: Young) -> frozenset[str]:
        found: set[str] = set()
        for locus in self._hiders & young.looks.keys():
            hides = {look.hides for look in self._looks(locus) if look.key in young.looks[locus]}
            if len(hides) == 1:
                words = hides.pop()
                found |= set(self.clutch.alleles) - {locus} if words == "all" else set(words.split())
        return frozenset(found)

    @cached_property
    def _young(self) -> tuple[Young, ...]:
        """Young whose record tells enough of the look."""
        loci = list(self.clutch.alleles)
        return tuple(
            one
            for one in self.clutch.young
            if all(self._is_told(one, locus) for locus in self._hiders)
            and sum(self._is_told(one, locus) for locus in loci) >= _LEAST_TOLD * len(loci)
        )

    @cached_property
    def _alike(self) -> Mapping[str, Alike]:
        """Loci that are told of every young that counts, with the looks that count as one."""
        return {
            locus: self.clutch.alike(locus, self._young)
            for locus in self.clutch.alleles
            if all(self._is_told(one, locus) for one in self._young)
        }

    @cached_property
    def _joiner(self) -> Joiner:
        order = {locus: number for number, locus in enumerate(self.clutch.alleles)}
        hiding = {
            (locus, alike.one(look.key))
            for locus, alike in self._alike.items()
            for look in self._looks(locus)
            if look.hides == "all"
        }
        return Joiner(order, hiding)

    @cached_property
    def _is_by_sex(self) -> bool:
        """Whether sons and daughters are counted apart: they differ, and every young is sexed."""
        splits = any(part.splits_by_sex for cross in self.clutch.crosses for part in cross.parts)
        return splits and all(one.sex is not Sex.UNKNOWN for one in self._young)

    def _sorting(self, part: Part, genotype: Genotype) -> LookKey:
        return self._told_apart(self.clutch.book.seen(part.loci, genotype).key)

    def _told_apart(self, look: LookKey) -> LookKey:
        """A look as far as it is told by eye and by the records."""
        entries = ((locus, self._alike[locus].one(key)) for locus, key in look if locus in self._alike)
        return tuple(one for one in entries if one[1])

    def _class_of(self, young: Young) -> Class:
        covered = self._covered(young)
        looks = tuple(
            (locus, min(young.looks[locus])) for locus in self._alike if locus in young.looks and locus not in covered
        )
        sex = next((one for one in (0, 1) if sex_of(one, self.clutch.answers.catalogue) is young.sex), None)
        return self._joiner.joined(self._told_apart(looks), ()), sex if self._is_by_sex else None

    def _mixed(self, came: Mapping[Class, int]) -> tuple[FloatArray, list[Class], FloatArray]:
        """Probabilities of the states of all couples, classes, and chances by state and class."""
        looks_came = {look for look, _ in came}
        found: list[tuple[FloatArray, dict[Class, FloatArray]]] = []
        for couple, cross in zip(self.clutch.couples, self.clutch.crosses, strict=True):
            looks, weights, chances, totals = whole_looks(
                self._states(cross, couple.has_sire),
                [part.loci for part in cross.parts],
                self._joiner,
                came=looks_came,
                most=max(1, int(MOST_STATES * couple.weight)),
            )
            shares = chances / np.maximum(totals.sum(axis=1), 1e-300)[:, None, None]
            columns: dict[Class, FloatArray] = {}
            for number, look in enumerate(looks):
                if self._is_by_sex:
                    columns |= {(look, sex): shares[:, number, sex] for sex in (0, 1)}
                else:
                    columns[look, None] = shares[:, number].sum(axis=1)
            found.append((couple.weight * weights, columns))
        classes = list(dict.fromkeys(one for _, columns in found for one in columns))
        rows = [np.stack([columns.get(one, np.zeros(len(some))) for one in classes], axis=1) for some, columns in found]
        every = np.concatenate([weights for weights, _ in found])
        return every / every.sum(), classes, np.concatenate(rows)

    def _states(self, cross: Cross, has_sire: bool) -> Sequence[States]:
        return [
            states_of_part(
                part,
                self._sorting,
                has_sire=has_sire,
                in_egg=self.clutch.in_egg,
                second_division=self.clutch.answers.evidence.second_division,
            )
            for part in cross.parts
        ]

    def _label(self, one: Class) -> str:
        """Name of a class, genes that show with one copy first."""
        look, sex = one
        named = sorted(((locus, key) for locus, key in look), key=lambda entry: self._is_recessive(*entry))
        words = " ".join(self._name(*entry) for entry in named) or "normal"
        return words if sex is None else f"{sex_of(sex, self.clutch.answers.catalogue)} {words}"

    def _named(self, locus: str, key: str) -> list[LocusLook]:
        """Looks that count as one, those that are hard to tell left out."""
        alike = self._alike[locus]
        found = {look.key: look for look in self._looks(locus) if alike.one(look.key) == key}
        return [look for look in found.values() if look.key not in alike.hard] or list(found.values())

    def _name(self, locus: str, key: str) -> str:
        names = (self.clutch.book.label(look, self.clutch.alleles[locus]) for look in self._named(locus, key))
        return " or ".join(dict.fromkeys(names))

    def _is_recessive(self, locus: str, key: str) -> bool:
        alleles = self.clutch.answers.catalogue.alleles
        return all(
            alleles[allele].inheritance is Inheritance.RECESSIVE
            for look in self._named(locus, key)
            for allele in look.alleles
        )

    def _notes(self) -> Iterator[str]:
        if not uses_all_kin(self.clutch.answers, self.clutch.brood):
            yield NEXT_OF_KIN
        hard = [
            label
            for locus, alike in self._alike.items()
            for label in dict.fromkeys(alike.hard[look.key] for look in self._looks(locus) if look.key in alike.hard)
        ]
        if hard:
            yield f"Hard to tell by eye, and not counted apart: {', '.join(hard)}."
        untold = [
            self.clutch.name_of(allele)
            for locus, alleles in self.clutch.alleles.items()
            if locus not in self._alike
            for allele in sorted(alleles)
        ]
        if untold:
            yield f"Not told of every young, and left out: {', '.join(untold)}."
