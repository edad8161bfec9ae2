"""Stocks built by hand: animals with independent beliefs, and the clutch law of the check cases."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from math import comb

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.stock import Breeding, FloatArray, IntArray, Stock
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief, ParentsJoint
from holdback.heredity.shorthand import read_parent
from holdback.season.outlook import CountLaw
from holdback.species.catalogue import load
from holdback.species.model import WILD, Pair, pair

LAYS = 0.7
HATCH = 0.81

Row = Sequence[str | int] | str
"""Levels in the order of the genes ("-", "50", "66", "het", "vis", or 0, 1, 2 copies), or trade shorthand."""

LEVELS: Mapping[str, tuple[float, float, float]] = {
    "-": (1.0, 0.0, 0.0),
    "50": (0.5, 0.5, 0.0),
    "66": (1 / 3, 2 / 3, 0.0),
    "het": (0.0, 1.0, 0.0),
    "vis": (0.0, 0.0, 1.0),
    "0": (1.0, 0.0, 0.0),
    "1": (0.0, 1.0, 0.0),
    "2": (0.0, 0.0, 1.0),
}
"""Chances of no, one and two copies."""


@lru_cache(maxsize=8)
def laws(hatch: float = HATCH, mean: float = 6.83, sd: float = 2.0, most: int = 15) -> tuple[CountLaw, CountLaw]:
    """Eggs and living young of a clutch that is laid: a normal density at 1 to `most`, each egg by itself."""
    eggs = np.exp(-0.5 * ((np.arange(most + 1) - mean) / sd) ** 2)
    eggs[0] = 0.0
    eggs /= eggs.sum()
    young = np.zeros(most + 1)
    for n, chance in enumerate(eggs):
        for k in range(n + 1):
            young[k] += chance * comb(n, k) * hatch**k * (1 - hatch) ** (n - k)
    return CountLaw(eggs), CountLaw(young)


EMPTY = CountLaw(np.array([1.0]))


@dataclass(frozen=True)
class IndependentGenes:
    """Beliefs of animals that say nothing of each other; as `holdback.decisions.stock.GenesAtHand`."""

    beliefs: Mapping[str, GenotypeBelief]

    def at(self, animal: str, locus: str) -> Mapping[Pair, float]:
        return self.beliefs[animal].at(locus)

    def couple(self, sire: str, dam: str, loci: Sequence[str]) -> tuple[ParentsJoint, ...]:
        both = {
            locus: {
                (mine, hers): chance * other
                for mine, chance in self.at(sire, locus).items()
                for hers, other in self.at(dam, locus).items()
            }
            for locus in loci
        }
        return (ParentsJoint(1.0, both, dict(self.beliefs[sire].phase)),)

    def phase(self, animal: str, locus: str) -> float:
        return self.beliefs[animal].phase.get(locus, 0.5)

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        found = list(dict.fromkeys(one for animal in animals for one in self.at(animal, locus)))
        drawn = np.empty((n, len(animals)), np.int64)
        for column, animal in enumerate(animals):
            chances = np.array([self.at(animal, locus).get(one, 0.0) for one in found])
            drawn[:, column] = rng.choice(len(found), size=n, p=chances / chances.sum())
        return found, drawn


def belief(row: Row, genes: Sequence[str], sex: Sex) -> GenotypeBelief:
    """Belief of an animal from levels in the order of the genes (allele keys), or from trade shorthand."""
    if isinstance(row, str):
        read, _ = read_parent(row, load())
        return GenotypeBelief(sex=sex, loci=read.loci, phase=read.phase, basis=read.basis)
    by_locus: dict[str, list[tuple[str, tuple[float, float, float]]]] = {}
    for gene, level in zip(genes, row, strict=True):
        by_locus.setdefault(load().alleles[gene].locus, []).append((gene, LEVELS[str(level)]))
    return GenotypeBelief(sex=sex, loci={locus: _pairs(said) for locus, said in by_locus.items()})


def _pairs(said: Sequence[tuple[str, tuple[float, float, float]]]) -> dict[Pair, float]:
    found: dict[Pair, float] = {}
    for counts in product(range(3), repeat=len(said)):
        chance = float(np.prod([copies[n] for n, (_, copies) in zip(counts, said, strict=True)]))
        if chance > 0:
            held = [gene for n, (gene, _) in zip(counts, said, strict=True) for _ in range(n)]
            first, second = [*held, WILD, WILD][:2]
            key = pair(first, second)
            found[key] = found.get(key, 0.0) + chance
    return found or {WILD_PAIR: 1.0}


def herd(
    *,
    males: Sequence[Row],
    females: Sequence[Row],
    genes: Sequence[str] = (),
    line: str = "",
    shares: Sequence[float] = (),
    kinship: Mapping[tuple[str, str], float] | None = None,
    inbreeding: Mapping[str, float] | None = None,
    ready: Mapping[str, int] | None = None,
    why_not: Mapping[str, str] | None = None,
    lays: float = LAYS,
    hatch: float = HATCH,
    clutches: int = 4,
    matures: tuple[int, int] = (2, 4),
    year: int = 2027,
) -> Stock:
    """Stock of animals m0, m1, ... and f0, f1, ..., males first.

    Parameters
    ----------
    males, females : sequence of Row
        What each carries.
    genes : sequence of str
        Allele keys that the levels of the rows stand for.
    line, shares
        Name of a line, and its share in each animal, males first.
    kinship, inbreeding
        Kinship of pairs of animals (either order), 0 where not listed, and inbreeding of single ones.
    ready, why_not
        First season of those that are not ready in season 0, and why not.
    lays, hatch : float
        Chance that a paired female lays, and that an egg hatches.
    clutches : int
        Most clutches of a male in a season.
    matures : (int, int)
        Seasons from hatching to the first own young of males and of females.
    year : int
        Year of season 0.
    """
    rows = [(f"m{n}", Sex.MALE, row) for n, row in enumerate(males)]
    rows += [(f"f{n}", Sex.FEMALE, row) for n, row in enumerate(females)]
    animals = tuple(name for name, _, _ in rows)
    sexes = tuple(sex for _, sex, _ in rows)
    eggs, young = laws(hatch)
    is_male = np.array([sex is Sex.MALE for sex in sexes])
    n = len(animals)
    return Stock(
        year=year,
        animals=animals,
        sexes=sexes,
        ready=np.array([(ready or {}).get(name, 0) for name in animals], np.int64),
        clutches=np.where(is_male, clutches, 1).astype(np.int64),
        lays=np.where(is_male, np.nan, lays),
        eggs=tuple(EMPTY if male else eggs for male in is_male),
        young=tuple(EMPTY if male else young for male in is_male),
        kinship=_kinship(animals, kinship or {}, inbreeding or {}),
        shares={line: np.array(shares, dtype=float)} if line else {},
        size_mean=np.full(n, np.nan),
        size_sd=np.full(n, np.nan),
        genes=IndependentGenes({name: belief(row, genes, sex) for name, sex, row in rows}),
        breeding=Breeding(
            eggs=eggs,
            young=young,
            lays_first=lays,
            lays=lays,
            male_matures=matures[0],
            female_matures=matures[1],
            male_clutches=clutches,
        ),
        names={name: name.upper() for name in animals},
        why_not=why_not or {},
    )


def _kinship(
    animals: Sequence[str], pairs: Mapping[tuple[str, str], float], inbreeding: Mapping[str, float]
) -> FloatArray:
    places = {name: place for place, name in enumerate(animals)}
    found = np.diag([(1 + inbreeding.get(name, 0.0)) / 2 for name in animals])
    for (first, second), value in pairs.items():
        found[places[first], places[second]] = found[places[second], places[first]] = value
    return found
