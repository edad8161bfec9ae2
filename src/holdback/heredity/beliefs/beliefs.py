"""The answer of inference: posterior of every genotype, of doubtful sires, and joints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from holdback.descent.family import Family
from holdback.heredity.beliefs.estimated import EstimatedPart, EstimatedUnit
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.memory import Memory
from holdback.heredity.beliefs.states import States
from holdback.heredity.beliefs.unit import Part, Unit
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief
from holdback.species.model import Pair

AnyUnit = Unit | EstimatedUnit
AnyPart = Part | EstimatedPart

BACKGROUND = 0.01
"""Chance of carrying an allele below which it is never told of an animal."""

_ABOVE_POPULATION = 1.5
"""Times the chance of any animal from which something on record speaks for an allele."""


@dataclass(frozen=True, slots=True)
class SireOdds:
    """A candidate sire with its weight before and after the genes of the young spoke.

    Parameters
    ----------
    sire : str
        Animal id, "?" for a male not on record, "none" for no sire.
    prior, posterior : float
        Probabilities in [0, 1].
    """

    sire: str
    prior: float
    posterior: float


@dataclass(frozen=True, eq=False)
class Beliefs:
    """Posterior beliefs of a collection.

    Parameters
    ----------
    family : Family
        Who descends from whom.
    evidence : Evidence
        What they rest on.
    units : tuple of Unit or EstimatedUnit
        Independent parts of the pedigree.
    memory : Memory
        Where plans and calibrated loci are kept.
    """

    family: Family
    evidence: Evidence
    units: tuple[AnyUnit, ...]
    memory: Memory = field(repr=False)

    @property
    def exact(self) -> bool:
        """Whether every number is exact under the model."""
        return all(unit.exact for unit in self.units)

    @property
    def settled(self) -> bool:
        """Whether every number that is not exact came to rest within its error."""
        return all(unit.settled for unit in self.units)

    @property
    def standard_error(self) -> float:
        """Largest standard error of any chance; 0 where exact."""
        return max((unit.standard_error for unit in self.units), default=0.0)

    @cached_property
    def log_likelihood(self) -> float:
        """Natural logarithm of the probability of all records, up to the factors that the records are given by."""
        return float(sum(unit.log_likelihood for unit in self.units))

    @cached_property
    def _unit_of(self) -> Mapping[str, AnyUnit]:
        return {animal: unit for unit in self.units for animal in unit.layout.animals}

    def unit_of(self, animal: str) -> AnyUnit:
        """Part of the pedigree that an animal belongs to.

        Raises
        ------
        KeyError
            If there is no such animal.
        """
        return self._unit_of[animal]

    def exact_unit_of(self, animal: str) -> Unit | None:
        """Part of the pedigree that an animal belongs to; None where it was sampled, and no record can be withheld.

        Raises
        ------
        KeyError
            If there is no such animal.
        """
        unit = self._unit_of[animal]
        return unit if isinstance(unit, Unit) else None

    def at(self, animal: str, locus: str) -> dict[Pair, float]:
        """Chances of the unordered pairs of an animal at a locus, summing to 1.

        Raises
        ------
        KeyError
            If there is no such animal. A locus of which nobody said anything is wild type.

        Notes
        -----
        Where a locus is too large for all its alleles to stay apart, those that nothing recorded tells apart in the
        animal share by their frequency. That is right for one copy, but two copies may descend from one.
        """
        if locus not in self.evidence.loci:
            return {WILD_PAIR: 1.0}
        part = self.unit_of(animal).part(locus)
        return pairs_of_states(self.evidence.loci[locus], part.states(animal), part.posterior(animal))

    def copies(self, animal: str, locus: str, allele: str) -> tuple[float, float, float]:
        """Chances of no, one and two copies of an allele."""
        odds = [0.0, 0.0, 0.0]
        for alleles, chance in self.at(animal, locus).items():
            odds[alleles.count(allele)] += chance
        return odds[0], odds[1], odds[2]

    def of(self, animal: str) -> GenotypeBelief:
        """Belief of an animal at every locus where it may carry something worth telling.

        Notes
        -----
        Loci at which nothing on record speaks for any allele are left out, see `is_worth_telling`.
        """
        loci = {}
        phase = {}
        for key, locus in self.evidence.loci.items():
            pairs = self.at(animal, key)
            if any_worth_telling(locus, pairs):
                loci[key] = pairs
                on_y = self.phase(animal, key)
                if on_y is not None:
                    phase[key] = on_y
        return GenotypeBelief(sex=self.family.sexes[animal], loci=loci, phase=phase)

    def phase(self, animal: str, locus: str) -> float | None:
        """Chance that the second allele of the sorted pair sits on the sex-limited chromosome.

        Returns
        -------
        float or None
            Given that the animal has two different alleles; None at an autosomal locus, in the homogametic sex, and
            where two different alleles are impossible.
        """
        return self.unit_of(animal).part(locus).phase(animal)

    def sires(self, brood: str) -> tuple[SireOdds, ...]:
        """Candidate sires of a brood, in record order.

        Raises
        ------
        KeyError
            If there is no such brood.
        """
        found = self.sires_by_egg(brood)
        means = np.mean([[one.posterior for one in each] for each in found.values()], axis=0).tolist()
        first = next(iter(found.values()))
        return tuple(SireOdds(one.sire, one.prior, mean) for one, mean in zip(first, means, strict=True))

    def sires_by_egg(self, brood: str) -> Mapping[str, tuple[SireOdds, ...]]:
        """Candidate sires of every young of a brood; the same for all where the clutch has one sire.

        Raises
        ------
        KeyError
            If there is no such brood.
        """
        one = next((each for each in self.family.broods if each.key == brood), None)
        if one is None:
            raise KeyError(brood)
        unit = self.unit_of(one.young[0])
        answer = {}
        for young in one.young:
            chances = unit.of_sire(young) if one.is_uncertain else np.ones(1)
            answer[young] = tuple(
                SireOdds(each.animal, each.weight, float(p)) for each, p in zip(one.sires, chances, strict=True)
            )
        return answer

    def part(self, animal: str, locus: str) -> AnyPart:
        """Calibrated part of the pedigree that an animal belongs to, at one locus."""
        return self.unit_of(animal).part(locus)


def is_worth_telling(locus: LocusEvidence, allele: str, chance: float) -> bool:
    """Whether an animal carries an allele with more than any animal of unknown descent would.

    Parameters
    ----------
    locus : LocusEvidence
        Where the frequency of the allele comes from.
    allele : str
        Allele key.
    chance : float
        Chance that the animal carries it.
    """
    frequency = float(locus.frequencies[locus.alleles.index(allele)])
    return chance >= max(BACKGROUND, _ABOVE_POPULATION * (1.0 - (1.0 - frequency) ** 2))


def any_worth_telling(locus: LocusEvidence, pairs: Mapping[Pair, float]) -> bool:
    """Whether some allele of a locus is worth telling, given the chances of the pairs."""
    return any(
        is_worth_telling(locus, allele, sum(chance for pair, chance in pairs.items() if allele in pair))
        for allele in locus.alleles[1:]
    )


def pairs_of_states(locus: LocusEvidence, states: States, chances: FloatArray) -> dict[Pair, float]:
    """Chances of pairs of alleles from chances of states; alleles of one class share by their frequency."""
    found: dict[Pair, float] = {}
    shares = class_shares(locus, states)
    for (a, b), chance in zip(states.pairs, chances.tolist(), strict=True):
        for one, part in shares[a]:
            for other, rest in shares[b]:
                key = locus.pair(one, other)
                found[key] = found.get(key, 0.0) + chance * part * rest
    return found


def class_shares(locus: LocusEvidence, states: States) -> list[list[tuple[int, float]]]:
    """Alleles of each class with their share of it by frequency."""
    found: list[list[tuple[int, float]]] = [[] for _ in range(states.n_classes)]
    for allele, number in enumerate(states.partition):
        found[number].append((allele, float(locus.frequencies[allele])))
    scaled = []
    for members in found:
        total = sum(weight for _, weight in members)
        even = 1.0 / len(members)
        scaled.append([(allele, weight / total if total > 0.0 else even) for allele, weight in members])
    return scaled
