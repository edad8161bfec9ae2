"""What is said of the sizes of one drawn collection, held against its truth."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator

import numpy as np
from verification.size_herds import YEAR, FloatArray, SizeHerd, Snake, herd
from verification.size_records import LINES, written
from verification.size_scenarios import Scenario
from verification.size_told import (
    BREEDING,
    DEVIATION,
    EFFECT,
    FORECAST,
    GROWN,
    HEAD,
    HERITABILITY,
    MEAN_OF_YOUNG,
    MIDDLE,
    OWNED,
    WITHIN,
    YOUNG,
    LineTold,
    Scored,
    Told,
)

from holdback.answers.descent import Descent
from holdback.answers.size import Sizes
from holdback.collection.collection import Collection
from holdback.collection.estimate import Estimate
from holdback.collection.model import Sex, Trait
from holdback.descent.family import Family
from holdback.size.evaluation import LineEffect
from holdback.species.catalogue import Catalogue

PAIRS = 6
"""Pairs of each collection whose young are asked about."""


def scored(seed: np.random.SeedSequence, scenario: Scenario, effect: float, catalogue: Catalogue) -> Scored:
    """Draw a collection, write down its records, evaluate them, and hold what is said against the truth."""
    drawing, writing, pairing = seed.spawn(3)
    made = herd(drawing, scenario, effect, catalogue)
    book = written(made, writing)
    descent = Descent(book, Family.from_collection(book), catalogue, sires=dict)
    start = time.perf_counter()
    sizes = Sizes(book, descent, catalogue)
    _ = sizes.evaluation
    seconds = time.perf_counter() - start
    return Score(made, book, descent, sizes).whole(effect, seconds, np.random.default_rng(pairing))


class Score:
    """A drawn collection with what is said of it.

    Parameters
    ----------
    made : SizeHerd
        Truth.
    book : Collection
        Its records.
    descent : Descent
        Pedigree and expected shares.
    sizes : Sizes
        What is said.
    """

    def __init__(self, made: SizeHerd, book: Collection, descent: Descent, sizes: Sizes) -> None:
        self.made, self.book, self.descent, self.sizes = made, book, descent, sizes
        self.snakes = [made.snakes[one] for one in book.animals]
        nodes = [descent.pedigree.index[one.id] for one in self.snakes]
        lines = LINES[: len(made.nature.effects)]
        self.inbreeding = descent.inbreeding[nodes]
        shares = np.stack([descent.share_means(line)[nodes] for line in lines], axis=1)
        self.of_lines = shares @ np.array(made.nature.effects)
        self.values = np.array([made.breeding_value(one) for one in self.snakes])

    def whole(self, effect: float, seconds: float, rng: np.random.Generator) -> Scored:
        """Everything."""
        said = self.sizes.evaluation
        lines = tuple(self._lines())
        told = (*self._animals(), *self._pairs(rng), *self._collection(), *(one.told for one in lines))
        animals = [said.animals[one.id] for one in self.snakes]
        values = _logs([one.breeding_value.mean for one in animals])
        within = _logs([one.within_line.mean for one in animals])
        variance = self.made.nature.heritability * self.made.nature.adult_sd**2
        best = self._best()
        weights = [one for one in self.book.records.measurements if one.trait is Trait.MASS]
        return Scored(
            effect, told, lines,
            correlation=float(np.corrcoef(values, self.values)[0, 1]),
            reliability=float(np.mean([one.reliability for one in animals])),
            missed=float(((within - (self.values - self.of_lines)) ** 2).sum()),
            genetic=float((1.0 + self.inbreeding).sum() * variance),
            best_said=float(best[:, 0].mean()), best_true=float(best[:, 1].mean()),
            misfits=float(np.mean([not one.fits for one in animals])),
            asked=len(said.readings.questions) / len(weights),
            seconds=seconds, settled=said.settled,
        )  # fmt: skip

    def _animals(self) -> Iterator[Told]:
        for snake, value, of_lines in zip(self.snakes, self.values, self.of_lines, strict=True):
            one, group = self.sizes.of(snake.id), self._group(snake)
            yield _told(DEVIATION, group, one.deviation, self.made.deviation(snake))
            if one.sex is not Sex.UNKNOWN:
                yield _of_mass(group, one.adult_mass_g, self.made.adult(snake))
            yield _told(BREEDING, group, one.breeding_value, value)
            yield _told(WITHIN, group, one.within_line, value - of_lines)

    def _group(self, snake: Snake) -> str:
        """How old it was at its last weight."""
        weights = [one for one in self.book.measurements_of(snake.id) if one.trait is Trait.MASS]
        last = weights[-1].date.earliest.toordinal() if weights else snake.hatched
        age = (last - snake.hatched) / YEAR
        return YOUNG if age < 0.5 else MIDDLE if age < 2.2 else GROWN

    def _pairs(self, rng: np.random.Generator) -> Iterator[Told]:
        """Mean of the young of some pairs as they come."""
        males, females = ([one for one in self.snakes if one.sex is sex] for sex in (Sex.MALE, Sex.FEMALE))
        for _ in range(PAIRS):
            sire, dam = males[int(rng.integers(len(males)))], females[int(rng.integers(len(females)))]
            young = self.sizes.young(sire.id, dam.id)
            true = (self.made.breeding_value(sire) + self.made.breeding_value(dam)) / 2.0
            yield _told(MEAN_OF_YOUNG, "all", young.deviation, true)

    def _collection(self) -> Iterator[Told]:
        said, nature = self.sizes.evaluation.variances.heritability, self.made.nature
        lasting = (1.0 - nature.heritability) * nature.adult_sd**2 + self.made.scenario.feeding_adult**2
        genetic = nature.heritability * nature.adult_sd**2
        yield Told(HERITABILITY, "all", said.mean, said.low, said.high, genetic / (genetic + lasting))
        for number, line in enumerate(LINES[: len(nature.effects)]):
            one = self.sizes.evaluation.lines[line]
            yield _told(OWNED, _of_founders(self._founders(number)), one.owned, self._owned(number))
            if one.head is not None and number == 0:
                yield _told(HEAD, "all", one.head, self.made.head_effect)

    def _founders(self, number: int) -> int:
        return sum(one.line == number for one in self.made.snakes.values())

    def _owned(self, number: int) -> float:
        """True difference between the founders of a line and those of none."""
        founders = [one for one in self.made.snakes.values() if not one.dam]
        own = [self.made.breeding_value(one) for one in founders if one.line == number]
        others = [self.made.breeding_value(one) for one in founders if one.line < 0]
        return float(np.mean(own) - np.mean(others))

    def _lines(self) -> Iterator[LineTold]:
        for number, line in enumerate(LINES[: len(self.made.nature.effects)]):
            one: LineEffect = self.sizes.evaluation.lines[line]
            true, founders = self.made.nature.effects[number], self._founders(number)
            told = _told(EFFECT, _of_founders(founders), one.effect, true)
            yield LineTold(true, founders, told, one.chance_larger, one.can_tell)

    def _best(self) -> FloatArray:
        """Chance of the likeliest biggest of each clutch, and whether it is, shape (clutches, 2)."""
        found = [(math.nan, math.nan)]
        for young in self.sizes.evaluation.clutches.values():
            if len(young) > 1:
                first = max(young, key=lambda one: one.chance_best)
                true = max(young, key=lambda one: self.made.deviation(self.made.snakes[one.animal]))
                found.append((first.chance_best, float(first is true)))
        return np.array(found[1:] or found)


def _of_founders(number: int) -> str:
    """Group of a line by the number of its founders."""
    return "under 4 founders" if number < 4 else "4 to 8 founders" if number <= 8 else "over 8 founders"


def _told(kind: str, group: str, said: Estimate, true: float) -> Told:
    """A number in percent, taken back to the log scale."""
    mean, low, high = (math.log1p(one / 100.0) for one in (said.mean, said.low, said.high))
    return Told(kind, group, mean, low, high, float(true))


def _of_mass(group: str, said: Estimate, true: float) -> Told:
    return Told(FORECAST, group, math.log(said.mean), math.log(said.low), math.log(said.high), true)


def _logs(percent: list[float]) -> FloatArray:
    """Logarithms of deviations in percent."""
    return np.asarray(np.log1p(np.array(percent) / 100.0))
