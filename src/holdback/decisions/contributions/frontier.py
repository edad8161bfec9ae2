"""Gain against inbreeding: what each step of inbreeding buys, and that in words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

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


def frontier_in_words(found: Sequence[Contributions], *, unit: str = "%", factor: float = 100.0) -> tuple[str, ...]:
    """What the steps of a `frontier` buy, a sentence each.

    Parameters
    ----------
    found : sequence of Contributions
        From the least inbreeding to the most gain.
    unit : str
        Unit of the gain as shown.
    factor : float
        What a gain is multiplied by for it.
    """
    base = found[0]
    shown = [f"Bred for the least inbreeding, the young are {base.group_kinship:.3f} akin on average: {_part(base)}."]
    for before, after in pairwise(found):
        step = factor * (after.gain - before.gain)
        bought = f"Up to {after.group_kinship:.3f} it buys {step:.1f} {unit} more"
        shown.append(f"{bought}: {_part(after)}.")
    if len(found) == 1:
        shown.append("No other choice of these animals gains more.")
    return tuple(shown)


def _part(one: Contributions) -> str:
    """How many animals take part."""
    count = int((one.shares > 1e-6).sum())
    return f"{count} of {len(one.animals)} animals take part"
