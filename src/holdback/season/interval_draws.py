"""Lengths drawn for many females at once, so that all of one draw share what is not known of the keeper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holdback.season.dam_regression import Drawn
from holdback.season.spans import Span

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

_Z = np.linspace(-8.0, 8.0, 16001)
_UPTO = np.cumsum(np.exp(-(_Z**2) / 2))
_UPTO /= _UPTO[-1]


@dataclass(frozen=True, eq=False)
class SpanDraws:
    """Parameter sets of one length.

    Parameters
    ----------
    n : int
        Sets.
    parts : tuple of (rows, Drawn, columns)
        Sets that share a warmth of unmeasured boxes, and their columns.
    at : float
        Warmth in degrees Celsius that the second column counts from.
    """

    n: int
    parts: tuple[tuple[IntArray, Drawn, FloatArray], ...]
    at: float

    def law(self, dam: str, celsius: float | None) -> tuple[FloatArray, FloatArray]:
        """Mean and standard deviation of the logarithm in each set, arrays of shape (n,)."""
        mean, sd = np.empty(self.n), np.empty(self.n)
        for rows, drawn, columns in self.parts:
            x = columns
            if celsius is not None and len(columns) > 1:
                x = np.array([1.0, celsius - self.at])
            mean[rows], sd[rows] = drawn.means(x, dam)
        return mean, sd


@dataclass(frozen=True, eq=False)
class IntervalDraws:
    """Sets of what the lengths may be; each set is one world."""

    _spans: Mapping[Span, SpanDraws]

    def days(
        self,
        span: Span,
        rng: np.random.Generator,
        *,
        dam: str = "",
        celsius: float | None = None,
        longer_than: int = -1,
    ) -> IntArray:
        """One length a set, as array of shape (n,) of whole days.

        Parameters
        ----------
        span : Span
            Which; it must be one that `Intervals.length` knows.
        rng : Generator
            Random numbers.
        dam : str
            Her id.
        celsius : float, optional
            Mean warmth of the eggs.
        longer_than : int
            Days that have passed without it; only longer ones are drawn, and 1 more where none can be.
        """
        mean, sd = self._spans[span].law(dam, celsius)
        least = np.zeros_like(mean)
        if longer_than >= 0:
            least = np.interp((np.log(longer_than + 0.5) - mean) / sd, _Z, _UPTO)
        u = least + (1 - least) * rng.random(len(mean))
        days = np.rint(np.exp(mean + sd * np.interp(u, _UPTO, _Z))).astype(np.int64)
        return np.maximum(days, longer_than + 1)
