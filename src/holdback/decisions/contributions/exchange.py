"""Clutches that break the limit on group kinship, mended by exchanges."""

from __future__ import annotations

from itertools import product

import numpy as np
import numpy.typing as npt

from holdback.decisions.contributions.whole import Whole

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


def exchanged(whole: Whole, counts: IntArray) -> IntArray | None:
    """Clutches near `counts` that keep the limits, None where exchanges find none.

    Parameters
    ----------
    whole : Whole
        What must be kept.
    counts : int array, shape (n,)
        Clutches of each animal, as many as asked for of each sex.

    Notes
    -----
    While the limit is broken, the exchange of a clutch within a sex that lowers the group kinship most for each unit of
    gain given up; then, while there is one, the exchange within the limit that gains most.
    """
    now = counts.copy()
    while not whole.keeps(now):
        step = _lowering(whole, now)
        if step is None:
            return None
        _move(now, step)
    while True:
        step = _gaining(whole, now)
        if step is None:
            return now
        _move(now, step)


def least_akin(whole: Whole, counts: IntArray) -> IntArray:
    """Clutches from which no exchange lowers the group kinship, begun at `counts`; all along each has parents."""
    now = counts.copy()
    while True:
        pairs, _, turned = _steps(whole, now)
        for place in np.argsort(turned, kind="stable"):
            if turned[place] >= -1e-12:
                return now
            moved = now.copy()
            _move(moved, pairs[place])
            if whole.can_mate(moved):
                now = moved
                break
        else:
            return now


def _steps(whole: Whole, now: IntArray) -> tuple[IntArray, FloatArray, FloatArray]:
    """Exchanges (from, to), shape (m, 2), and what each changes in gain and in group kinship."""
    free = np.flatnonzero(now < whole.caps)
    taken = np.flatnonzero(now > 0)
    is_sire = whole.problem.is_sire
    pairs = np.array(
        [(a, b) for a, b in product(taken, free) if a != b and is_sire[a] == is_sire[b]], dtype=np.int64
    ).reshape(-1, 2)
    unit = 1 / (2 * whole.clutches)
    kinship = whole.problem.kinship
    pull = kinship @ now * unit
    out, into = pairs.T
    gains = unit * (whole.problem.gains[into] - whole.problem.gains[out])
    own = np.diag(kinship)
    turned = 2 * unit * (pull[into] - pull[out]) + unit**2 * (own[into] + own[out] - 2 * kinship[into, out])
    return pairs, gains, turned


def _lowering(whole: Whole, now: IntArray) -> IntArray | None:
    """Exchange that lowers the group kinship most for the gain given up."""
    pairs, gains, turned = _steps(whole, now)
    lower = np.flatnonzero(turned < -1e-12)
    if len(lower) == 0:
        return None
    price = np.maximum(-gains[lower], 0.0) + 1e-9 * whole.problem.spread
    return np.asarray(pairs[lower[np.argmax(-turned[lower] / price)]])


def _gaining(whole: Whole, now: IntArray) -> IntArray | None:
    """Exchange within the limits that gains most."""
    pairs, gains, turned = _steps(whole, now)
    room = whole.limit - whole.problem.group_kinship(now / (2 * whole.clutches))
    for place in np.argsort(-gains, kind="stable"):
        if gains[place] <= 1e-12:
            return None
        if turned[place] > room:
            continue
        moved = now.copy()
        _move(moved, pairs[place])
        if whole.keeps(moved):
            return np.asarray(pairs[place])
    return None


def _move(counts: IntArray, step: IntArray) -> None:
    """Move a clutch from one animal to another."""
    counts[step[0]] -= 1
    counts[step[1]] += 1
