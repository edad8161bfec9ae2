"""Whether shares of a line are what they are said to be: collections drawn at random, and their true shares.

A collection is drawn once; then many worlds of it: which end each doubtful founder is at, which male was the sire, how
long the map is, and every crossover. What is said is worked out from the records alone. A range is meant to hold the
truth nine times of ten; where a share can only be one of few values it must hold it more often, and just how often is
part of what is said.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from verification.calibration import LEAST_SPREAD, Said

from holdback.collection.model import Sex
from holdback.descent.gene_drop import drop_segments, founder_labels
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Draft, Pedigree, assembled
from holdback.descent.share_distribution import share_distribution
from holdback.descent.shares import LineFounder, share_moments
from holdback.species.catalogue import load

FloatArray = npt.NDArray[np.float64]

WORLDS = 60
"""Of each collection."""
ALLOWED = 0.02
"""By how much the share of ranges that hold the truth may differ from what is said, chance apart."""
BOUND = 4.0
"""Standard errors: with about sixty numbers judged, one is beyond it by chance in one run of two hundred."""
RANGE, HALF = "share in its 90 % range", "share above one half"
DOUBTFUL_SIRES = 0.3
"""Share of clutches with more than one candidate."""


@dataclass
class Stock:
    """A collection: who was bred from whom, what is said of the founders, and how each animal was bred.

    Parameters
    ----------
    draft : Draft
        Animals.
    founders : dict of str to LineFounder
        What is said of each founder.
    bred : dict of str to str
        How an animal was bred.
    """

    draft: Draft = field(default_factory=lambda: Draft({}, {}))
    founders: dict[str, LineFounder] = field(default_factory=dict)
    bred: dict[str, str] = field(default_factory=dict)

    def founder(self, sex: Sex, said: LineFounder) -> str:
        """Add a founder; its id."""
        name = f"F{len(self.founders) + 1}"
        self.draft.parents[name], self.draft.sexes[name] = (None, None), sex
        self.founders[name] = said
        return name

    def young(self, sire: str, dam: str, how: str, sex: Sex) -> str:
        """Add an animal; its id."""
        name = f"A{len(self.bred) + 1}"
        self.draft.parents[name], self.draft.sexes[name] = (sire, dam), sex
        self.bred[name] = how
        return name

    def one_of(self, sires: list[str], weights: list[float]) -> str:
        """Add a sire of which there are several candidates; its id."""
        name = f"?{len(self.draft.candidates) + 1}"
        self.draft.parents[name], self.draft.sexes[name] = (None, None), Sex.MALE
        self.draft.off_record.add(name)
        self.draft.candidates[name] = tuple(zip(sires, weights, strict=True))
        return name


def stock(rng: np.random.Generator, animals: int) -> Stock:
    """A collection of about so many animals: backcrosses either way, crosses of sibs, and matings as they come."""
    made = Stock()
    males = [made.founder(Sex.MALE, _said(rng)) for _ in range(5)]
    females = [made.founder(Sex.FEMALE, _said(rng)) for _ in range(8)]
    while len(made.bred) < animals:
        if rng.random() < 0.25:
            _backcrosses(rng, made)
        else:
            _clutch(rng, made, males, females)
    return made


def _said(rng: np.random.Generator) -> LineFounder:
    """What is said of a founder: of the line, not of it, all or nothing, or a part between two ends."""
    kind = rng.random()
    if kind < 0.3:
        return LineFounder(1.0, 1.0, 1.0)
    if kind < 0.55:
        return LineFounder(0.0, 0.0, 0.0)
    if kind < 0.75:
        return LineFounder(0.0, 1.0, float(rng.uniform(0.2, 0.8)))
    low, high = sorted(rng.choice([0.25, 0.5, 0.75, 1.0], 2, replace=False).tolist())
    return LineFounder(low, high, 0.5)


def _backcrosses(rng: np.random.Generator, made: Stock) -> None:
    """A first cross, backcrosses to the line or away from it, each to a new partner, and a second cross of sibs."""
    is_up = float(rng.integers(2))
    donor = made.founder(Sex.MALE, _said(rng) if rng.random() < 0.3 else LineFounder(1.0 - is_up, 1.0 - is_up, 1.0))
    first = made.founder(Sex.FEMALE, LineFounder(is_up, is_up, 1.0))
    brother, sister = (made.young(donor, first, "first cross", sex) for sex in (Sex.MALE, Sex.FEMALE))
    second = made.young(brother, sister, "second cross", Sex.MALE)
    partner = made.young(brother, sister, "second cross", Sex.FEMALE)
    made.young(second, partner, "of second-cross sibs", Sex.UNKNOWN)
    one = brother
    for generation in range(1, int(rng.integers(2, 5)) + 1):
        partner = made.founder(Sex.FEMALE, LineFounder(is_up, is_up, 1.0))
        two = [made.young(one, partner, f"backcross {generation}", Sex.MALE) for _ in range(2)]
        one = two[0]


def _clutch(rng: np.random.Generator, made: Stock, males: list[str], females: list[str]) -> None:
    """Young of two animals as they come; some are kept to breed."""
    sire, dam = str(rng.choice(males)), str(rng.choice(females))
    how = "bred as it came"
    sisters = [one for one in females if made.draft.parents[one] == made.draft.parents[sire] != (None, None)]
    if sisters and rng.random() < 0.7:
        dam, how = str(rng.choice(sisters)), "of sibs"
    elif rng.random() < DOUBTFUL_SIRES:
        others = rng.choice([one for one in males if one != sire], int(rng.integers(1, 3)), replace=False).tolist()
        weights = rng.dirichlet(np.full(len(others) + 1, 2.0)).tolist()
        sire, how = made.one_of([sire, *others], weights), "of a doubtful sire"
    for _ in range(int(rng.integers(2, 5))):
        is_male = rng.random() < 0.4
        young = made.young(sire, dam, how, Sex.MALE if is_male else Sex.FEMALE)
        if rng.random() < 0.3:
            (males if is_male else females).append(young)


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
