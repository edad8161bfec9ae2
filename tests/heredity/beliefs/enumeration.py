"""Slow and obvious: one table over all genotypes, sexes and doubtful sires of a small family.

Nothing is folded, lumped, ordered or passed on; every animal has an axis with all its states at all loci together.
A state is a sex and one pair of alleles for each locus: in order (allele on the X, allele on the Y; on the Z and the W)
in the heterogametic sex of a sex-linked locus, sorted everywhere else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations_with_replacement, product
from math import log, prod

import numpy as np
from numpy.typing import NDArray

from holdback.collection.model import NO_SIRE, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.evidence import Evidence, GeneRecord, LocusEvidence

Alleles = tuple[int, int]
State = tuple[Sex, tuple[Alleles, ...]]
Points = Sequence[tuple[float, float]]
"""Recombination fractions, each with its weight."""


@dataclass(frozen=True, eq=False)
class Reference:
    """The whole table."""

    family: Family
    evidence: Evidence
    points: Points = ((0.5, 1.0),)
    withheld: frozenset[str] = frozenset()
    axes: dict[str, int] = field(default_factory=dict)
    states: dict[str, list[State]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name in [*self.family.sexes, *(parent for brood in self.family.broods for parent in _unrecorded(brood))]:
            self.states[name] = list(self._states(name))
            self.axes[name] = len(self.axes)
        for brood in self.family.broods:
            for name in dict.fromkeys(_choice(brood, young) for young in brood.young):
                self.axes[name] = len(self.axes)

    # --- what an animal can be ------------------------------------------------------------------------------------

    @cached_property
    def _loci(self) -> list[LocusEvidence]:
        return list(self.evidence.loci.values())

    @cached_property
    def _is_linked(self) -> bool:
        return any(locus.linkage is not None for locus in self._loci)

    def role(self, name: str) -> Sex | None:
        """Sex that being a parent proves."""
        for brood in self.family.broods:
            if name in (brood.dam, f"{brood.key} dam"):
                return Sex.FEMALE
            if name in {one.animal for one in brood.sires} or name.startswith(f"{brood.key} sire"):
                return Sex.MALE
        return None

    def _sexes(self, name: str) -> list[Sex]:
        """Both where the sex is open and speaks at some locus."""
        known = self.role(name) or self.family.sexes[name]
        is_given = self.role(name) is not None or self.evidence.sex_error == 0.0
        if not self._is_linked or (known is not Sex.UNKNOWN and is_given):
            return [known]
        return [Sex.FEMALE, Sex.MALE]

    def _states(self, name: str) -> Iterator[State]:
        for sex in self._sexes(name):
            options: list[Iterator[Alleles]] = []
            for locus in self._loci:
                alleles = range(locus.n_alleles)
                ordered = locus.linkage is not None and sex is self.evidence.heterogametic
                options.append(product(alleles, alleles) if ordered else combinations_with_replacement(alleles, 2))
            yield from ((sex, pairs) for pairs in product(*options))

    # --- factors --------------------------------------------------------------------------------------------------

    def _founder(self, name: str) -> NDArray[np.float64]:
        """Two alleles drawn from the population; either sex as likely, where it is not given."""
        share = 1.0 / len({sex for sex, _ in self.states[name]})
        return np.array([share * prod(self._drawn(sex, pairs)) for sex, pairs in self.states[name]])

    def _drawn(self, sex: Sex, pairs: tuple[Alleles, ...]) -> Iterator[float]:
        for locus, (a, b) in zip(self._loci, pairs, strict=True):
            ordered = locus.linkage is not None and sex is self.evidence.heterogametic
            yield float(locus.frequencies[a] * locus.frequencies[b]) * (1.0 if ordered or a == b else 2.0)

    def _passed(self, young: State, hetero: State, homo: State, r: float) -> float:
        """P(genotype of a young | its parents, its sex); at an autosomal locus the parents are alike."""
        chance = 1.0
        sex, pairs = young
        for n, locus in enumerate(self._loci):
            total = 0.0
            for i, j in product((0, 1), repeat=2):
                from_hetero, from_homo = hetero[1][n][i], homo[1][n][j]
                weight = 0.25
                if locus.linkage is not None:
                    # i is 0 for the allele on the X; sons take the Y
                    stays = (i == 1) == (sex is self.evidence.heterogametic)
                    weight = 0.5 * (1.0 - r if stays else r)
                ordered = locus.linkage is not None and sex is self.evidence.heterogametic
                got = (from_homo, from_hetero) if ordered else tuple(sorted((from_hetero, from_homo)))
                total += weight * (got == pairs[n])
            chance *= total
        return chance

    def _sired(self, young: str, sire: str, dam: str, r: float) -> NDArray[np.float64]:
        share = 1.0 / len({sex for sex, _ in self.states[young]})
        male = self.evidence.heterogametic is Sex.MALE
        return np.array(
            [
                [
                    [share * (self._passed(c, s, d, r) if male else self._passed(c, d, s, r)) for d in self.states[dam]]
                    for s in self.states[sire]
                ]
                for c in self.states[young]
            ]
        )

    def _unsired(self, young: str, dam: str) -> NDArray[np.float64]:
        """Terminal fusion; the young is of the homogametic sex, which counts where its sex has one state."""
        given = 1.0
        if len({sex for sex, _ in self.states[young]}) == 1:
            sex, error = self.states[young][0][0], 0.0 if self.role(young) else self.evidence.sex_error
            if sex is not Sex.UNKNOWN:
                given = 2.0 * (error if sex is self.evidence.heterogametic else 1.0 - error)
        return np.array(
            [[given * prod(self._fused(c, d)) for d in self.states[dam]] for c in self.states[young]], dtype=float
        )

    def _fused(self, young: State, dam: State) -> Iterator[float]:
        y = self.evidence.second_division
        yield 0.0 if self._is_linked and young[0] is self.evidence.heterogametic else 1.0
        for pair, of_dam in zip(young[1], dam[1], strict=True):
            a, b = sorted(of_dam)
            chances = {(a, a): 1.0} if a == b else {(a, a): (1.0 - y) / 2, (b, b): (1.0 - y) / 2, (a, b): y}
            yield chances.get(pair, 0.0)

    def _records(self, name: str) -> NDArray[np.float64]:
        return np.array([prod(self._said(name, state)) for state in self.states[name]])

    def _said(self, name: str, state: State) -> Iterator[float]:
        sex, pairs = state
        at = dict(zip(self.evidence.loci, pairs, strict=True))
        recorded = self.family.sexes[name]
        is_open = self._is_linked and self.role(name) is None and self.evidence.sex_error > 0.0
        if recorded is not Sex.UNKNOWN and is_open:
            yield self.evidence.sex_error if sex is not recorded else 1.0 - self.evidence.sex_error
        for key, locus in self.evidence.loci.items():
            if name not in self.evidence.unborn:
                yield float(locus.survival[at[key]])
            on_x, on_y = at[key]
            if (
                name in locus.maker
                and locus.linkage
                and sex is self.evidence.heterogametic
                and (not on_x) != (not on_y)
            ):
                yield 2.0 * (locus.maker[name] if on_y else 1.0 - locus.maker[name])
            for record in locus.records.get(name, ()):
                yield self._of_record(record, at, key)

    def _of_record(self, record: GeneRecord, at: Mapping[str, Alleles], key: str) -> float:
        if not record.counted or record.key in self.withheld:
            return 1.0
        hider = self.evidence.loci.get(record.hidden_by)
        if hider is not None and hider.hides[at[record.hidden_by]]:
            return 1.0
        return float(record.likelihood[at[key]])

    @property
    def size(self) -> int:
        """Entries of the whole table."""
        choices = prod(len(self._candidates(name)) for name in list(self.axes)[len(self.states) :])
        return choices * prod(len(states) for states in self.states.values())

    # --- the table ------------------------------------------------------------------------------------------------

    @cached_property
    def table(self) -> NDArray[np.float64]:
        """P(everything), one axis for each animal, unrecorded parent and doubtful sire."""
        return np.asarray(sum(weight * self._at(r) for r, weight in self.points))

    def _at(self, r: float) -> NDArray[np.float64]:
        shape = [len(self.states[name]) for name in self.states]
        shape += [len(self._candidates(name)) for name in list(self.axes)[len(shape) :]]
        table = np.ones(shape)
        young = {one for brood in self.family.broods for one in brood.young}
        for name in self.states:
            if name not in young:
                table *= self._spread(self._founder(name), name)
            if name in self.family.sexes:
                table *= self._spread(self._records(name), name)
        for brood in self.family.broods:
            for choice in dict.fromkeys(_choice(brood, one) for one in brood.young):
                table *= self._spread(np.array([one.weight for one in brood.sires]), choice)
            for one in brood.young:
                for number, candidate in enumerate(brood.sires):
                    self._bear(table, brood, one, number, candidate.animal, r)
        return table

    def _bear(
        self, table: NDArray[np.float64], brood: Brood, young: str, number: int, candidate: str, r: float
    ) -> None:
        """Multiply one young in, where the switch names one candidate."""
        chosen: list[slice | int] = [slice(None)] * table.ndim
        chosen[self.axes[_choice(brood, young)]] = slice(number, number + 1)
        dam = brood.dam or f"{brood.key} dam"
        if candidate == NO_SIRE:
            table[tuple(chosen)] *= self._spread(self._unsired(young, dam), young, dam)
        else:
            sire = _unknown_sire(brood, young) if candidate == UNKNOWN_SIRE else candidate
            table[tuple(chosen)] *= self._spread(self._sired(young, sire, dam, r), young, sire, dam)

    def _candidates(self, choice: str) -> list[str]:
        key = choice.removeprefix("choice ").partition(":")[0]
        return [one.animal for brood in self.family.broods if brood.key == key for one in brood.sires]

    def _spread(self, values: NDArray[np.float64], *names: str) -> NDArray[np.float64]:
        places = [self.axes[name] for name in names]
        ordered = values.transpose(np.argsort(places))
        shape = [1] * len(self.axes)
        for place, size in zip(sorted(places), ordered.shape, strict=True):
            shape[place] = size
        return ordered.reshape(shape)

    # --- answers --------------------------------------------------------------------------------------------------

    @property
    def log_likelihood(self) -> float:
        """As `infer` counts it: a recorded sex speaks at the sex-linked locus only."""
        return log(self.table.sum())

    def _chances(self, name: str) -> NDArray[np.float64]:
        others = tuple(axis for axis in range(self.table.ndim) if axis != self.axes[name])
        found = self.table.sum(axis=others)
        return np.asarray(found / found.sum())

    def pairs(self, animal: str, locus: str) -> dict[Alleles, float]:
        """Chances of the sorted pairs of alleles."""
        number = list(self.evidence.loci).index(locus)
        found: dict[Alleles, float] = {}
        for (_, pairs), chance in zip(self.states[animal], self._chances(animal).tolist(), strict=True):
            a, b = sorted(pairs[number])
            found[a, b] = found.get((a, b), 0.0) + chance
        return found

    def sires(self, brood: Brood, young: str) -> list[float]:
        """Posterior of the candidate sires of one egg."""
        return list(map(float, self._chances(_choice(brood, young))))


def _unrecorded(brood: Brood) -> list[str]:
    """Parents that are not on record."""
    dam = [] if brood.dam else [f"{brood.key} dam"]
    if UNKNOWN_SIRE not in {one.animal for one in brood.sires}:
        return dam
    return dam + list(dict.fromkeys(_unknown_sire(brood, young) for young in brood.young))


def _unknown_sire(brood: Brood, young: str) -> str:
    return f"{brood.key} sire" + (f":{young}" if brood.each_egg else "")


def _choice(brood: Brood, young: str) -> str:
    return f"choice {brood.key}" + (f":{young}" if brood.each_egg else "")
