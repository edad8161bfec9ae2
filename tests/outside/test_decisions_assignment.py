"""Pairs by assignment, held against a worked table and against scipy's mixed integer solver."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]
from scipy.sparse import coo_matrix  # type: ignore[import-untyped]

from holdback.decisions.season_plan import pair_up

pytestmark = pytest.mark.outside

COST = np.array([[9, 2, 7, 8], [6, 4, 3, 7], [5, 8, 1, 8], [7, 6, 9, 4]], dtype=float)
"""A common textbook table of the assignment problem: least 13, largest 33, each by trying all 24 assignments."""


def test_pair_up__least_and_largest_of_a_worked_table() -> None:
    least = pair_up(100 - COST, np.ones(4, dtype=np.int64))
    largest = pair_up(COST, np.ones(4, dtype=np.int64))
    assert COST[least[:, 0], least[:, 1]].sum() == 13
    assert COST[largest[:, 0], largest[:, 1]].sum() == 33


@pytest.mark.parametrize("seed", range(6))
def test_pair_up__equals_highs(seed: int) -> None:
    """HiGHS through scipy.optimize.milp on the same transport problem."""
    rng = np.random.default_rng(seed)
    worth = rng.integers(-20, 101, (8, 30)).astype(float)
    worth[rng.random(worth.shape) < 0.2] = np.nan
    caps = rng.integers(0, 6, 8)
    pairs = pair_up(worth, caps)
    assert len(np.unique(pairs[:, 1])) == len(pairs)
    assert (np.bincount(pairs[:, 0], minlength=8) <= caps).all()
    assert worth[pairs[:, 0], pairs[:, 1]].sum() == pytest.approx(by_highs(worth, caps))


def by_highs(worth: np.ndarray, caps: np.ndarray) -> float:
    sire, dam = np.nonzero(worth > 0)
    n = len(sire)
    rows = coo_matrix((np.ones(2 * n), (np.concatenate([sire, 8 + dam]), np.tile(np.arange(n), 2))), shape=(38, n))
    high = np.concatenate([caps, np.ones(30)])
    limits = LinearConstraint(rows.tocsr(), -np.inf, high)
    found = milp(-worth[sire, dam], constraints=limits, integrality=np.ones(n), bounds=Bounds(0, 1))
    return float(-found.fun)
