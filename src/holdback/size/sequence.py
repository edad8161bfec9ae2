"""Which readings of one animal cannot all be true: growth and loss between two of them have bounds.

The longest run of readings in which each can follow the one before is kept, the others are odd; what then still stands
alone above or below both its neighbours is odd, too. All on the natural logarithm, so that a bound is a factor. The
bounds are wide (common practice, no source): a young python at most about trebles in two months, a fasting one loses no
more than half, a dam that lays a little more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Point:
    """One reading.

    Parameters
    ----------
    day : float
        Ordinal day.
    log : float
        Natural logarithm of the value.
    age : float or None
        Days since hatching.
    low, high : float
        Least and most it can be at its age, as logarithms.
    sway : tuple of (float, float)
        How far eggs in her, or laying, may have moved it down and up; none above, none below zero.
    usual : float or None
        What is usual at its age; it decides between readings of which either could be the odd one.
    """

    day: float
    log: float
    age: float | None
    low: float
    high: float
    sway: tuple[float, float]
    usual: float | None


@dataclass(frozen=True, slots=True)
class Step:
    """How far a trait can change between two readings, up to a size.

    Parameters
    ----------
    below : float
        Natural logarithm of the size.
    growth : float
        Growth a day.
    loss : float
        Loss at once, noise of scale, tape and gut included.
    """

    below: float
    growth: float
    loss: float


@dataclass(frozen=True, slots=True)
class Bounds:
    """How far a trait can change between two readings, on the logarithm.

    Parameters
    ----------
    steps : tuple of Step
        By size, ascending; the last one without end.
    gain : float
        Gain at once, noise included.
    old_growth : float
        Growth a day of an animal older than `OLD_DAYS`.
    loss_a_day, most_loss : float
        Loss a day on top, and the most in all.
    same_day : float
        Difference of two readings of one day.
    spike : float
        How far one reading may stand above or below both its neighbours.
    """

    steps: tuple[Step, ...]
    gain: float
    old_growth: float
    loss_a_day: float
    most_loss: float
    same_day: float
    spike: float


MASS = Bounds(
    steps=(Step(5.0, 0.0145, 0.38), Step(6.2, 0.0095, 0.4), Step(7.3, 0.0045, 0.49), Step(99.0, 0.003, 0.49)),
    gain=0.3,
    old_growth=0.0015,
    loss_a_day=0.0006,
    most_loss=0.75,
    same_day=0.38,
    spike=0.36,
)
LENGTH = Bounds(
    steps=(Step(99.0, 0.004, 0.22),),
    gain=0.16,
    old_growth=0.001,
    loss_a_day=0.0,
    most_loss=0.22,
    same_day=0.2,
    spike=0.3,
)
"""For lengths and head widths, which hardly shrink: stretch and pointing stray by some percent."""

OLD_DAYS = 1100.0
"""From this age on growth is slow."""

_TIE = 0.1
"""Runs whose worth differs by less are equally good."""


def odd_ones(points: Sequence[Point], bounds: Bounds) -> set[int]:
    """Indices of the readings that cannot be true beside the others.

    Parameters
    ----------
    points : sequence of Point
        Of one animal and trait, oldest first.
    bounds : Bounds
        Of the trait.

    Returns
    -------
    set of int
        Where either of two could be the odd one, both.

    Notes
    -----
    Takes one pass where nothing is odd; else time in the square of the number of readings.
    """
    kept = [index for index, one in enumerate(points) if one.low <= one.log <= one.high]
    if not all(_can_follow(points[a], points[b], bounds) for a, b in pairwise(kept)):
        kept = _in_every_longest_run(points, kept, bounds)
    while (spike := _worst_spike(points, kept, bounds)) is not None:
        kept.remove(spike)
    return set(range(len(points))) - set(kept)


def _can_follow(first: Point, second: Point, bounds: Bounds) -> bool:
    """Whether the second can come after the first."""
    gap, change = second.day - first.day, second.log - first.log
    if gap == 0:
        return abs(change) <= bounds.same_day
    step = next(step for step in bounds.steps if first.log < step.below)
    if change < 0:
        least = second.sway[0] - first.sway[1]
        return change >= least - min(step.loss + bounds.loss_a_day * gap, bounds.most_loss)
    is_old = first.age is not None and first.age > OLD_DAYS
    growth = min(step.growth, bounds.old_growth) if is_old else step.growth
    return change <= bounds.gain + growth * gap + second.sway[1] - first.sway[0]


def _in_every_longest_run(points: Sequence[Point], within: Sequence[int], bounds: Bounds) -> list[int]:
    """Readings that are in each of the longest runs in which every one can follow the one before.

    A run counts its readings and how near they come to the usual.
    """
    n = len(within)
    worth = [1.0 + _nearness(points[index]) for index in within]
    follows = [[_can_follow(points[within[a]], points[within[b]], bounds) for b in range(n)] for a in range(n)]
    ahead, before = _best_runs(worth, lambda earlier, later: follows[earlier][later])
    behind, after = _best_runs(worth[::-1], lambda earlier, later: follows[n - 1 - later][n - 1 - earlier])
    through = [ahead[at] + behind[n - 1 - at] - worth[at] for at in range(n)]
    longest = max(through)
    kept = set(range(n))
    for at in range(n):
        if through[at] > longest - _TIE:
            back = _path(at, before)
            on = [n - 1 - other for other in _path(n - 1 - at, after)]
            kept &= {*back, *on}
    return [within[at] for at in sorted(kept)]


def _best_runs(worth: Sequence[float], follows: Callable[[int, int], bool]) -> tuple[list[float], list[int]]:
    """Worth of the best run that ends at each place, and the place before it in that run, -1 for none."""
    best: list[float] = []
    link: list[int] = []
    for later in range(len(worth)):
        score, at = 0.0, -1
        for earlier in range(later):
            if best[earlier] > score and follows(earlier, later):
                score, at = best[earlier], earlier
        best.append(score + worth[later])
        link.append(at)
    return best, link


def _path(at: int, link: Sequence[int]) -> list[int]:
    found = []
    while at >= 0:
        found.append(at)
        at = link[at]
    return found


def _nearness(point: Point) -> float:
    return 0.5 * math.exp(-abs(point.log - point.usual)) if point.usual is not None else 0.25


def _worst_spike(points: Sequence[Point], kept: Sequence[int], bounds: Bounds) -> int | None:
    """The reading that stands furthest above or below what its neighbours allow; None where none does."""
    worst, found = 0.0, None
    for left, index, right in zip(kept, kept[1:], kept[2:], strict=False):
        off = _off(points[left], points[index], points[right]) - bounds.spike
        if off > worst:
            worst, found = off, index
    return found


def _off(before: Point, one: Point, after: Point) -> float:
    """How far a reading stands off what lies between its neighbours, beyond what eggs or laying explain.

    Between them growth is at least even on the logarithm and at most even on the scale itself, as that of an animal is
    that slows down.
    """
    span = after.day - before.day
    part = (one.day - before.day) / span if span else 0.5
    change = after.log - before.log
    even = before.log + part * change
    if one.log < even:
        sway = (1 - part) * before.sway[1] + part * after.sway[1] - one.sway[0]
        return even - one.log - sway
    sway = one.sway[1] - (1 - part) * before.sway[0] - part * after.sway[0]
    return one.log - before.log - math.log1p(part * math.expm1(change)) - sway
