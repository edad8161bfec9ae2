"""What a breeder can do so that a line can be told from the way its animals are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from holdback.size.share_information import NOT_KNOWN, information_left

FloatArray = npt.NDArray[np.float64]

MOST_SWAPPED = 6
MOST_LEVELS = 8
NEARLY_ALL = 0.8
"""The fewest animals that bring this part of the most that swapping brings are proposed."""


@dataclass(frozen=True, slots=True)
class Swap:
    """Animals that would have to change places.

    Parameters
    ----------
    first, second : str
        The level with the higher mean share, and that with the lower.
    n_animals : int
        How many of the highest share go from the first to the second, and of the lowest the other way.
    left_now, left_then : float
        Information left on the effect of the line, levels free, in [0, 1].
    """

    first: str
    second: str
    n_animals: int
    left_now: float
    left_then: float


def best_swap(
    shares: Sequence[float] | FloatArray, levels: Sequence[str], *, weights: Sequence[float] | FloatArray | None = None
) -> Swap | None:
    """The fewest animals between two levels whose swap would tell most of what any swap would.

    Parameters
    ----------
    shares : float array, shape (n_animals,)
        Share of the line in each animal weighed.
    levels : sequence of str, length n_animals
        Level of each; "" where it is not known.
    weights : float array, shape (n_animals,), optional
        As in `information_left`.

    Returns
    -------
    Swap or None
        None where there are no two levels of different mean share, or no swap tells more.

    Notes
    -----
    Tries up to `MOST_SWAPPED` animals between any two of the `MOST_LEVELS` fullest levels, never more than half of the
    animals of the smaller one (one of one).
    """
    share = np.asarray(shares, dtype=np.float64)
    now = information_left(share, [levels], weights=weights)
    found = [
        Swap(first, second, n_animals, now, information_left(share, [swapped], weights=weights))
        for first, second in _pairs(share, levels)
        for n_animals, swapped in _swaps(share, levels, first, second)
    ]
    most = max((one.left_then for one in found), default=now)
    if most <= now + 0.02:
        return None
    good = [one for one in found if one.left_then >= now + NEARLY_ALL * (most - now)]
    return min(good, key=lambda one: (one.n_animals, -one.left_then, one.first, one.second))


def _pairs(share: FloatArray, levels: Sequence[str]) -> list[tuple[str, str]]:
    """Pairs of the fullest levels, that of the higher mean share first; those of equal mean left out."""
    at = np.array(levels)
    names = sorted(set(levels) - {NOT_KNOWN}, key=lambda one: (-int((at == one).sum()), one))[:MOST_LEVELS]
    means = {one: float(share[at == one].mean()) for one in names}
    ordered = [tuple(sorted(pair, key=lambda one: -means[one])) for pair in combinations(names, 2)]
    return [(first, second) for first, second in ordered if means[first] > means[second] + 1e-9]


def _swaps(share: FloatArray, levels: Sequence[str], first: str, second: str) -> list[tuple[int, list[str]]]:
    """Levels after the swap of one, two, ... animals of the highest share here with those of the lowest there."""
    at = np.array(levels)
    highest = sorted(np.flatnonzero(at == first), key=lambda one: -share[one])
    lowest = sorted(np.flatnonzero(at == second), key=lambda one: share[one])
    most = min(MOST_SWAPPED, max(1, min(len(highest), len(lowest)) // 2))
    found = []
    for n_animals in range(1, most + 1):
        swapped = list(levels)
        for one, other in zip(highest[:n_animals], lowest[:n_animals], strict=True):
            swapped[one], swapped[other] = second, first
        found.append((n_animals, swapped))
    return found
