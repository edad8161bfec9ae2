"""What the animals at hand may carry, as plans ask it, from the beliefs of a collection."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from holdback.decisions.stock import IntArray
from holdback.heredity.beliefs import Beliefs, parents_joint
from holdback.heredity.beliefs.couple import opened_for
from holdback.heredity.beliefs.drawn import draw_pairs
from holdback.heredity.genotype import ParentsJoint
from holdback.species.model import Pair


class GenesOfBeliefs:
    """Genes of a collection's animals by all its records.

    Parameters
    ----------
    beliefs : Beliefs
        Of the collection.
    animals : sequence of str
        Those at hand.
    """

    def __init__(self, beliefs: Beliefs, animals: Sequence[str]) -> None:
        self._beliefs = opened_for(beliefs, frozenset(animals))
        self._singles: dict[tuple[str, str], Mapping[Pair, float]] = {}
        self._couples: dict[tuple[str, str, tuple[str, ...]], tuple[ParentsJoint, ...]] = {}

    def at(self, animal: str, locus: str) -> Mapping[Pair, float]:
        """Chances of the pairs of one animal at one locus, summing to 1."""
        key = (animal, locus)
        if key not in self._singles:
            self._singles[key] = self._beliefs.at(animal, locus)
        return self._singles[key]

    def couple(self, sire: str, dam: str, loci: Sequence[str]) -> tuple[ParentsJoint, ...]:
        """What two animals may be together at some loci; weights sum to 1."""
        key = (sire, dam, tuple(loci))
        if key not in self._couples:
            self._couples[key] = parents_joint(self._beliefs, sire, dam, only=frozenset(loci))
        return self._couples[key]

    def phase(self, animal: str, locus: str) -> float:
        """Chance that the second allele of a sorted pair is on the sex-limited chromosome; 0.5 where nothing tells."""
        told = self._beliefs.phase(animal, locus)
        return 0.5 if told is None else told

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        """Joint draws at one locus: the pairs that occur, and indices into them of shape (n, animals)."""
        return draw_pairs(self._beliefs, animals, locus, n, rng)
