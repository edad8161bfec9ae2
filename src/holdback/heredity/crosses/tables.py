"""Distributions held as short tables of values and probabilities."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache


def until_negligible(log_chance: Callable[[int], float]) -> tuple[tuple[int, float], ...]:
    """Whole-number distribution as a table, brought to sum 1.

    Parameters
    ----------
    log_chance : callable
        Logarithm of the chance of each whole number from 0.

    Returns
    -------
    tuple of (int, float)
        Numbers and chances, to where about 1e-15 is left.
    """
    found: list[tuple[int, float]] = []
    total, n = 0.0, 0
    while n < 10 or total < 1.0 - 1e-15 or (found and found[-1][1] > 1e-17):
        found.append((n, math.exp(log_chance(n))))
        total += found[-1][1]
        n += 1
        if n > 100_000:
            break
    total = math.fsum(chance for _, chance in found)
    return tuple((n, chance / total) for n, chance in found)


@lru_cache(maxsize=16)
def beta_points(mean: float, low: float, high: float, points: int = 9) -> tuple[tuple[float, float], ...]:
    """Beta distribution of a given mean and about a given 90 % range, as points of equal weight and the same mean.

    Parameters
    ----------
    mean, low, high : float
        Mean and the ends of the range, in (0, 1); equal ends give one point.
    points : int
        Number of points.

    Returns
    -------
    tuple of (float, float)
        Points, each the mean of its slice of the distribution, and weights that sum to 1.

    Notes
    -----
    Sliced on a grid of 2,000 cells, so the weights differ from each other by up to one cell.
    """
    sd = (high - low) / (2.0 * 1.6448536269514722)
    if sd <= 0.0 or not 0.0 < mean < 1.0:
        return ((mean, 1.0),)
    total = max(mean * (1.0 - mean) / (sd * sd) - 1.0, 2.0)
    a, b = mean * total, (1.0 - mean) * total
    cells = 2000
    grid = [(cell + 0.5) / cells for cell in range(cells)]
    density = [math.exp((a - 1.0) * math.log(x) + (b - 1.0) * math.log1p(-x)) for x in grid]
    whole = sum(density)
    found: list[tuple[float, float]] = []
    mass = moment = 0.0
    for x, height in zip(grid, density, strict=True):
        mass += height / whole
        moment += x * height / whole
        if mass >= 1.0 / points or x is grid[-1]:
            found.append((moment / mass, mass))
            mass = moment = 0.0
    weight = math.fsum(share for _, share in found)
    shift = mean - math.fsum(rate * share for rate, share in found) / weight
    return tuple((min(1.0, max(0.0, rate + shift)), share / weight) for rate, share in found)
