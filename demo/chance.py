"""Chance that is the same on every machine: one stream for each question, named by what it decides."""

from __future__ import annotations

import random
from collections.abc import Sequence
from statistics import NormalDist
from typing import TypeVar

SEED = 17

_Thing = TypeVar("_Thing")


class Chance:
    """A stream of its own for one question, so that a change in one place moves nothing elsewhere.

    Only `random.Random.random` is drawn from: its numbers for a given text seed are fixed by the language.
    """

    def __init__(self, *names: object) -> None:
        self._random = random.Random(":".join(map(str, (SEED, *names))))

    def unit(self) -> float:
        """Number in [0, 1)."""
        return self._random.random()

    def happens(self, probability: float) -> bool:
        """Whether something of this probability happens."""
        return self.unit() < probability

    def below(self, n: int) -> int:
        """Whole number from 0 to n - 1."""
        return int(self.unit() * n)

    def pick(self, things: Sequence[_Thing]) -> _Thing:
        """One of several things."""
        return things[self.below(len(things))]

    def normal(self, mean: float, sd: float) -> float:
        """Normal number, cut at 3 standard deviations."""
        return mean + sd * min(max(NormalDist().inv_cdf(min(max(self.unit(), 1e-9), 1 - 1e-9)), -3.0), 3.0)
