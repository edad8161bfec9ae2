"""Sums over products of small tables, one variable at a time (exact).

References
----------
Elston & Stewart (1971), A general model for the genetic analysis of pedigree data.
Cannings, Thompson & Skolnick (1978), Probability functions on complex pedigrees.
"""

from __future__ import annotations

import math
import string
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.heredity.proving.modes import FloatArray


@dataclass(frozen=True, eq=False)
class Factor:
    """A non-negative table over the states of some animals.

    Parameters
    ----------
    keys : tuple of str
        Animals, one axis each, all different.
    table : float array, shape (7,) * len(keys)
        Values.
    log_scale : float
        Logarithm of what the values were divided by.
    """

    keys: tuple[str, ...]
    table: FloatArray
    log_scale: float = 0.0


def summed(factors: Sequence[Factor], keep: tuple[str, ...] = ()) -> tuple[FloatArray, float]:
    """Sum of the product of factors over all animals but those kept.

    Parameters
    ----------
    factors : sequence of Factor
        At least one.
    keep : tuple of str
        Animals whose axes remain, in this order; each in some factor.

    Returns
    -------
    table : float array, shape (7,) * len(keep)
        Scaled so that its largest entry is 1, or all 0.
    log_scale : float
        Logarithm of what it was divided by; minus infinity where all is 0.
    """
    work = list(factors)
    log_scale = math.fsum(factor.log_scale for factor in factors)
    neighbours = _neighbours(factors)
    waiting = sorted(neighbours.keys() - set(keep))
    while waiting:
        key = min(waiting, key=lambda one: len(neighbours[one]))
        waiting.remove(key)
        around = neighbours.pop(key)
        for other in around:
            neighbours[other] = (neighbours[other] | around) - {key, other}
        touching = [factor for factor in work if key in factor.keys]
        work = [factor for factor in work if key not in factor.keys]
        merged, log_part = _product(touching, tuple(sorted(around)))
        work.append(merged)
        log_scale += log_part
    whole, log_part = _product(work, keep)
    return whole.table, log_scale + log_part


def _neighbours(factors: Sequence[Factor]) -> dict[str, set[str]]:
    """Animals that share a factor with each animal."""
    found: dict[str, set[str]] = {}
    for factor in factors:
        for key in factor.keys:
            found.setdefault(key, set()).update(set(factor.keys) - {key})
    return found


def _product(factors: Sequence[Factor], keep: tuple[str, ...]) -> tuple[Factor, float]:
    """Product of factors summed to some axes and scaled to a largest entry of 1."""
    letters = dict(zip(sorted({key for factor in factors for key in factor.keys}), string.ascii_letters, strict=False))
    terms = ",".join("".join(letters[key] for key in factor.keys) for factor in factors)
    wanted = "".join(letters[key] for key in keep)
    tables = [factor.table for factor in factors]
    table: FloatArray = np.asarray(np.einsum(f"{terms}->{wanted}", *tables, optimize=len(factors) > 2))
    top = float(table.max())
    if top <= 0.0:
        return Factor(keep, table), -math.inf
    return Factor(keep, table / top), math.log(top)
