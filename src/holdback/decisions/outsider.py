"""A stock with animals from outside added to it: certain in their genes, unrelated to all, of no line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.stock import NEVER, GenesAtHand, IntArray, Stock
from holdback.heredity.genotype import WILD_PAIR, ParentsJoint
from holdback.season.outlook import CountLaw
from holdback.species.model import Pair

Genotype = Mapping[str, Pair]
"""Locus to pair; wild type elsewhere."""


@dataclass(frozen=True)
class GenesWithOutsiders:
    """Genes of the animals at hand and of outsiders; as `holdback.decisions.stock.GenesAtHand`.

    Parameters
    ----------
    at_hand : GenesAtHand
        Those at hand.
    outsiders : mapping of str to Genotype
        Id to genes.
    """

    at_hand: GenesAtHand
    outsiders: Mapping[str, Genotype]

    def at(self, animal: str, locus: str) -> Mapping[Pair, float]:
        """Chances of the pairs of one animal at one locus."""
        if animal in self.outsiders:
            return {self.outsiders[animal].get(locus, WILD_PAIR): 1.0}
        return self.at_hand.at(animal, locus)

    def couple(self, sire: str, dam: str, loci: Sequence[str]) -> tuple[ParentsJoint, ...]:
        """What two animals may be together; an outsider says nothing of the other."""
        if sire not in self.outsiders and dam not in self.outsiders:
            return self.at_hand.couple(sire, dam, loci)
        both = {
            locus: {
                (mine, hers): chance * other
                for mine, chance in self.at(sire, locus).items()
                for hers, other in self.at(dam, locus).items()
            }
            for locus in loci
        }
        return (ParentsJoint(1.0, both, {locus: self.phase(sire, locus) for locus in loci}),)

    def phase(self, animal: str, locus: str) -> float:
        """Phase at a sex-linked locus; not known of an outsider."""
        return 0.5 if animal in self.outsiders else self.at_hand.phase(animal, locus)

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        """Joint draws at one locus."""
        known = [animal for animal in animals if animal not in self.outsiders]
        pairs, drawn = self.at_hand.draw(known, locus, n, rng)
        columns = np.empty((n, len(animals)), np.int64)
        for place, animal in enumerate(animals):
            if animal in self.outsiders:
                held = self.outsiders[animal].get(locus, WILD_PAIR)
                pairs = pairs if held in pairs else [*pairs, held]
                columns[:, place] = pairs.index(held)
            else:
                columns[:, place] = drawn[:, known.index(animal)]
        return pairs, columns


def with_outsiders(stock: Stock, outsiders: Mapping[str, Genotype], sex: Sex, *, ready: int = NEVER) -> Stock:
    """The same stock and some animals of one sex from outside.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    outsiders : mapping of str to Genotype
        Id to genes; ids must be new.
    sex : Sex
        Sex of all of them.
    ready : int
        First season in which they can have young; `NEVER` keeps them from being counted on as mates of later young.

    Returns
    -------
    Stock
        Outsiders last, in their order. A female lays as one of whom nothing else is known.
    """
    n, k = len(stock.animals), len(outsiders)
    is_male = sex is Sex.MALE
    kinship = np.zeros((n + k, n + k))
    kinship[:n, :n] = stock.kinship
    kinship[range(n, n + k), range(n, n + k)] = 0.5
    breeding = stock.breeding
    none = CountLaw(np.ones(1))
    nan = np.full(k, np.nan)
    return replace(
        stock,
        animals=(*stock.animals, *outsiders),
        sexes=(*stock.sexes, *[sex] * k),
        ready=np.concatenate([stock.ready, np.full(k, ready, np.int64)]),
        clutches=np.concatenate([stock.clutches, np.full(k, breeding.male_clutches if is_male else 1, np.int64)]),
        lays=np.concatenate([stock.lays, nan if is_male else np.full(k, breeding.lays)]),
        eggs=(*stock.eggs, *[none if is_male else breeding.eggs] * k),
        young=(*stock.young, *[none if is_male else breeding.young] * k),
        kinship=kinship,
        shares={line: np.concatenate([values, np.zeros(k)]) for line, values in stock.shares.items()},
        size_mean=np.concatenate([stock.size_mean, nan]),
        size_sd=np.concatenate([stock.size_sd, nan]),
        genes=GenesWithOutsiders(stock.genes, outsiders),
    )
