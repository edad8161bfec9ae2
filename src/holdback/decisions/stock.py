"""The animals that plans are made from, with everything a plan asks of them.

`Stock` is built by `holdback.answers.decisions.stock` from a collection; tests build it by hand. Genes are asked of a
`GenesAtHand`, so that what relatives have in common is not lost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.heredity.genotype import ParentsJoint
from holdback.season.outlook import CountLaw
from holdback.species.model import Pair

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

NEVER = 99
"""Season of an animal that will not breed."""


class GenesAtHand(Protocol):
    """What the animals at hand may carry."""

    def at(self, animal: str, locus: str) -> Mapping[Pair, float]:
        """Chances of the pairs of one animal at one locus, summing to 1."""

    def couple(self, sire: str, dam: str, loci: Sequence[str]) -> tuple[ParentsJoint, ...]:
        """What two animals may be together, at least at some loci; weights sum to 1."""

    def phase(self, animal: str, locus: str) -> float:
        """Chance that the second allele of a sorted pair is on the sex-limited chromosome; 0.5 where nothing tells."""

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        """Joint draws at one locus: the pairs that occur, and indices into them of shape (n, animals)."""


@dataclass(frozen=True, eq=False)
class Breeding:
    """What is counted on of animals that are not hatched yet, and of all.

    Parameters
    ----------
    eggs, young : CountLaw
        Eggs, and living young, of a clutch that is laid by a dam of whom nothing else is known.
    lays_first, lays : float
        Chance that a paired female lays in her first season, and later.
    male_matures, female_matures : int
        Seasons from hatching to the first own young.
    male_clutches : int
        Most clutches of one male in a season.
    young_lives, adult_lives : float
        Chance that a young held back lives through its first year, and a grown animal through a year.
    additive_sd : float
        Genetic standard deviation of ln(adult mass / ordinary), 0 where nothing is known.
    environment_sd : float
        Standard deviation of what is not passed on of it.
    sexes_told : bool
        Whether the sex of young is known when they are chosen.
    horizon : float
        Seasons beyond which a goal counts as out of reach.
    marks : mapping of str to str
        Name of each value to where it comes from, in words.
    """

    eggs: CountLaw
    young: CountLaw
    lays_first: float
    lays: float
    male_matures: int = 2
    female_matures: int = 4
    male_clutches: int = 4
    young_lives: float = 1.0
    adult_lives: float = 1.0
    additive_sd: float = 0.0
    environment_sd: float = 0.0
    sexes_told: bool = True
    horizon: float = 12.0
    marks: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class UnderWay:
    """A cross of season 0 that is already made: paired, laid or in the boxes.

    Parameters
    ----------
    dam : str
        Animal id.
    sires : tuple of (str, float)
        Males with their chances; the rest is a male that is not on record.
    eggs, young : CountLaw
        Eggs and living young that will come, that she may not lay counted in.
    clutch : str
        Clutch id; empty before laying.
    """

    dam: str
    sires: tuple[tuple[str, float], ...]
    eggs: CountLaw
    young: CountLaw
    clutch: str = ""


@dataclass(frozen=True, eq=False)
class Stock:
    """Animals at hand, n of them, in the order of `animals`.

    Parameters
    ----------
    year : int
        Year of season 0, in which young hatch.
    animals : tuple of str
        Ids.
    sexes : tuple of Sex
        Male or female; animals of unknown sex are left out, or stand in both ways by the caller's choice.
    ready : int array, shape (n,)
        First season in which it can have young; `NEVER` where it will not breed.
    clutches : int array, shape (n,)
        Most clutches in a season: of a female 1.
    lays : float array, shape (n,)
        Chance that a female lays in a season in which she is paired; nan for males.
    eggs, young : tuple of CountLaw
        Eggs and living young of a clutch that she lays; an empty law for males.
    kinship : float array, shape (n, n)
        Coefficients of kinship; an animal with itself gives (1 + F) / 2.
    shares : mapping of str to float array, shape (n,)
        Expected share of each line.
    size_mean, size_sd : float array, shape (n,)
        Breeding value of ln(adult mass / ordinary) for a young of it, and its standard deviation; nan where unknown.
    genes : GenesAtHand
        What they may carry.
    breeding : Breeding
        What is counted on of others.
    under_way : tuple of UnderWay
        Crosses of season 0 that are made; their dams cannot be used again in season 0.
    names : mapping of str to str
        What to call them in sentences.
    why_not : mapping of str to str
        Reason of those that are not ready in season 0, in a sentence.
    """

    year: int
    animals: tuple[str, ...]
    sexes: tuple[Sex, ...]
    ready: IntArray
    clutches: IntArray
    lays: FloatArray
    eggs: tuple[CountLaw, ...]
    young: tuple[CountLaw, ...]
    kinship: FloatArray
    shares: Mapping[str, FloatArray]
    size_mean: FloatArray
    size_sd: FloatArray
    genes: GenesAtHand
    breeding: Breeding
    under_way: tuple[UnderWay, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    why_not: Mapping[str, str] = field(default_factory=dict)

    def index(self, animal: str) -> int:
        """Place of an animal in the arrays.

        Raises
        ------
        ValueError
            If it is not among them.
        """
        return self.animals.index(animal)

    def of_sex(self, sex: Sex) -> tuple[int, ...]:
        """Places of the animals of a sex."""
        return tuple(place for place, one in enumerate(self.sexes) if one is sex)

    def without(self, animals: Sequence[str]) -> Stock:
        """The same stock, some animals taken out; crosses under way stay."""
        kept = [place for place, one in enumerate(self.animals) if one not in set(animals)]
        pick = np.array(kept, dtype=np.int64)
        return replace(
            self,
            animals=tuple(self.animals[place] for place in kept),
            sexes=tuple(self.sexes[place] for place in kept),
            ready=self.ready[pick],
            clutches=self.clutches[pick],
            lays=self.lays[pick],
            eggs=tuple(self.eggs[place] for place in kept),
            young=tuple(self.young[place] for place in kept),
            kinship=self.kinship[np.ix_(pick, pick)],
            shares={line: values[pick] for line, values in self.shares.items()},
            size_mean=self.size_mean[pick],
            size_sd=self.size_sd[pick],
        )
