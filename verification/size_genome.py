"""True genomes: founder haplotypes at places along the chromosomes, and what they add to log mass.

Written without the rooms that are verified: meiosis here is crossing over between neighbouring places by the map of
Haldane (1919), with no interference.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

IntArray = npt.NDArray[np.int32]
FloatArray = npt.NDArray[np.float64]

PLACES = 400
"""Of all chromosomes together, about."""


@dataclass(frozen=True, eq=False)
class Genome:
    """Places that count alike, chromosome after chromosome.

    Parameters
    ----------
    switch : float array, shape (places,)
        Chance that a gamete goes on with the other haplotype at a place; 1/2 at the first of a chromosome.
    """

    switch: FloatArray

    @classmethod
    def of(cls, morgans: FloatArray, parts: FloatArray) -> Genome:
        """Genome of chromosomes with a map length and a part of the DNA each."""
        found = []
        for length, part in zip(morgans.tolist(), parts.tolist(), strict=True):
            number = max(4, round(PLACES * part))
            step = length / number
            found += [0.5, *[0.5 * (1.0 - np.exp(-2.0 * step))] * (number - 1)]
        return cls(np.array(found))

    def gamete(self, haplotypes: IntArray, rng: np.random.Generator) -> IntArray:
        """What an animal of two haplotypes, shape (2, places), passes on."""
        which = np.cumsum(rng.random(len(self.switch)) < self.switch) % 2
        passed: IntArray = haplotypes[which, np.arange(len(which))]
        return passed


class Effects:
    """What each founder haplotype adds at each place.

    Parameters
    ----------
    places : int
        Of the genome.
    variance : float
        Additive genetic variance of founders.
    line_effects : sequence of float
        What an animal all of a line has more than others, line by line.
    rng : Generator
        Random numbers.
    """

    def __init__(self, places: int, variance: float, line_effects: tuple[float, ...], rng: np.random.Generator) -> None:
        self._places = places
        self._scale = np.sqrt(variance / (2 * places))
        self.line_effects = line_effects
        self._rng = rng
        self._table: list[FloatArray] = []
        self._line: list[int] = []

    def draw(self) -> FloatArray:
        """Effects of both haplotypes of an animal that may become a founder, shape (2, places)."""
        drawn: FloatArray = self._rng.normal(0.0, self._scale, (2, self._places))
        return drawn

    def add(self, drawn: FloatArray, line: int) -> IntArray:
        """Haplotypes of a new founder of a line (-1: of none), shape (2, places)."""
        first = len(self._table)
        self._table += list(drawn)
        self._line += [line, line]
        return np.tile(np.array([[first], [first + 1]], dtype=np.int32), (1, self._places))

    def additive(self, haplotypes: IntArray) -> float:
        """Sum over both haplotypes, without what the lines add."""
        table = np.array(self._table)
        return float(table[haplotypes, np.arange(self._places)].sum())

    def shares(self, haplotypes: IntArray) -> FloatArray:
        """Realised share of each line, shape (lines,)."""
        of = np.array(self._line)[haplotypes]
        return np.array([(of == line).mean() for line in range(len(self.line_effects))])
