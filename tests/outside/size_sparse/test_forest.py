from __future__ import annotations

import numpy as np
import pytest
from tests.outside.size_sparse.drawn import model

from holdback.size.sparse.forest import Forest, laid_out
from holdback.size.sparse.layout_fast import laid_out_fast


def test_laid_out__puts_each_tree_from_its_root_with_the_oldest_young_first() -> None:
    # 0 is the only sire; 1 has the young 3 and 5, 3 has 4 and 6, 2 stands alone
    columns = np.array([[-1, -1], [-1, -1], [-1, -1], [0, 1], [0, 3], [0, 1], [0, 3]], dtype=np.int32)
    order, starts = laid_out(columns, np.array([True] + 6 * [False]))
    assert order.tolist() == [1, 3, 4, 6, 5, 2]
    assert starts.tolist() == [0, 5, 6]


@pytest.mark.parametrize("seed", range(6))
def test_laid_out_fast__is_the_plain_one(seed: int) -> None:
    given = model(150, seed)
    is_cut = np.isin(np.arange(given.n), given.parents[:, 0])
    for plain, fast in zip(laid_out(given.parents, is_cut), laid_out_fast(given.parents, is_cut), strict=True):
        assert plain.tolist() == fast.tolist()


@pytest.mark.parametrize("seed", range(4))
def test_forest__gives_every_animal_one_place_or_slot(seed: int) -> None:
    given = model(80, seed)
    forest = Forest.of(given, compiled=False)
    assert sorted([*forest.order.tolist(), *forest.cut.tolist()]) == list(range(given.n))
    young = forest.parents >= 0
    assert (forest.parents[young] < np.flatnonzero(young)).all()
    assert forest.row_starts[0] == 0
    assert forest.row_starts[-1] == len(forest.cut)
    inside = float(forest.weights.sum() + forest.rows.weights.sum() + forest.extras.weights.sum())
    assert inside == pytest.approx(float(given.weights.sum()), rel=1e-12)
