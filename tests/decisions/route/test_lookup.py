"""Tables filled when asked: whole while small, else only the cells worked out."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.decisions.route import lookup
from holdback.decisions.route.lookup import Lookup


@pytest.mark.parametrize("most", [0, 20_000, lookup.MOST_CELLS])
def test_lookup__each_cell_is_worked_out_once_whatever_the_table(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lookup, "MOST_CELLS", most)
    asked: list[tuple[int, int]] = []

    def work_out(row: int, column: int) -> float:
        asked.append((row, column))
        return 1000.0 * row + column

    rng, table = np.random.default_rng(1), Lookup(work_out)
    for size in (50, 90, 200, 300):
        rows, columns = rng.integers(0, size, (2, 400))
        assert table(rows, columns).tolist() == (1000.0 * rows + columns).tolist()
    assert len(asked) == len(set(asked)) > 400


def test_lookup__far_cells_take_no_room() -> None:
    table = Lookup(lambda row, column: float(row + column))
    far = np.array([1, 2_000_000, 2_000_000])
    assert table(far, far[::-1].copy()).tolist() == [2_000_001.0, 4_000_000.0, 2_000_001.0]
