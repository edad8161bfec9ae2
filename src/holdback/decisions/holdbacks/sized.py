"""What waiting for the size of a hatchling would tell."""

from __future__ import annotations

from collections.abc import Sequence
from math import erfc, sqrt

import numpy as np

from holdback.collection.estimate import Basis, Estimate
from holdback.decisions.goal import SizeAim
from holdback.decisions.holdbacks.ordering import RANGE
from holdback.decisions.holdbacks.result import Waiting
from holdback.decisions.holdbacks.words import in_100, name
from holdback.decisions.holdbacks.worths import Worths
from holdback.decisions.kind_words import listed
from holdback.decisions.stock import FloatArray

_POINTS = 4001
_LEAST = 0.05
"""Chance of a change below which nothing is said."""


def waiting_for_size(worths: Worths, kept: Sequence[str]) -> tuple[Waiting, ...]:
    """Worth of knowing the adult size of hatchlings that are alike in all else, where a project asks for size.

    Parameters
    ----------
    worths : Worths
        Candidates.
    kept : sequence of str
        Ids of those to hold back.

    Returns
    -------
    tuple of Waiting
        One for each hatchling kept whose like, of the same sex, may grow bigger: at most this much is told by a year of
        age, since a young animal's size does not tell all of its adult size.
    """
    if all(project.goal.size.aim is not SizeAim.BIGGER for project in worths.projects):
        return ()
    found = []
    for animal in kept:
        mates = [other for other in _like(worths, animal) if other not in kept]
        if not mates:
            continue
        sizes = [_size(worths, one) for one in (animal, *mates)]
        change, gain = biggest_of(sizes)
        if change >= _LEAST:
            names = listed([name(worths.stock, one) for one in mates])
            text = (
                f"At a year of age {names} may turn out bigger than {name(worths.stock, animal)}: in at most "
                f"{in_100(100 * change)} of 100 cases the choice would change, for {gain:.1f} % of adult mass. "
                "It costs a tub for a year for each that waits."
            )
            estimate = Estimate(gain, 0.0, gain, "%", Basis.BY_DESCENT, "All of the adult size known.")
            found.append(Waiting("size", (animal, *mates), "a year old", change, estimate, text))
    return tuple(found)


def _like(worths: Worths, animal: str) -> list[str]:
    """Others weighed that have the same genes asked for, the same sex and the same clutch."""
    one = worths.candidates[animal]
    return [
        other
        for other, each in worths.candidates.items()
        if other != animal and one.size and each.size and each.sex is one.sex
        and each.clutch == one.clutch and each.shows == one.shows and each.carries == one.carries
    ]  # fmt: skip


def _size(worths: Worths, animal: str) -> tuple[float, float]:
    """Mean and standard deviation of the adult deviation, in percent."""
    size = worths.candidates[animal].size
    assert size is not None
    return size.deviation.mean, (size.deviation.high - size.deviation.low) / (2 * RANGE)


def biggest_of(sizes: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Chance that the first of some animals is not the biggest, and the mean by which the biggest passes it.

    Parameters
    ----------
    sizes : sequence of (float, float)
        Mean and standard deviation of each, in percent, taken as normal and independent.

    Notes
    -----
    With F and f the distribution and density of the first, and G the distribution of the biggest of the others, the
    chance is 1 - integral of f G, and the mean the integral of F (1 - G).
    """
    (mean, sd), others = sizes[0], sizes[1:]
    spread = max(one[1] for one in sizes)
    if spread == 0:
        best = max(one[0] for one in sizes)
        return float(best > mean), best - mean
    low = min(one[0] - 6 * one[1] for one in sizes)
    high = max(one[0] + 6 * one[1] for one in sizes)
    x = np.linspace(low, high, _POINTS)
    below = np.prod([_below(x, *one) for one in others], axis=0)
    mine = _below(x, mean, sd)
    chance = 1 - float(np.sum(np.diff(mine) * (below[1:] + below[:-1]) / 2))
    return min(max(chance, 0.0), 1.0), float(np.sum(mine * (1 - below)) * (x[1] - x[0]))


def _below(x: FloatArray, mean: float, sd: float) -> FloatArray:
    """Chance that a normal animal is below each size."""
    if sd == 0:
        return (x >= mean).astype(np.float64)
    return np.array([0.5 * erfc((mean - each) / (sd * sqrt(2))) for each in x])
