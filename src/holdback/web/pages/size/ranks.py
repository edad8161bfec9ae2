"""Which animals in an order of size cannot be told apart.

The order is by expected deviation; the ranges behind it often overlap. Errors of two animals are taken as independent,
which kin do not quite fulfil: full sibs share part of what is not known of their parents.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.estimate import Estimate

TOLD_APART = 0.75
"""Chance that the one ranked higher is the bigger from which two animals count as told apart."""

_HALF_RANGE_SD = 1.6448536269514722
"""Standard deviations from the mean to either end of a normal 90 % range."""


@dataclass(frozen=True, slots=True)
class Place:
    """Ranks that an animal may have: those of its group.

    Parameters
    ----------
    first, last : int
        From 1; equal where the animal is told apart from its neighbours.
    """

    first: int
    last: int

    @property
    def is_tied(self) -> bool:
        """Whether it shares its place."""
        return self.last > self.first

    def __str__(self) -> str:
        """Rank in figures: "3" or "3–7"."""
        return f"{self.first}–{self.last}" if self.is_tied else str(self.first)


def chance_bigger(one: Estimate, other: Estimate) -> float:
    """Probability that the first of two deviations is the larger, in [0, 1].

    Parameters
    ----------
    one, other : Estimate
        Deviations in percent with their 90 % ranges; normal on the log scale.
    """
    sd = math.hypot(_log_sd(one), _log_sd(other))
    difference = math.log1p(one.mean / 100) - math.log1p(other.mean / 100)
    if sd == 0:
        return 0.5 * (1 + (difference > 0) - (difference < 0))
    return 0.5 * (1 + math.erf(difference / sd / math.sqrt(2)))


def _log_sd(one: Estimate) -> float:
    return (math.log1p(one.high / 100) - math.log1p(one.low / 100)) / (2 * _HALF_RANGE_SD)


def places(deviations: Sequence[Estimate]) -> list[Place]:
    """Place of each animal, animals that no one can tell apart sharing theirs.

    Parameters
    ----------
    deviations : sequence of Estimate
        In percent, the largest first.

    Notes
    -----
    A group holds its first animal and all that follow until the chance that the first is the bigger reaches
    `TOLD_APART`; so the first and last of a group are not told apart, and groups do not chain.
    """
    starts: list[int] = []
    for index, one in enumerate(deviations):
        if not starts or chance_bigger(deviations[starts[-1]], one) >= TOLD_APART:
            starts.append(index)
    found = []
    for start, end in itertools.pairwise([*starts, len(deviations)]):
        found += [Place(start + 1, end)] * (end - start)
    return found
