"""Gain against inbreeding: what each step of inbreeding buys."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.contributions.optimum import Contributions, contributions, least_inbreeding, most_gain

FloatArray = npt.NDArray[np.float64]


def frontier(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    *,
    most: Sequence[float] | FloatArray | None = None,
    points: int = 6,
) -> tuple[Contributions, ...]:
    """Answers from the least inbreeding to the most gain, evenly spread over the group kinship.

    Parameters
    ----------
    animals, gains, kinship, sexes, most
        As in `contributions`.
    points : int
        How many, at least 2; fewer come back where the two ends are one.
    """
    first, last = (end(animals, gains, kinship, sexes, most=most) for end in (least_inbreeding, most_gain))
    if last.group_kinship - first.group_kinship < 1e-9:
        return (last,)
    limits = np.linspace(first.group_kinship, last.group_kinship, points)[1:-1]
    between = (
        contributions(animals, gains, kinship, sexes, group_kinship_at_most=float(limit), most=most) for limit in limits
    )
    return (first, *between, last)
