"""Everything that may explain an odd brood, weighed: prior times likelihood, all loci in play."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from holdback.answers.conflicts.candidates import Breeders, Rival
from holdback.answers.conflicts.conflict import Kind
from holdback.answers.conflicts.rewired import has_one_sire_node, log_ratio_of
from holdback.answers.conflicts.screening import Screen, pair_table
from holdback.answers.conflicts.whatif import OtherParent, other_parent
from holdback.answers.conflicts.written import Gametes, written_percentages
from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.assembly import Assembly
from holdback.heredity.beliefs.beliefs import Beliefs, pairs_of_states
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.inference import layouts_of
from holdback.heredity.beliefs.layout import Layout
from holdback.heredity.beliefs.recombination_grid import grid_of
from holdback.heredity.beliefs.unit import Group, Unit, batches, group_of
from holdback.heredity.network import Plan, TooWide

_LIKELY_RIVAL = 0.02
"""Weight, against the records as they are, from which a rival may be the second sire of a clutch."""

_LIKELY_SWAP = 0.1
"""Weight of swapped young, against the records as they are, from which the parents are asked about too."""
_MOST_ENTRIES = 2_000_000
"""Table entries up to which a clutch with a sire for every egg is worked out."""
_HATCHES_APART = 0.02
"""Chance that a young hatches more than a week from its clutch; an assumption, no source."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way in which the records of a brood may be wrong.

    Parameters
    ----------
    kind : Kind
        What is wrong.
    animal : str
        Who is the parent instead; "?" where not on record, empty where it does not apply.
    log_weight : float
        Logarithm of prior times likelihood, against 0 for the records as they are.
    young : str
        Swapped id: the young; else empty.
    nest : str
        Swapped id: key of the brood that it fits; empty where none does.
    was_there : bool
        Whether another record speaks for it.
    """

    kind: Kind
    animal: str
    log_weight: float
    young: str = ""
    nest: str = ""
    was_there: bool = False


@dataclass(frozen=True, eq=False)
class Rivalry:
    """A brood with all that may explain it.

    Parameters
    ----------
    brood : Brood
        As recorded.
    hypotheses : tuple of Hypothesis
        Likeliest first.
    sire, dam : OtherParent or None
        The parents held at each genotype; None where not worked out.
    log_recorded : float
        Logarithm of the weight of the records as they are.
    """

    brood: Brood
    hypotheses: tuple[Hypothesis, ...]
    sire: OtherParent | None
    dam: OtherParent | None
    log_recorded: float = 0.0

    @property
    def log_total(self) -> float:
        """Logarithm of the sum of all weights."""
        return float(np.logaddexp.reduce([self.log_recorded, *(each.log_weight for each in self.hypotheses)]))

    def chance(self, hypothesis: Hypothesis) -> float:
        """Posterior probability of one hypothesis."""
        return math.exp(hypothesis.log_weight - self.log_total)

    @property
    def as_recorded(self) -> float:
        """Posterior probability that the parents are as recorded."""
        return math.exp(self.log_recorded - self.log_total)


@dataclass(frozen=True)
class Weighing:
    """Weighs the rivals of one brood after another.

    Parameters
    ----------
    beliefs : Beliefs
        Of all records.
    breeders : Breeders
        Who may be a parent.
    screen : Screen
        Where the parts of the pedigree stand ready.
    """

    beliefs: Beliefs
    breeders: Breeders
    screen: Screen
    _pairs: dict[tuple[str, str], FloatArray] = field(default_factory=dict, repr=False)

    def rivalry(self, brood: Brood, *, strange: Sequence[str] = (), only_strange: bool = False) -> Rivalry:
        """Rivals of the recorded parents of a brood.

        Parameters
        ----------
        brood : Brood
            In a part of the pedigree that was worked out exactly.
        strange : sequence of str
            Young that may be of another clutch.
        only_strange : bool
            True where nothing else is odd: if it is not that either, the parents are not asked about.
        """
        unit = self.beliefs.unit_of(brood.young[0])
        assert isinstance(unit, Unit)
        rewired = self.screen.rewired(unit)
        found = [each for young in strange for each in self._swaps(unit, brood, young)]
        sire = dam = None
        if only_strange and sum(math.exp(each.log_weight) for each in found) < _LIKELY_SWAP:
            return Rivalry(brood, tuple(found), sire, dam)
        if has_one_sire_node(unit, brood):
            sire = other_parent(unit, rewired, brood, is_sire=True)
            found += self._parents(sire, self.breeders.rivals(brood, is_sire=True))
        if brood.dam is not None:
            dam = other_parent(unit, rewired, brood, is_sire=False)
            found += self._parents(dam, self.breeders.rivals(brood, is_sire=False))
        found = self._as_written(brood, found, sire, dam)
        if sire is not None:
            found += self._without_sire(unit, brood)
            found += self._two_sires(unit, brood, found)
        recorded = math.log(_HATCHES_APART) if self.breeders.is_misdated(brood) else 0.0
        return Rivalry(brood, tuple(sorted(found, key=lambda each: -each.log_weight)), sire, dam, recorded)

    def _parents(self, other: OtherParent, rivals: Sequence[Rival]) -> list[Hypothesis]:
        found = []
        for rival in rivals:
            is_unknown = rival.animal == UNKNOWN_SIRE
            chances = other.unknown() if is_unknown else other.of(rival.animal, self.beliefs)
            weight = math.log(rival.prior) + other.log_ratio(chances)
            found.append(Hypothesis(rival.kind, rival.animal, weight, was_there=rival.was_there))
        return found

    def _as_written(
        self, brood: Brood, found: Sequence[Hypothesis], sire: OtherParent | None, dam: OtherParent | None
    ) -> list[Hypothesis]:
        """Hypotheses with what the percentages on the young say of the parents that were meant."""
        alleles = {key: locus.alleles for key, locus in self.beliefs.evidence.loci.items()}
        by_sire, by_dam = self._known_gametes(brood.sires[0].animal, sire), self._known_gametes(brood.dam, dam)
        breeders = self.breeders
        written = written_percentages(
            brood, breeders.collection, breeders.catalogue, alleles, sire=by_sire, dam=by_dam
        )  # fmt: skip
        if not written.unmet:
            return list(found)
        nests = {one.key: one for one in self.beliefs.family.broods}
        weighed = []
        for each in found:
            new_sire, new_dam = by_sire, by_dam
            if each.kind is Kind.SWAP:
                nest = nests.get(each.nest)
                new_sire = partial(self._gametes, nest.sires[0].animal if nest else UNKNOWN_SIRE)
                new_dam = partial(self._gametes, nest.dam if nest else None)
            elif each.kind is Kind.DAM:
                new_dam = partial(self._gametes, each.animal)
            else:
                new_sire = partial(self._gametes, each.animal)
            factor = written.log_factor(new_sire, new_dam)
            weighed.append(replace(each, log_weight=each.log_weight + factor))
        return weighed

    def _known_gametes(self, parent: str | None, other: OtherParent | None) -> Gametes:
        """Gametes of a recorded parent as it was known without the brood."""
        if other is None or parent not in other.unit.layout.animals:
            return partial(self._gametes, parent)
        loci = other.unit.evidence.loci

        def gametes(key: str) -> FloatArray:
            states, chances = other.without_young(str(parent), key)
            return np.asarray(pair_table(pairs_of_states(loci[key], states, chances), loci[key]).sum(axis=1))

        return gametes

    def _swaps(self, unit: Unit, brood: Brood, young: str) -> list[Hypothesis]:
        """The young is of another clutch that hatched about then, or of none on record."""
        loci = self.beliefs.evidence.loci
        nests = [*self.breeders.other_clutches(brood), None]
        prior = math.log(self.breeders.catalogue.records["look_error"].value / len(nests))
        found = []
        for nest in nests:
            chances = {key: self._young_pairs(nest, key) for key in loci}
            changes = [one.foreign(young, chances) for one in self.screen.rewired(unit)]
            ratio = log_ratio_of(unit, self.screen.rewired(unit), changes)
            found.append(Hypothesis(Kind.SWAP, "", prior + ratio, young, nest.key if nest else "", nest is not None))
        return found

    def _young_pairs(self, nest: Brood | None, key: str) -> FloatArray:
        """Chances of ordered pairs of alleles of one more young of a brood, its parents taken as independent."""
        name = (nest.key if nest else "", key)
        if name not in self._pairs:
            locus = self.beliefs.evidence.loci[key]
            dam = sire = locus.frequencies
            if nest is not None:
                dam = self._gametes(nest.dam, key)
                sires = self.beliefs.sires(nest.key)
                sire = np.sum([one.posterior * self._gametes(one.sire, key) for one in sires], axis=0)
            self._pairs[name] = np.outer(dam, sire)
        return self._pairs[name]

    def _gametes(self, parent: str | None, key: str) -> FloatArray:
        locus = self.beliefs.evidence.loci[key]
        if parent in (None, UNKNOWN_SIRE, NO_SIRE):
            return locus.frequencies
        return np.asarray(pair_table(self.beliefs.at(str(parent), key), locus).sum(axis=1))

    def _without_sire(self, unit: Unit, brood: Brood) -> list[Hypothesis]:
        """No sire: all young of one sex, up to sexing error, and nothing in them that the dam has not."""
        evidence = self.beliefs.evidence
        weight = math.log(self.breeders.catalogue.records["no_sire"].value)
        for young in brood.young:
            sex = self.beliefs.family.sexes[young]
            if sex is not Sex.UNKNOWN:
                fits = sex is not evidence.heterogametic
                weight += math.log(2.0 * (1.0 - evidence.sex_error if fits else evidence.sex_error))
        rewired = self.screen.rewired(unit)
        ratio = log_ratio_of(unit, rewired, [one.fatherless(brood) for one in rewired])
        return [Hypothesis(Kind.NO_SIRE, NO_SIRE, weight + ratio)]

    def _two_sires(self, unit: Unit, brood: Brood, found: Sequence[Hypothesis]) -> list[Hypothesis]:
        """Every egg of the recorded sire or of the best rival, where the dam was put to that rival too."""
        mates = set(self.breeders.mates_of_season(brood))
        rivals = [each for each in found if each.kind is Kind.SIRE and each.animal in mates]
        best = max(rivals, key=lambda each: each.log_weight, default=None)
        recorded = brood.sires[0].animal
        is_certain = not brood.is_uncertain and recorded in self.breeders.collection.animals
        if best is None or best.log_weight < math.log(_LIKELY_RIVAL) or len(brood.young) < 2 or not is_certain:
            return []
        sires = (Candidate(recorded, 0.5), Candidate(best.animal, 0.5))
        mixed = replace(brood, sires=sires, each_egg=True)
        broods = tuple(mixed if one.key == brood.key else one for one in self.beliefs.family.broods)
        units = {id(one): one for one in (unit, self.beliefs.unit_of(best.animal))}.values()
        if not all(isinstance(one, Unit) for one in units):
            return []
        here = {animal for one in units for animal in one.layout.animals}
        family = Family(
            {animal: sex for animal, sex in self.beliefs.family.sexes.items() if animal in here},
            tuple(one for one in broods if one.young[0] in here),
        )
        again = _log_likelihood(family, self.beliefs.evidence)
        if again is None:
            return []
        prior = math.log(self.breeders.catalogue.records["mixed_clutch"].value / len(mates))
        ratio = again - sum(one.log_likelihood for one in units)
        return [Hypothesis(Kind.TWO_SIRES, best.animal, prior + ratio)]


def _log_likelihood(family: Family, evidence: Evidence) -> float | None:
    """Exact log likelihood of a pedigree; None where that would take too long."""
    total = 0.0
    try:
        for layout in layouts_of(family, evidence):
            groups = [_group(layout, evidence, loci) for loci in batches(evidence)]
            total += Unit(layout, evidence, tuple(groups)).log_likelihood
    except TooWide:
        return None
    return total


def _group(layout: Layout, evidence: Evidence, loci: Sequence[LocusEvidence]) -> Group:
    grid = grid_of(loci[0].linkage)
    assembly = Assembly(layout, evidence, loci, grid.r)
    return group_of(assembly, grid, Plan(assembly.graph, most_entries=_MOST_ENTRIES))
