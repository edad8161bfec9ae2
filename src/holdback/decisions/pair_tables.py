"""What a pair gives of a target, for everything that the two may be together.

Notation: `t` is the chance that an egg that would hatch, its own genes aside, gives a living young that will do; `v`
that it lives at all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from operator import mul
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.accepted import Accepted, accepted_pairs
from holdback.decisions.goal import Target
from holdback.decisions.young_tables import Table, YoungTables
from holdback.heredity.crosses.couples import BySex, Genotype
from holdback.heredity.crosses.young import sex_of
from holdback.heredity.genotype import ParentsJoint
from holdback.species.model import Pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Values = tuple[float, ...]
"""`t` of each question, then `v`, each for the heterogametic and the homogametic sex, whatever sex is asked."""

SireState = tuple[tuple[Genotype, int], ...]
"""What a sire may be: genotype and phase at each part that a question turns on."""

_Sets = tuple[tuple[frozenset[Pair] | None, ...], ...]
"""For each question, and each sex in it, the accepted pairs at the loci of a part; None where anything will do."""


class PairTables:
    """Pairs at the loci of one target; to be kept for as many pairs as are asked about.

    Parameters
    ----------
    target : Target
        What is wanted.
    catalogue : Catalogue
        Species.

    Notes
    -----
    Deaths at loci that the target does not turn on fall on all young alike and are left out.
    """

    def __init__(self, target: Target, catalogue: Catalogue) -> None:
        self.target, self.catalogue = target, catalogue
        self.young = YoungTables(target, catalogue)
        self.loci = self.young.loci
        self.sexes = (sex_of(0, catalogue), sex_of(1, catalogue))
        pairs = accepted_pairs(target, catalogue)
        self.wanted = Accepted((pairs, pairs), self.of_sex(target.sex))
        self._values: dict[tuple[object, ...], tuple[tuple[int, float, Values], ...]] = {}

    def of_sex(self, sex: Sex) -> tuple[bool, bool]:
        """Whether young of the heterogametic and of the homogametic sex will do where a sex is wanted."""
        return sex in (Sex.UNKNOWN, self.sexes[0]), sex in (Sex.UNKNOWN, self.sexes[1])

    def states(self, couple: Sequence[ParentsJoint], *questions: Accepted) -> dict[Values, float]:
        """Chances of the values over all that the parents may be.

        Parameters
        ----------
        couple : sequence of ParentsJoint
            What the parents may be together, told at `loci`.
        *questions : Accepted
            What will do, one or more sets.
        """
        found: dict[Values, float] = {}
        asked = list(self._asked(questions))
        for scenario in couple:
            joint = {_certain(questions): scenario.weight}
            for index, sets in asked:
                distinct: dict[Values, float] = {}
                for weight, sire, dam in _couples(self.young.parts[index].loci, scenario):
                    for _, share, values in self._rows(index, sire, dam, scenario, sets):
                        distinct[values] = distinct.get(values, 0.0) + weight * share
                joint = _product(joint, distinct)
            _add(found, joint)
        return found

    def by_sire(self, couple: Sequence[ParentsJoint], accepted: Accepted) -> dict[SireState, dict[Values, float]]:
        """The same, apart for everything that the sire may be."""
        found: dict[SireState, dict[Values, float]] = {}
        asked = list(self._asked((accepted,)))
        for scenario in couple:
            joint: dict[SireState, dict[Values, float]] = {(): {_certain((accepted,)): scenario.weight}}
            for index, sets in asked:
                here: dict[tuple[Genotype, int], dict[Values, float]] = {}
                for weight, sire, dam in _couples(self.young.parts[index].loci, scenario):
                    for phase, share, values in self._rows(index, sire, dam, scenario, sets):
                        _add(here.setdefault((sire, phase), {}), {values: weight * share})
                joint = {
                    (*known, state): _product(before, values)
                    for known, before in joint.items()
                    for state, values in here.items()
                }
            for known, before in joint.items():
                _add(found.setdefault(known, {}), before)
        return found

    def mean_young(self, couple: Sequence[ParentsJoint]) -> dict[str, dict[Pair, BySex]]:
        """Chance that an egg gives a living young with a pair, by locus, given the sex of the young."""
        found: dict[str, dict[Pair, BySex]] = {locus: {} for locus in self.loci}
        for scenario in couple:
            for index, part in enumerate(self.young.parts):
                for weight, sire, dam in _couples(part.loci, scenario):
                    for _, share, table in self.young.rows(index, sire, dam, self._phase(index, scenario)):
                        _add_mean(found, part.loci, table, weight * share * scenario.weight)
        return found

    def _asked(self, questions: Sequence[Accepted]) -> Iterator[tuple[int, _Sets]]:
        """Parts that any of the questions turns on."""
        for index, part in enumerate(self.young.parts):
            sets = tuple(
                tuple(pairs.get(locus) for locus in part.loci) for accepted in questions for pairs in accepted.pairs
            )
            if part.may_die or any(one is not None for row in sets for one in row):
                yield index, sets

    def _rows(
        self, index: int, sire: Genotype, dam: Genotype, scenario: ParentsJoint, sets: _Sets
    ) -> tuple[tuple[int, float, Values], ...]:
        """Phase of the sire, chance, and values of one couple at a part."""
        phase = self._phase(index, scenario)
        key = (index, sire, dam, phase, sets)
        known = self._values.get(key)
        if known is None:
            rows = self.young.rows(index, sire, dam, phase)
            known = self._values[key] = tuple((number, share, _values(table, sets)) for number, share, table in rows)
        return known

    def _phase(self, index: int, scenario: ParentsJoint) -> tuple[float, ...]:
        linked = self.young.parts[index].sex_linked
        return tuple(scenario.phase.get(locus, 0.5) for locus in linked) if linked else ()


def _couples(loci: Sequence[str], scenario: ParentsJoint) -> Iterator[tuple[float, Genotype, Genotype]]:
    """Chance and genotypes of sire and dam at some loci."""
    if len(loci) == 1:
        for (mine, hers), chance in scenario.at(loci[0]).items():
            if chance > 0.0:
                yield chance, (mine,), (hers,)
        return
    for cells in product(*(scenario.at(locus).items() for locus in loci)):
        weight = 1.0
        for _, chance in cells:
            weight *= chance
        if weight > 0.0:
            yield weight, tuple(both[0] for both, _ in cells), tuple(both[1] for both, _ in cells)


def _certain(questions: Sequence[Accepted]) -> Values:
    return (1.0,) * (2 * len(questions) + 2)


def _values(table: Table, sets: _Sets) -> Values:
    sums = [0.0] * (len(sets) + 2)
    for genotype, chances in table.items():
        sums[-2] += chances[0]
        sums[-1] += chances[1]
        for place, row in enumerate(sets):
            if all(one is None or alleles in one for alleles, one in zip(genotype, row, strict=True)):
                sums[place] += chances[place % 2]
    return tuple(sums)


def _product(joint: Mapping[Values, float], distinct: Mapping[Values, float]) -> dict[Values, float]:
    grown: dict[Values, float] = {}
    for known, weight in joint.items():
        for values, other in distinct.items():
            both = tuple(map(mul, known, values))
            grown[both] = grown.get(both, 0.0) + weight * other
    return grown


def _add(into: dict[Values, float], more: Mapping[Values, float]) -> None:
    for values, weight in more.items():
        into[values] = into.get(values, 0.0) + weight


def _add_mean(into: dict[str, dict[Pair, BySex]], loci: Sequence[str], table: Table, scale: float) -> None:
    for genotype, (hetero, homo) in table.items():
        for locus, alleles in zip(loci, genotype, strict=True):
            before = into[locus].get(alleles, (0.0, 0.0))
            into[locus][alleles] = (before[0] + scale * hetero, before[1] + scale * homo)
