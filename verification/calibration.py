"""Whether what is said with a chance is true that often.

Over all animals, and over groups of them that the records tell apart: who leaves a record out is right on the whole,
but not on those that have the record.

Errors within a herd go together: all beliefs at one locus of one herd, or on one sire, rest on the same records. The
spread of a sum is therefore taken between these clusters, not between single statements.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from verification.herds import Herd

from holdback.collection.model import Sex
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import GeneRecord, LocusEvidence, RecordKind
from holdback.heredity.beliefs.inference import infer

N_BINS = 10
LEAST_SPREAD = 5.0
"""Sum of p (1 - p) from which a bin is judged: about twenty statements of even chance."""


@dataclass(frozen=True, slots=True)
class Said:
    """One statement with a chance, and whether it is true.

    Parameters
    ----------
    kind : str
        What sort of statement.
    chance : float
        As inferred, in [0, 1].
    is_true : bool
        Whether it is so.
    cluster : str
        Statements of one cluster rest on the same records.
    groups : tuple of str
        Groups of animals, by what is recorded of them.
    """

    kind: str
    chance: float
    is_true: bool
    cluster: str
    groups: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Bin:
    """Statements of about the same chance.

    Parameters
    ----------
    kind : str
        What sort of statement.
    low, high : float
        Range of the chances.
    count : int
        Statements.
    said, true : float
        Mean chance, and share that is true.
    error : float
        Standard error of the difference of the two, between clusters; no smaller than that of single statements.
    is_judged : bool
        Whether there are enough statements that could have gone either way.
    """

    kind: str
    low: float
    high: float
    count: int
    said: float
    true: float
    error: float
    is_judged: bool

    @property
    def z(self) -> float:
        """Difference in standard errors."""
        return (self.true - self.said) / self.error if self.error > 0.0 else 0.0


def statements(herd: Herd, name: str) -> Iterator[Said]:
    """Everything that is said of one herd with a chance."""
    found = infer(herd.family, herd.evidence)
    assert found.exact, "these herds are made to be worked out exactly"
    for key, locus in herd.evidence.loci.items():
        for animal in herd.family.sexes:
            yield from _of_animal(herd, found, locus, animal, f"{name} {key}")
    for brood in herd.family.broods:
        if brood.is_uncertain:
            for young, odds in found.sires_by_egg(brood.key).items():
                if young == brood.young[0] or brood.each_egg:
                    for one in odds:
                        true = herd.truth.sires[young] == one.sire
                        group = "an egg" if brood.each_egg else "a clutch"
                        yield Said("sire", one.posterior, true, f"{name} {brood.key}", (group,))


def _of_animal(herd: Herd, found: Beliefs, locus: LocusEvidence, animal: str, cluster: str) -> Iterator[Said]:
    on_x, on_y = herd.truth.genotypes[locus.key][animal]
    at = found.at(animal, locus.key)
    groups = tuple(groups_of(herd, locus, animal))
    for number, allele in enumerate(locus.alleles[1:], start=1):
        copies = [sum(p for pair, p in at.items() if pair.count(allele) == k) for k in range(3)]
        true = (on_x == number) + (on_y == number)
        yield Said("has an allele", copies[1] + copies[2], true > 0, cluster, groups)
        yield Said("has two copies", copies[2], true == 2, cluster, groups)
    # of two different alleles, the second in the order of their names is asked for
    if locus.linkage and herd.truth.sexes[animal] is Sex.MALE and on_x != on_y:
        phase = found.phase(animal, locus.key)
        if phase is not None:
            yield Said("allele on the Y", phase, locus.alleles[on_y] > locus.alleles[on_x], cluster)
    for record in locus.records.get(animal, ()):
        if record.kind is RecordKind.LOOK and not record.hidden_by:
            is_wrong = bool(record.wrong[on_x, on_y])
            yield Said("record of a look is wrong", _wrong(record, locus, at), is_wrong, cluster, groups)


def groups_of(herd: Herd, locus: LocusEvidence, animal: str) -> Iterator[str]:
    """Groups that an animal belongs to at a locus; they overlap."""
    yield locus.key
    records = locus.records.get(animal, ())
    looks = [record for record in records if record.kind is RecordKind.LOOK]
    if any(record.kind is RecordKind.CLAIM for record in records):
        yield "claimed"
    if any(record.hidden_by for record in looks):
        yield "may be hidden"
    if any(record.wrong[0, 0] for record in looks):
        yield "shows something"
    brood = herd.family.brood_of(animal)
    if brood is None:
        return
    if brood.is_uncertain:
        yield "of doubtful sires"
        return
    parents = [*(one.animal for one in brood.sires), brood.dam or ""]
    if any(record.wrong[0, 0] for parent in parents for record in locus.records.get(parent, ())):
        yield "a parent shows something"
    on_y = locus.maker.get(parents[0])
    if on_y is not None and herd.family.sexes[animal] is not Sex.UNKNOWN:
        yield "of the sex that a maker gives to" if (on_y > 0.5) == _is_male(herd, animal) else "of the other sex"


def _is_male(herd: Herd, animal: str) -> bool:
    return herd.family.sexes[animal] is Sex.MALE


def _wrong(record: GeneRecord, locus: LocusEvidence, at: dict[tuple[str, str], float]) -> float:
    pairs = {locus.pair(i, j) for i, j in np.argwhere(record.wrong).tolist()}
    return sum(at.get(pair, 0.0) for pair in pairs)


def bins(said: Iterable[Said]) -> list[Bin]:
    """Statements by kind and tenths of chance."""
    sorted_in: dict[tuple[str, int], list[Said]] = {}
    for one in said:
        sorted_in.setdefault((one.kind, min(int(one.chance * N_BINS), N_BINS - 1)), []).append(one)
    return [_bin(kind, number, each) for (kind, number), each in sorted(sorted_in.items())]


def _bin(kind: str, number: int, said: Sequence[Said]) -> Bin:
    chances, true = _arrays(said)
    single = float((chances * (1.0 - chances)).sum())
    between = _between(said, true - chances)
    error = float(np.sqrt(max(single, between)) / len(said))
    low, high = number / N_BINS, (number + 1) / N_BINS
    return Bin(kind, low, high, len(said), float(chances.mean()), float(true.mean()), error, single >= LEAST_SPREAD)


def _arrays(said: Sequence[Said]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.array([one.chance for one in said]), np.array([float(one.is_true) for one in said])


def _between(said: Sequence[Said], differences: NDArray[np.float64]) -> float:
    """Variance of the sum of the differences, from their sums over clusters."""
    sums: dict[str, float] = {}
    for one, difference in zip(said, differences.tolist(), strict=True):
        sums[one.cluster] = sums.get(one.cluster, 0.0) + difference
    return sum(value * value for value in sums.values())


def bias(said: Sequence[Said]) -> float:
    """Share that is true less the mean chance, in standard errors."""
    chances, true = _arrays(said)
    spread = max(float((chances * (1.0 - chances)).sum()), _between(said, true - chances))
    return float((true - chances).sum() / np.sqrt(spread)) if spread > 0.0 else 0.0


def surprise(said: Sequence[Said]) -> float:
    """Mean logarithm of the chance of what is so, above what the chances themselves lead to expect, in standard errors.

    Notes
    -----
    Near 0 where chances are right; far below where they are too bold, far above where they are too timid.
    """
    chances, true = _arrays(said)
    kept = (chances > 1e-9) & (chances < 1.0 - 1e-9)
    p = np.clip(chances, 1e-12, 1.0 - 1e-12)
    got = np.where(true > 0, np.log(p), np.log1p(-p))
    expected = p * np.log(p) + (1.0 - p) * np.log1p(-p)
    differences = np.where(kept, got - expected, 0.0)
    spread = max(_between(said, differences), float((kept * p * (1 - p) * np.log(p / (1 - p)) ** 2).sum()))
    return float(differences.sum() / np.sqrt(spread)) if spread > 0.0 else 0.0


def by_kind(said: Iterable[Said]) -> dict[str, list[Said]]:
    """Statements of each kind."""
    found: dict[str, list[Said]] = {}
    for one in said:
        found.setdefault(one.kind, []).append(one)
    return found


def by_group(said: Iterable[Said]) -> dict[tuple[str, str], list[Said]]:
    """Statements of each kind on each group of animals, where there are enough that could have gone either way."""
    found: dict[tuple[str, str], list[Said]] = {}
    for one in said:
        for group in one.groups:
            found.setdefault((one.kind, group), []).append(one)
    return {key: each for key, each in found.items() if sum(s.chance * (1.0 - s.chance) for s in each) >= LEAST_SPREAD}
