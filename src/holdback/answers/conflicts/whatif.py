"""How well all records fit if some young had other parents: exact, on the plans that inference made already.

Only the chances of the young given their parents change, so the network of a part of a pedigree stays as it is. With
the sire of a brood held at each genotype x in turn, F(x) is the probability of all records. A sire drawn from the
population gives the sum of q(x) F(x); a recorded male j gives the sum of F(x) P(j has x | records, held at x), because
the young then say nothing of j.

Notation: z are the switches of the part (doubtful sires, hidden looks); F carries them as trailing axes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from holdback.answers.conflicts.rewired import Rewired, unmoved
from holdback.descent.family import Brood
from holdback.heredity.beliefs.beliefs import Beliefs, class_shares
from holdback.heredity.beliefs.evidence import FloatArray, LocusEvidence
from holdback.heredity.beliefs.states import Shape, States, founder_prior
from holdback.heredity.beliefs.unit import Part, Unit


@dataclass(frozen=True, eq=False)
class OtherParent:
    """A parent of a brood held at each of its genotypes, at all loci.

    Parameters
    ----------
    unit : Unit
        Part of the pedigree.
    parts : mapping of str to tuple of Part
        Locus to beliefs, one for each genotype.
    log_evidence : mapping of str to float array, shape (n_states, *choices of the switches)
        Locus to the logarithm of F.
    states : mapping of str to States
        Locus to the states of the parent.
    unmoved : float array, shape of the choices of the switches
        Logarithm of their prior and of what loci that are not asked say of them.
    """

    unit: Unit
    parts: Mapping[str, tuple[Part, ...]]
    log_evidence: Mapping[str, FloatArray]
    states: Mapping[str, States]
    unmoved: FloatArray
    _marginals: dict[tuple[int, str], FloatArray] = field(default_factory=dict, repr=False)

    def log_ratio(self, chances: Mapping[str, FloatArray]) -> float:
        """Log likelihood with another parent, less that of the records as they are.

        Parameters
        ----------
        chances : mapping of str to float array, shape (n_states,)
            Locus to the weight of each held genotype.
        """
        total = self.unmoved
        for locus, logs in self.log_evidence.items():
            with np.errstate(divide="ignore"):
                weights = np.log(chances[locus]).reshape(-1, *[1] * (logs.ndim - 1))
            total = total + np.logaddexp.reduce(logs + weights, axis=0)
        return float(np.logaddexp.reduce(total.reshape(-1)) - self.unit.log_likelihood)

    def log_ratio_by_locus(self, chances: Mapping[str, FloatArray]) -> dict[str, float]:
        """What each locus adds to `log_ratio`, the others as recorded."""
        found = {}
        for locus, logs in self.log_evidence.items():
            with np.errstate(divide="ignore"):
                weights = np.log(chances[locus]).reshape(-1, *[1] * (logs.ndim - 1))
            total = np.logaddexp.reduce(logs + weights, axis=0) + self.unit.log_outside(locus)
            found[locus] = float(np.logaddexp.reduce(np.asarray(total).reshape(-1)) - self.unit.log_likelihood)
        return found

    def without_young(self, animal: str, locus: str) -> tuple[States, FloatArray]:
        """States of an animal of the part, and their chances where the young of the brood say nothing of the parent.

        At a locus that was not asked, as recorded.
        """
        if locus not in self.log_evidence:
            part = self.unit.part(locus)
            return part.states(animal), part.posterior(animal)
        logs = self.log_evidence[locus]
        with np.errstate(divide="ignore"):
            prior = np.log(self.unknown()[locus])
        by_state = np.logaddexp.reduce((logs + self.unit.log_outside(locus)).reshape(len(logs), -1), axis=1) + prior
        weights = np.exp(by_state - np.logaddexp.reduce(by_state))
        parts = self.parts[locus]
        return parts[0].states(animal), weights @ np.array([self._posterior(part, animal) for part in parts])

    def _posterior(self, part: Part, animal: str) -> FloatArray:
        """Chance of each state of an animal; the marginals of a whole batch are read once."""
        assembly = part.group.assembly
        if animal not in assembly.number:
            return part.posterior(animal)
        key = (id(part.calibrated), animal)
        if key not in self._marginals:
            self._marginals[key] = part.calibrated.marginal(assembly.number[animal])
        return part.mixed(self._marginals[key])[: assembly.states[animal].size]

    def unknown(self) -> dict[str, FloatArray]:
        """Weights of an animal of unknown descent."""
        loci = self.unit.evidence.loci
        return {locus: founder_prior(states, loci[locus].frequencies) for locus, states in self.states.items()}

    def of(self, animal: str, beliefs: Beliefs) -> dict[str, FloatArray]:
        """Weights of a recorded animal in the place of the parent: P(it has x | all records, the parent held at x)."""
        is_here = animal in self.unit.layout.animals
        found = {}
        for locus, states in self.states.items():
            evidence = self.unit.evidence.loci[locus]
            if is_here:
                own = self.parts[locus][0].states(animal)
                chances = np.array([self._posterior(part, animal) for part in self.parts[locus]])
            else:
                part = beliefs.part(animal, locus)
                own = part.states(animal)
                chances = np.tile(part.posterior(animal), (states.size, 1))
            found[locus] = np.einsum("xs,sx->x", *_as_parent(chances, own, states, evidence))
        return found


def other_parent(unit: Unit, rewired: Sequence[Rewired], brood: Brood, *, is_sire: bool) -> OtherParent:
    """A parent of a brood held at each of its genotypes in turn.

    Parameters
    ----------
    unit : Unit
        Part of the pedigree of the brood.
    rewired : sequence of Rewired
        Its groups.
    brood : Brood
        With one sire for the whole clutch.
    is_sire : bool
        Which parent.
    """
    parts: dict[str, tuple[Part, ...]] = {}
    logs: dict[str, FloatArray] = {}
    states: dict[str, States] = {}
    for one in rewired:
        loci = [locus.key for locus in one.assembly.loci]
        changes = one.held(brood, is_sire=is_sire)
        collected = one.collected(changes)
        outside = np.array([unit.outside(key) for key in loci])
        each = one.parts(collected, len(changes), outside)
        found = one.group.log_evidence(collected)
        found = found.reshape(len(changes), len(loci), *found.shape[1:])
        for number, key in enumerate(loci):
            parts[key] = tuple(each[number :: len(loci)])
            logs[key] = found[:, number]
            states[key] = one.parent_states(brood, is_sire=is_sire)
    return OtherParent(unit, parts, logs, states, unmoved(unit, rewired))


def _as_parent(chances: FloatArray, own: States, parent: States, locus: LocusEvidence) -> tuple[FloatArray, FloatArray]:
    """Chances of an animal given that it has the sex of the parent, and the map of its states to the parent's."""
    if own.shape is Shape.EITHER and parent.shape is not Shape.EITHER:
        n = own.n_unordered
        kept = slice(n, None) if parent.shape is Shape.ORDERED else slice(0, n)
        own, chances = States(own.partition, parent.shape), chances[:, kept]
        chances = chances / chances.sum(axis=1, keepdims=True)
    return chances, _state_shares(own, parent, _Shares(locus))


@dataclass(frozen=True)
class _Shares:
    """A locus, told apart by its key and frequencies only."""

    locus: LocusEvidence

    def __hash__(self) -> int:
        return hash(self._known_by)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Shares) and other._known_by == self._known_by

    @property
    def _known_by(self) -> tuple[str, bytes]:
        return self.locus.key, self.locus.frequencies.tobytes()


@lru_cache(maxsize=4096)
def _state_shares(own: States, parent: States, shares: _Shares) -> FloatArray:
    """Chance of each state of the parent by each state of an animal, shape (size of own, size of parent)."""
    number = {pair: index for index, pair in enumerate(parent.pairs)}
    alleles = class_shares(shares.locus, own)
    table = np.zeros((own.size, parent.size))
    for index, (a, b) in enumerate(own.pairs):
        for one, part in alleles[a]:
            for other, rest in alleles[b]:
                first, second = parent.partition[one], parent.partition[other]
                ordered = (first, second) if (first, second) in number else (second, first)
                table[index, number[ordered]] += part * rest
    return table
