"""Tables whose cells are worked out when first asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

MOST_CELLS = 4_000_000
"""Cells of a whole table (32 MB); a larger one holds those worked out alone: few of them are ever asked for."""
_START = 64


@dataclass(eq=False)
class Lookup:
    """Numbers by row and column, both from 0 on and below 2^31.

    Parameters
    ----------
    work_out : callable
        Number of a row and a column; 0 or more.
    """

    work_out: Callable[[int, int], float]
    _cells: FloatArray | None = field(default_factory=lambda: np.full((_START, _START), -1.0))
    _keys: IntArray = field(default_factory=lambda: np.empty(0, np.int64))
    _values: FloatArray = field(default_factory=lambda: np.empty(0))

    def __call__(self, rows: IntArray, columns: IntArray) -> FloatArray:
        """Numbers of many cells."""
        if not len(rows):
            return np.empty(0)
        self._grow(int(rows.max()) + 1, int(columns.max()) + 1)
        return self._of_few(rows, columns) if self._cells is None else self._of_whole(self._cells, rows, columns)

    def _of_whole(self, cells: FloatArray, rows: IntArray, columns: IntArray) -> FloatArray:
        found: FloatArray = cells[rows, columns]
        missing = found < 0
        if missing.any():
            width = cells.shape[1]
            for cell in np.unique(rows[missing] * width + columns[missing]).tolist():
                cells[divmod(cell, width)] = self.work_out(*divmod(cell, width))
            found = cells[rows, columns]
        return found

    def _of_few(self, rows: IntArray, columns: IntArray) -> FloatArray:
        """The same where those worked out stand one after the other, by row and column."""
        asked = _key(rows, columns)
        keys = np.unique(asked)
        new = keys[~np.isin(keys, self._keys, assume_unique=True)]
        if len(new):
            more = np.array([self.work_out(*divmod(key, 1 << 32)) for key in new.tolist()])
            order = np.argsort(np.concatenate([self._keys, new]), kind="stable")
            self._keys = np.concatenate([self._keys, new])[order]
            self._values = np.concatenate([self._values, more])[order]
        found: FloatArray = self._values[np.searchsorted(self._keys, asked)]
        return found

    def _grow(self, rows: int, columns: int) -> None:
        if self._cells is None:
            return
        have = self._cells.shape
        if rows <= have[0] and columns <= have[1]:
            return
        wanted = (max(have[0], 2 * rows), max(have[1], 2 * columns))
        if wanted[0] * wanted[1] > MOST_CELLS:
            known = np.nonzero(self._cells >= 0)
            self._keys, self._values = _key(*known), self._cells[known]
            self._cells = None
            return
        grown = np.full(wanted, -1.0)
        grown[: have[0], : have[1]] = self._cells
        self._cells = grown


def _key(rows: IntArray, columns: IntArray) -> IntArray:
    return rows.astype(np.int64) << 32 | columns
