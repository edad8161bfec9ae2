"""Genes at hand as they would be if one animal's pair at a locus became known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from holdback.decisions.stock import GenesAtHand, IntArray
from holdback.heredity.genotype import ParentsJoint
from holdback.species.model import Pair

_FACTOR = 4
"""Draws made at a time for each one wanted."""


@dataclass(frozen=True)
class ToldGenes:
    """Beliefs with one more fact.

    Parameters
    ----------
    genes : GenesAtHand
        What is known now.
    animal, locus : str
        What becomes known.
    pairs : frozenset of Pair
        Pairs that are left; the less likely they are now, the longer a joint draw takes.

    Notes
    -----
    Joint draws, and couples in which the animal is one of the two, follow from what is known now. What its relatives
    may be by themselves, or with each other, is left as it is.
    """

    genes: GenesAtHand
    animal: str
    locus: str
    pairs: frozenset[Pair]

    def at(self, animal: str, locus: str) -> Mapping[Pair, float]:
        """Chances of the pairs of one animal."""
        now = self.genes.at(animal, locus)
        if (animal, locus) != (self.animal, self.locus):
            return now
        left = {pair: chance for pair, chance in now.items() if pair in self.pairs}
        whole = sum(left.values())
        return {pair: chance / whole for pair, chance in left.items()}

    def couple(self, sire: str, dam: str, loci: Sequence[str]) -> tuple[ParentsJoint, ...]:
        """What two animals may be together."""
        now = self.genes.couple(sire, dam, loci)
        if self.animal not in (sire, dam) or self.locus not in loci:
            return now
        side = 0 if self.animal == sire else 1
        found = []
        for state in now:
            left = {both: chance for both, chance in state.at(self.locus).items() if both[side] in self.pairs}
            whole = sum(left.values())
            if whole > 0:
                told = {both: chance / whole for both, chance in left.items()}
                found.append(replace(state, weight=state.weight * whole, loci={**state.loci, self.locus: told}))
        whole = sum(state.weight for state in found)
        return tuple(replace(state, weight=state.weight / whole) for state in found)

    def phase(self, animal: str, locus: str) -> float:
        """Chance that the second allele of a sorted pair is on the sex-limited chromosome."""
        return self.genes.phase(animal, locus)

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        """Joint draws at one locus; those that contradict what became known are drawn anew."""
        if locus != self.locus:
            return self.genes.draw(animals, locus, n, rng)
        asked = list(dict.fromkeys([*animals, self.animal]))
        names: list[Pair] = []
        rows: list[IntArray] = []
        while sum(map(len, rows)) < n:
            found, drawn = self.genes.draw(asked, locus, _FACTOR * n, rng)
            names += [pair for pair in found if pair not in names]
            codes = np.array([names.index(pair) for pair in found], dtype=np.int64)[drawn]
            fits = np.array([pair in self.pairs for pair in names])
            rows.append(codes[fits[codes[:, asked.index(self.animal)]]])
        columns = [asked.index(one) for one in animals]
        return names, np.concatenate(rows)[:n][:, columns]
