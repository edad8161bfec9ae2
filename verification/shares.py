"""Whether shares of a line are what they are said to be: collections drawn at random, and their true shares.

A collection is drawn once; then many worlds of it: which end each doubtful founder is at, which male was the sire, how
long the map is, and every crossover. What is said is worked out from the records alone. A range is meant to hold the
truth nine times of ten; where a share can only be one of few values it must hold it more often, and just how often is
part of what is said.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from verification.calibration import LEAST_SPREAD, Said
from verification.stocks import Stock, stock

from holdback.descent.gene_drop import drop_segments, founder_labels
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree, assembled
from holdback.descent.share_distribution import share_distribution
from holdback.descent.shares import LineFounder, share_moments
from holdback.species.catalogue import load

FloatArray = npt.NDArray[np.float64]

WORLDS = 60
"""Of each collection."""
ALLOWED = 0.02
"""By how much the share of ranges that hold the truth may differ from what is said, chance apart."""
BOUND = 4.0
"""Standard errors: with about forty numbers judged, one is beyond it by chance in one run of four hundred."""
RANGE, HALF = "share in its 90 % range", "share above one half"


@dataclass(frozen=True)
class Spread:
    """Squared distances of true shares from what was expected, in variances stated; the mean should be 1.

    Parameters
    ----------
    how : str
        Group of animals.
    world : str
        Collection and world.
    squared : float
        Mean over the animals of the group.
    """

    how: str
    world: str
    squared: float


def told(seed: np.random.SeedSequence, animals: int, name: str) -> tuple[list[Said], list[Spread]]:
    """What is said of the uncertain shares of one collection, and whether it is true in each of its worlds."""
    drawing, dropping = seed.spawn(2)
    made = stock(np.random.default_rng(drawing), animals)
    pedigree = assembled(made.draft, {}, 0.3)
    founders = {pedigree.index[one]: said for one, said in made.founders.items()}
    genome = GenomeMap.from_catalogue(load("python_regius"))
    asked = [pedigree.index[one] for one in made.bred]
    moments = share_moments(pedigree, founders, genome, nodes=asked)
    true = true_shares(pedigree, founders, genome, asked, dropping)
    said, spreads = [], []
    for place, node in enumerate(asked):
        if moments.sd[place] == 0.0:
            assert np.allclose(true[:, place], moments.mean[place]), f"{pedigree.ids[node]} is said to be certain"
            continue
        law = share_distribution(pedigree, founders, genome, node)
        groups = groups_of(pedigree, made, node)
        low, high = law.interval()
        chance = max(0.0, 1.0 - law.above(high) - law.below(low))
        half = law.above(0.5)
        for world, share in enumerate(true[:, place].tolist()):
            cluster = f"{name} {world}"
            inside = low - 1e-9 <= share <= high + 1e-9
            said.append(Said(RANGE, chance, inside, cluster, groups))
            said.append(Said(HALF, half, share > 0.5 + 1e-9, cluster, groups))
            squared = ((share - moments.mean[place]) / moments.sd[place]) ** 2
            spreads += [Spread(how, cluster, float(squared)) for how in ("all", *groups)]
    return said, spreads


def true_shares(
    pedigree: Pedigree,
    founders: dict[int, LineFounder],
    genome: GenomeMap,
    asked: list[int],
    seed: np.random.SeedSequence,
) -> FloatArray:
    """True shares in some worlds, shape (worlds, k), by exact segments; each world has a map of one length."""
    choosing, labelling, *drops = seed.spawn(2 + len(genome.scales))
    factors, weights = zip(*genome.scales, strict=True)
    counts = np.random.default_rng(choosing).multinomial(WORLDS, weights).tolist()
    rng = np.random.default_rng(labelling)
    found = []
    for factor, count, child in zip(factors, counts, drops, strict=True):
        if count:
            dropped = drop_segments(pedigree, genome.scaled(factor), replicates=count, seed=child, nodes=asked)
            of_founders = [founders.get(one) for one in dropped.founders]
            found.append(dropped.share_by(founder_labels(of_founders, count, len(genome.lengths), rng)))
    return np.concatenate(found)


def groups_of(pedigree: Pedigree, made: Stock, node: int) -> tuple[str, ...]:
    """How an animal was bred, and what is in doubt among its ancestors."""
    above = pedigree.ancestors([node])
    groups = [made.bred[pedigree.ids[node]]]
    ends = [made.founders[pedigree.ids[one]] for one in above if pedigree.ids[one] in made.founders]
    if any(one.low == 0.0 and one.high == 1.0 for one in ends):
        groups.append("a founder is all or nothing")
    if any(0.0 < one.low < one.high or 0.0 < one.high < 1.0 for one in ends):
        groups.append("a founder has a part")
    if any(one in pedigree.candidates for one in above):
        groups.append("a sire above is in doubt")
    if len(groups) == 1:
        groups.append("nothing in doubt above")
    return tuple(groups)


@dataclass(frozen=True, slots=True)
class Held:
    """Statements on one group of animals.

    Parameters
    ----------
    kind, group : str
        What is said, and of which animals.
    count : int
        Statements.
    said, true, error : float
        Mean chance, share that is true, and the standard error of the difference, between worlds.
    """

    kind: str
    group: str
    count: int
    said: float
    true: float
    error: float

    @property
    def is_off(self) -> bool:
        """Whether the two differ by more than is allowed and more than chance explains."""
        return abs(self.true - self.said) > max(ALLOWED, BOUND * self.error)


@dataclass(frozen=True, slots=True)
class Width:
    """True against stated variance in one group of animals.

    Parameters
    ----------
    group : str
        Animals.
    ratio, error : float
        Mean of the squared distance from the expected share, in variances stated, and its standard error.
    """

    group: str
    ratio: float
    error: float

    @property
    def is_off(self) -> bool:
        """Whether the ratio is further from 1 than chance explains."""
        return abs(self.ratio - 1.0) > BOUND * self.error


def drawn(collections: int, animals: int, seed: int) -> tuple[list[Held], list[Width]]:
    """What is said of some collections, and how far it is so."""
    said: list[Said] = []
    spreads: list[Spread] = []
    for number, one in enumerate(np.random.SeedSequence(seed).spawn(collections)):
        more = told(one, animals, f"collection {number}")
        said += more[0]
        spreads += more[1]
    return held(said), widths(spreads)


def held(said: Iterable[Said]) -> list[Held]:
    """Statements by kind and group, those left out that could go only one way."""
    groups: dict[tuple[str, str], list[Said]] = {}
    for one in said:
        for group in ("all", *one.groups):
            groups.setdefault((one.kind, group), []).append(one)
    found = []
    for (kind, group), each in sorted(groups.items()):
        chances, true = np.array([one.chance for one in each]), np.array([float(one.is_true) for one in each])
        single = float((chances * (1.0 - chances)).sum())
        if single >= LEAST_SPREAD:
            error = _error(true - chances, [one.cluster for one in each], at_least=single)
            found.append(Held(kind, group, len(each), float(chances.mean()), float(true.mean()), error))
    return found


def widths(spreads: Iterable[Spread]) -> list[Width]:
    """Mean squared distances by group."""
    groups: dict[str, list[Spread]] = {}
    for one in spreads:
        groups.setdefault(one.how, []).append(one)
    found = []
    for how, each in sorted(groups.items()):
        squared = np.array([one.squared for one in each])
        mean = float(squared.mean())
        found.append(Width(how, mean, _error(squared - mean, [one.world for one in each])))
    return found


def _error(differences: FloatArray, worlds: list[str], *, at_least: float = 0.0) -> float:
    """Standard error of a mean whose parts go together within a world."""
    _, place = np.unique(worlds, return_inverse=True)
    return float(np.sqrt(max(at_least, (np.bincount(place, differences) ** 2).sum())) / len(differences))


def faults(found: tuple[list[Held], list[Width]]) -> list[str]:
    """What is further from the truth than is allowed, one line each."""
    lines = [
        f"{one.kind}, {one.group}: said {one.said:.4f}, true {one.true:.4f}, error {one.error:.4f}"
        for one in found[0]
        if one.is_off
    ]
    return lines + [
        f"spread of shares, {one.group}: true variance {one.ratio:.3f} times the one stated, error {one.error:.3f}"
        for one in found[1]
        if one.is_off
    ]


def table(found: tuple[list[Held], list[Width]]) -> str:
    """Everything in Markdown."""
    ratio = {one.group: f"{one.ratio:.3f} ± {one.error:.3f}" for one in found[1]}
    rows = ["| statement | animals | count | said | true | error | variance |", "|---|---|---|---|---|---|---|"]
    for one in found[0]:
        width = ratio.get(one.group, "") if one.kind == RANGE else ""
        numbers = f"{one.count:,} | {one.said:.4f} | {one.true:.4f} | {one.error:.4f} | {width}"
        rows.append(f"| {one.kind} | {one.group} | {numbers} |")
    return "\n".join(rows)
