"""Places in use by day, counted for many drawn seasons at once."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
IntArray = NDArray[np.int64]


class PlacesInUse:
    """Places taken and left in each of some drawn seasons.

    Parameters
    ----------
    draws, n_days : int
        Seasons, and days counted in each.
    first : date
        First day counted.
    today : date
        Nothing is taken earlier.
    """

    def __init__(self, draws: int, n_days: int, first: dt.date, today: dt.date) -> None:
        self._shape = (draws, n_days + 1)
        self._first, self._least = first.toordinal(), today.toordinal() - first.toordinal()
        self._index: list[IntArray] = []
        self._number: list[IntArray] = []

    def take(self, day: Floats | IntArray, number: IntArray, rows: IntArray | None = None) -> None:
        """Take places from a day on: ordinal days and numbers of each draw, or of the draws named by `rows`."""
        self._add(day, number, rows)

    def leave(self, day: Floats | IntArray, number: IntArray, rows: IntArray | None = None) -> None:
        """Leave places from a day on; what was taken at the earliest is left at the earliest."""
        self._add(day, -number, rows)

    def _add(self, day: Floats | IntArray, number: IntArray, rows: IntArray | None) -> None:
        draws, width = self._shape
        rows = np.arange(draws) if rows is None else rows
        index = np.clip(np.asarray(day, dtype=np.int64) - self._first, self._least, width - 1)
        self._index.append(rows * width + index)
        self._number.append(number)

    def by_week(self) -> IntArray:
        """Places in use on the fullest day of each week, shape (n_draws, n_weeks)."""
        draws, width = self._shape
        index = np.concatenate([np.zeros(0, dtype=np.int64), *self._index])
        number = np.concatenate([np.zeros(0, dtype=np.int64), *self._number])
        change = np.bincount(index, weights=number, minlength=draws * width)
        in_use = np.cumsum(change.reshape(draws, width), axis=1)[:, : width - 1]
        fullest: Floats = in_use.reshape(draws, -1, 7).max(axis=2)
        return np.rint(fullest).astype(np.int64)
