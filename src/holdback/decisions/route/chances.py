"""Chance of a wanted young over all loci of a goal, kept once for each different one.

A *factor* is what one locus (or the wish for a sex) gives: a number where neither parent's true state matters, else a
table over the states that sire and dam may have. A *product* is one factor from each locus; what they are multiplied in
makes no difference, so that few different products stand for many crosses.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.decisions.route.lookup import Lookup

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
Table = tuple[tuple[float, ...], ...]

CERTAIN = 0
"""Product of nothing: every young will do."""
_DIGITS = 12


@dataclass(frozen=True, slots=True)
class Mixed:
    """Chances of a wanted young by what the parents may be.

    Parameters
    ----------
    sire, dam : tuple of float
        Chances of the sire's and of the dam's states; each sums to 1.
    q : tuple of tuple of float
        Chance of a wanted young for each of both.
    """

    sire: tuple[float, ...]
    dam: tuple[float, ...]
    q: Table


@dataclass(eq=False)
class Chances:
    """Store of factors and products."""

    _factors: list[float | Mixed] = field(default_factory=list)
    _factor_of: dict[float | Mixed, int] = field(default_factory=dict)
    _products: list[tuple[float, tuple[int, ...]]] = field(default_factory=lambda: [(1.0, ())])
    _product_of: dict[tuple[float, tuple[int, ...]], int] = field(default_factory=lambda: {(1.0, ()): CERTAIN})
    _times: Lookup = field(init=False)

    def __post_init__(self) -> None:
        self._times = Lookup(self._multiplied)

    def factor(self, sire: Sequence[float], dam: Sequence[float], q: Table) -> int:
        """Number of a factor."""
        found: float | Mixed = _merged(sire, dam, q)
        if isinstance(found, Mixed) and len(found.sire) == 1 and len(found.dam) == 1:
            found = found.q[0][0]
        if found not in self._factor_of:
            self._factor_of[found] = len(self._factors)
            self._factors.append(found)
        return self._factor_of[found]

    def plain(self, q: float) -> int:
        """Number of a factor that is one chance."""
        return self.factor((1.0,), (1.0,), ((q,),))

    def times(self, products: IntArray, factors: IntArray) -> IntArray:
        """Products, each with one factor more."""
        return self._times(products, factors).astype(np.int64)

    def joint(self, product: int) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Chances of the sire's states, of the dam's, and q for each of both, over all loci together."""
        plain, parts = self._products[product]
        sire: FloatArray = np.ones(1)
        dam: FloatArray = np.ones(1)
        q: FloatArray = np.full((1, 1), plain)
        for part in parts:
            mixed = self._factors[part]
            assert isinstance(mixed, Mixed), "plain factors are in the plain part"
            sire, dam = np.kron(sire, np.array(mixed.sire)), np.kron(dam, np.array(mixed.dam))
            q = np.kron(q, np.array(mixed.q))
        return sire, dam, q

    def mean(self, product: int) -> float:
        """Chance of a wanted young, mixed over what the parents may be."""
        sire, dam, q = self.joint(product)
        return float(sire @ q @ dam)

    def _multiplied(self, product: int, factor: int) -> int:
        plain, parts = self._products[product]
        mine = self._factors[factor]
        key = (round(plain * mine, _DIGITS), parts) if isinstance(mine, float) else (plain, _sorted(parts, factor))
        if key not in self._product_of:
            self._product_of[key] = len(self._products)
            self._products.append(key)
        return self._product_of[key]


def _sorted(parts: tuple[int, ...], more: int) -> tuple[int, ...]:
    return tuple(sorted((*parts, more)))


def _merged(sire: Sequence[float], dam: Sequence[float], q: Table) -> Mixed:
    """States that give the same chances, taken together."""
    weights, rows = _alike(sire, [tuple(round(cell, _DIGITS) for cell in row) for row in q])
    others, columns = _alike(dam, list(zip(*rows, strict=True)))
    return Mixed(weights, others, tuple(zip(*columns, strict=True)))


def _alike(weights: Sequence[float], rows: Sequence[tuple[float, ...]]) -> tuple[tuple[float, ...], Table]:
    found: dict[tuple[float, ...], float] = {}
    for weight, row in zip(weights, rows, strict=True):
        found[row] = found.get(row, 0.0) + weight
    return tuple(round(weight, _DIGITS) for weight in found.values()), tuple(found)
