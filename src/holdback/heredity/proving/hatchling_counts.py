"""How many young of one clutch can be looked at, as a distribution."""

from __future__ import annotations

import math

from holdback.heredity.crosses.clutch import EggCount

_NEGLIGIBLE = 1e-12


def hatchling_counts(eggs: EggCount) -> tuple[tuple[int, float], ...]:
    """Distribution of the number of young that hatch from one clutch.

    Parameters
    ----------
    eggs : EggCount
        Eggs, hatch rate and chance that the whole clutch fails.

    Returns
    -------
    tuple of (int, float)
        Numbers from 0 and their chances, summing to 1.

    Examples
    --------
    >>> hatchling_counts(EggCount.fixed(2, 0.5))
    ((0, 0.25), (1, 0.5), (2, 0.25))
    """
    chances = [0.0] * (eggs.sizes[-1][0] + 1)
    for rate, weight in eggs.hatch:
        for n, chance in eggs.sizes:
            for k in range(n + 1):
                hatching = math.comb(n, k) * rate**k * (1.0 - rate) ** (n - k)
                chances[k] += (1.0 - eggs.failure) * weight * chance * hatching
    chances[0] += eggs.failure
    kept = [(n, chance) for n, chance in enumerate(chances) if chance > _NEGLIGIBLE]
    total = math.fsum(chance for _, chance in kept)
    return tuple((n, chance / total) for n, chance in kept)
