"""Tables whose cells are worked out when first asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

_START = 64


@dataclass(eq=False)
class Lookup:
    """Numbers by row and column, both from 0 on.

    Parameters
    ----------
    work_out : callable
        Number of a row and a column; 0 or more.
    """

    work_out: Callable[[int, int], float]
    _cells: FloatArray = field(default_factory=lambda: np.full((_START, _START), -1.0))

    def __call__(self, rows: IntArray, columns: IntArray) -> FloatArray:
        """Numbers of many cells."""
        if not len(rows):
            return np.empty(0)
        self._grow(int(rows.max()) + 1, int(columns.max()) + 1)
        found: FloatArray = self._cells[rows, columns]
        missing = found < 0
        if missing.any():
            width = self._cells.shape[1]
            for cell in np.unique(rows[missing] * width + columns[missing]).tolist():
                self._cells[divmod(cell, width)] = self.work_out(*divmod(cell, width))
            found = self._cells[rows, columns]
        return found

    def _grow(self, rows: int, columns: int) -> None:
        have = self._cells.shape
        if rows > have[0] or columns > have[1]:
            grown = np.full((max(have[0], 2 * rows), max(have[1], 2 * columns)), -1.0)
            grown[: have[0], : have[1]] = self._cells
            self._cells = grown
