"""Which records and which clutches are worth a second look.

A record is odd if it is probably wrong and its relatives say so: P(record | all others) is well below P(record) for an
animal of unknown descent. A brood is odd if other parents, or one young from elsewhere, might explain all records
better by more than they are unlikely; the other parent is drawn from the breeders of the collection here, locus by
locus, which flatters it, so that little is overlooked.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from holdback.answers.conflicts.candidates import Breeders
from holdback.answers.conflicts.rewired import (
    Change,
    Rewired,
    has_one_sire_node,
    rewired_groups,
    state_chances,
    unmoved,
)
from holdback.collection.model import NO_SIRE, Sex
from holdback.descent.family import Brood
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import FloatArray, GeneRecord, LocusEvidence
from holdback.heredity.beliefs.states import Shape, by_state
from holdback.heredity.beliefs.unit import Unit

WRONG = 0.5
"""Chance of being wrong from which a record is odd."""
_SEX_WRONG = 0.2
"""The same for a sex, of which a single gene tells less."""
_OPPOSED = 0.5
"""Share of its chance that relatives must leave a record at most."""
WORTH_A_LOOK = 0.05
"""Chance of another explanation, at its most flattering, from which a brood is worked out."""
_PLAIN = 0.02
"""Chance of carrying anything below which parents and young say nothing at a sex-linked locus."""
_TRADE_SHARE = 0.1
"""Weight of an animal of unknown descent among the breeders of the collection."""


@dataclass(frozen=True, slots=True)
class OddRecord:
    """A look or a claim that is probably wrong.

    Parameters
    ----------
    record : GeneRecord
        The record.
    locus : str
        Locus key.
    wrong : float
        P(it is a mistake | all records).
    """

    record: GeneRecord
    locus: str
    wrong: float


@dataclass(frozen=True, slots=True)
class OddSex:
    """An animal whose recorded sex is probably wrong; `wrong` is the chance of that."""

    animal: str
    locus: str
    wrong: float


@dataclass
class OddBroods:
    """Broods worth working out: by key, with the sides and the young that are odd, or for a percentage written."""

    sides: dict[str, list[bool]] = field(default_factory=dict)
    young: dict[str, list[str]] = field(default_factory=dict)
    paper: set[str] = field(default_factory=set)

    @property
    def keys(self) -> list[str]:
        """Keys of all broods."""
        return list(dict.fromkeys([*self.sides, *self.young]))


def odd_records(beliefs: Beliefs, animals: Container[str] | None = None) -> Iterator[OddRecord]:
    """Looks and claims, of some or all animals, that are probably wrong and that their relatives speak against."""
    for key, locus in beliefs.evidence.loci.items():
        population = np.outer(locus.frequencies, locus.frequencies) * locus.survival
        population /= population.sum()
        for animal, records in locus.records.items():
            counted = [record for record in records if record.counted and record.wrong.any()]
            if not counted or (animals is not None and animal not in animals):
                continue
            part = beliefs.part(animal, key)
            states = part.states(animal)
            chances = part.posterior(animal)
            for record in counted:
                wrong = float(chances @ by_state(record.wrong.astype(np.float64), states))
                if wrong >= WRONG:
                    by_others = 1.0 / float((chances / by_state(record.likelihood, states)).sum())
                    if by_others < _OPPOSED * float((population * record.likelihood).sum()):
                        yield OddRecord(record, key, wrong)


def odd_sexes(beliefs: Beliefs) -> Iterator[OddSex]:
    """Animals without young whose genes say that they are of the other sex."""
    hetero = beliefs.evidence.heterogametic
    for key, locus in beliefs.evidence.loci.items():
        if locus.linkage is None:
            continue
        for animal, sex in beliefs.family.sexes.items():
            part = beliefs.part(animal, key)
            states = part.states(animal)
            if states.shape is Shape.EITHER and sex is not Sex.UNKNOWN:
                is_hetero = float(part.posterior(animal)[states.n_unordered :].sum())
                wrong = 1.0 - is_hetero if sex is hetero else is_hetero
                if wrong >= _SEX_WRONG:
                    yield OddSex(animal, key, wrong)


class Screen:
    """Scores of other parents for every brood.

    Parameters
    ----------
    beliefs : Beliefs
        Of all records.
    breeders : Breeders
        Who may be a parent.
    """

    def __init__(self, beliefs: Beliefs, breeders: Breeders) -> None:
        self._beliefs, self._breeders = beliefs, breeders
        self._units = [unit for unit in beliefs.units if isinstance(unit, Unit)]
        self._rewired = {id(unit): rewired_groups(unit) for unit in self._units}
        self._spoken: dict[tuple[str, str], bool] = {}

    def rewired(self, unit: Unit) -> tuple[Rewired, ...]:
        """Groups of a part of the pedigree, ready for other parents."""
        return self._rewired[id(unit)]

    def odd_broods(self) -> OddBroods:
        """Broods in which another parent or a strange young may explain the records better."""
        found = OddBroods()
        trust = self._breeders.catalogue.records
        least = np.log(WORTH_A_LOOK / trust["wrong_parent"].value)
        least_strange = np.log(WORTH_A_LOOK / trust["look_error"].value)
        for unit in self._units:
            for brood, is_sire, score in self._sides(unit):
                if score > (0.0 if is_sire and self._breeders.is_open(brood) else least):
                    found.sides.setdefault(brood.key, []).append(is_sire)
            for brood, young, score in self._strangers(unit):
                if score > least_strange:
                    found.young.setdefault(brood.key, []).append(young)
        return found

    def _sides(self, unit: Unit) -> Iterator[tuple[Brood, bool, float]]:
        sides = [
            (brood, is_sire)
            for brood in unit.layout.broods
            for is_sire in (True, False)
            if _is_recorded(brood, is_sire=is_sire) and (not is_sire or has_one_sire_node(unit, brood))
        ]
        totals = [unmoved(unit, self._rewired[id(unit)]) for _ in sides]
        for rewired in self._rewired[id(unit)]:
            base = rewired.group.log_evidence().sum(axis=0)
            changes: list[Change] = []
            places = []
            for index, (brood, is_sire) in enumerate(sides):
                if self._speaks(unit, brood, rewired):
                    held = rewired.held(brood, is_sire=is_sire)
                    places.append((index, len(changes), len(changes) + len(held)))
                    changes += held
                else:
                    totals[index] = totals[index] + base
            logs = rewired.log_evidence(changes) if changes else np.empty(0)
            for index, start, end in places:
                brood, is_sire = sides[index]
                totals[index] = totals[index] + self._mixed(rewired, brood, logs[start:end], is_sire=is_sire)
        for (brood, is_sire), total in zip(sides, totals, strict=True):
            yield brood, is_sire, float(np.logaddexp.reduce(np.asarray(total).reshape(-1)) - unit.log_likelihood)

    def _mixed(self, rewired: Rewired, brood: Brood, logs: FloatArray, *, is_sire: bool) -> FloatArray:
        """Logarithm of F mixed over a usual breeder, summed over loci; shape of the choices of the switches."""
        states = rewired.parent_states(brood, is_sire=is_sire)
        usual = self._usual[Sex.MALE if is_sire else Sex.FEMALE]
        with np.errstate(divide="ignore"):
            weights = np.log([state_chances(states, usual[locus.key]) for locus in rewired.assembly.loci])
        spread = weights.T.reshape(*weights.T.shape, *[1] * (logs.ndim - 2))
        return np.asarray(np.logaddexp.reduce(logs + spread, axis=0).sum(axis=0))

    def _strangers(self, unit: Unit) -> Iterator[tuple[Brood, str, float]]:
        young = [(brood, one) for brood in unit.layout.broods for one in brood.young]
        totals = [unmoved(unit, self._rewired[id(unit)]) for _ in young]
        usual = self._usual[Sex.UNKNOWN]
        for rewired in self._rewired[id(unit)]:
            base = rewired.group.log_evidence().sum(axis=0)
            asked = [index for index, (brood, _) in enumerate(young) if self._speaks(unit, brood, rewired)]
            changes = [rewired.foreign(young[index][1], usual) for index in asked]
            logs = dict(zip(asked, rewired.log_evidence(changes), strict=True)) if changes else {}
            totals = [
                total + (logs[index].sum(axis=0) if index in logs else base) for index, total in enumerate(totals)
            ]
        for (brood, one), total in zip(young, totals, strict=True):
            yield brood, one, float(np.logaddexp.reduce(np.asarray(total).reshape(-1)) - unit.log_likelihood)

    def _speaks(self, unit: Unit, brood: Brood, rewired: Rewired) -> bool:
        """Whether any of a brood and its parents may carry something at a locus; always at the many plain loci."""
        if not rewired.assembly.is_sex_linked:
            return True
        key = rewired.assembly.loci[0].key
        if (brood.key, key) not in self._spoken:
            near = [*brood.young, *self._beliefs.family.parents(brood.young[0])]
            self._spoken[brood.key, key] = any(self._carries(unit, animal, key) for animal in near)
        return self._spoken[brood.key, key]

    def _carries(self, unit: Unit, animal: str, locus: str) -> bool:
        part = unit.part(locus)
        states = part.states(animal)
        wild = states.partition[0]
        plain = np.array([pair == (wild, wild) for pair in states.pairs])
        return float(part.posterior(animal)[~plain].sum()) > _PLAIN

    @cached_property
    def _usual(self) -> dict[Sex, dict[str, FloatArray]]:
        """Chances of ordered pairs of alleles of a breeder of the collection, by sex (unknown: either) and locus."""
        kept = self._breeders.kept
        found: dict[Sex, dict[str, FloatArray]] = {sex: {} for sex in Sex}
        for key, locus in self._beliefs.evidence.loci.items():
            tables = [pair_table(self._beliefs.at(animal, key), locus) for animal in kept]
            trade = np.outer(locus.frequencies, locus.frequencies)
            for sex in Sex:
                chosen = [
                    table
                    for animal, table in zip(kept, tables, strict=True)
                    if sex in (Sex.UNKNOWN, self._beliefs.family.sexes[animal])
                ]
                mean = np.mean(chosen, axis=0) if chosen else trade
                found[sex][key] = (1.0 - _TRADE_SHARE) * mean + _TRADE_SHARE * trade
        return found


def pair_table(odds: Mapping[tuple[str, str], float], locus: LocusEvidence) -> FloatArray:
    """Chances of ordered pairs of alleles from those of unordered pairs, shape (n, n)."""
    number = {allele: index for index, allele in enumerate(locus.alleles)}
    table = np.zeros((locus.n_alleles, locus.n_alleles))
    for (one, other), chance in odds.items():
        table[number[one], number[other]] += chance / 2.0
        table[number[other], number[one]] += chance / 2.0
    return table


def _is_recorded(brood: Brood, *, is_sire: bool) -> bool:
    """Whether there is a record that may be wrong, or a sire to be found."""
    return any(one.animal != NO_SIRE for one in brood.sires) if is_sire else brood.dam is not None
