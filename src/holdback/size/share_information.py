"""How much of what sizes can tell of a line is left once ways of keeping may differ too.

In the regression of size on share of the line the information on the effect is the weighted sum of squares of the share
about its mean. Levels of a factor (rooms, years) that may differ freely take away what the share has in common with
them: what is left is 1 - R^2 of the regression of share on the levels. Levels that differ by a known spread take away
less. Both are the least of

    sum w (s - b - sum of level terms)^2 + (residual variance / level variance) * sum of (level terms)^2

over b and the terms, the second part being nothing where levels are free (the information matrix of Henderson's mixed
model equations with one unknown effect absorbed).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

LEVEL_SD = 0.15
"""Standard deviation between rooms or ways of feeding, log mass, where they are not free (assumed)."""

RESIDUAL_SD = 0.16
"""Standard deviation of adult log mass among animals of one line and one way of keeping (assumed)."""

NOT_KNOWN = ""
"""Level of an animal of which it is not recorded; each such animal is a level of its own."""


def information_left(
    shares: Sequence[float] | FloatArray,
    factors: Sequence[Sequence[str]],
    *,
    weights: Sequence[float] | FloatArray | None = None,
    level_sd: float = math.inf,
    residual_sd: float = RESIDUAL_SD,
) -> float:
    """Part of the information on a line's effect that is left once levels may differ.

    Parameters
    ----------
    shares : float array, shape (n_animals,)
        Expected share of the line in each animal weighed, in [0, 1].
    factors : sequence of sequences of str, each of length n_animals
        Level of each animal by each factor; "" where it is not known.
    weights : float array, shape (n_animals,), optional
        How much each animal tells, in any unit (1 / variance of its deviation); alike where left out.
    level_sd : float
        Standard deviation between levels on the log scale, above 0; infinite lets them differ freely.
    residual_sd : float
        Standard deviation of an animal of weight 1 about its expectation, above 0.

    Returns
    -------
    float
        In [0, 1], against levels whose effects are known; 0 where all shares are alike.

    Examples
    --------
    >>> information_left([0, 0, 1, 1], [["A", "A", "B", "B"]])
    0.0
    >>> information_left([0, 1, 0, 1], [["A", "A", "B", "B"]])
    1.0
    """
    share = np.asarray(shares, dtype=np.float64)
    weight = np.ones_like(share) if weights is None else np.asarray(weights, dtype=np.float64)
    assert all(len(one) == len(share) == len(weight) for one in factors), "one level and one weight for each animal"
    if weight.sum() <= 0:
        return 0.0
    total = _about_mean(share, weight)
    if total <= 1e-12 * weight.sum():
        return 0.0
    ridge = 0.0 if math.isinf(level_sd) else (residual_sd / level_sd) ** 2
    kept = _without_unknown(weight, factors, ridge)
    left = _least(share, kept, [coded(one) for one in factors], ridge)
    part = min(1.0, max(0.0, left / total))
    return 0.0 if part < 1e-9 else part


def coded(levels: Sequence[str]) -> IntArray:
    """Number of each animal's level, in alphabetical order, -1 where it is not known; shape (n_animals,)."""
    names = {name: number for number, name in enumerate(sorted(set(levels) - {NOT_KNOWN}))}
    return np.array([names.get(one, -1) for one in levels], dtype=np.int64)


def _about_mean(share: FloatArray, weight: FloatArray) -> float:
    """Weighted sum of squares about the weighted mean."""
    return float(weight @ (share - np.average(share, weights=weight)) ** 2)


def _without_unknown(weight: FloatArray, factors: Sequence[Sequence[str]], ridge: float) -> FloatArray:
    """Weights, an animal of an unknown level counting as the only one of its level."""
    unknown = sum((coded(one) < 0).astype(np.float64) for one in factors)
    if ridge == 0:
        return np.where(unknown > 0, 0.0, weight)
    return weight / (1 + weight * unknown / ridge)


def _least(share: FloatArray, weight: FloatArray, codes: Sequence[IntArray], ridge: float) -> float:
    """Least penalised sum of squares of the share about a mean and a term for each level.

    One dummy column for each level; an animal of an unknown level has none.
    """
    if weight.sum() <= 0:
        return 0.0
    centred = share - np.average(share, weights=weight)
    columns = [np.ones((len(share), 1))]
    for code in codes:
        columns.append((code[:, None] == np.arange(code.max(initial=-1) + 1)).astype(np.float64))
    design = np.hstack(columns)
    penalty = np.full(design.shape[1], ridge)
    penalty[0] = 0.0
    left = design.T * weight
    right = left @ centred
    solved = np.linalg.lstsq(left @ design + np.diag(penalty), right, rcond=1e-10)[0]
    return float(weight @ centred**2 - right @ solved)
