from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.outside.size_sparse.drawn import equations, model

from holdback.descent.pedigree import Pedigree
from holdback.errors import SizeError
from holdback.size.sparse import conjugate_gradient, sweep_fast
from holdback.size.sparse.conjugate_gradient import Equations, solve_by_conjugate_gradient
from holdback.size.sparse.elimination import Elimination, sweep
from holdback.size.sparse.forest import Forest
from holdback.size.sparse.model import AnimalModel

BOTH = pytest.mark.parametrize("compiled", [False, True])

TIGHT = 1e-13
"""Residual asked for where the solution is held against a dense one."""


@BOTH
@pytest.mark.parametrize("ratio", [0.2, 1.5, 40.0])
@pytest.mark.parametrize("seed", range(4))
def test_solve__is_the_dense_solution(seed: int, ratio: float, compiled: bool) -> None:
    given = model(70, seed)
    assert given.inbreeding.max() > 0.1
    table, right = equations(given, ratio)
    dense = np.linalg.solve(table, right)
    found = solve_by_conjugate_gradient(given, ratio, tolerance=TIGHT, compiled=compiled)
    assert np.append(found.groups, found.animals) == pytest.approx(dense, abs=1e-10)
    assert np.linalg.norm(table @ dense - right) <= TIGHT * np.linalg.norm(right) * 10


@BOTH
def test_solve__textbook(compiled: bool) -> None:
    """Example 3.1 of Mrode; source beside the numbers."""
    file = Path(__file__).parents[2] / "outside" / "size_mixed_published.json"
    printed: dict[str, Any] = json.loads(file.read_text("utf-8"))["weaning"]
    family = Pedigree.from_parents({name: (sire, dam) for name, (sire, dam) in printed["parents"].items()})
    given = AnimalModel.of(
        family,
        animals=np.array([family.index[name] for name in printed["animals"]]),
        groups=1 - np.array(printed["male"]),
        values=np.array(printed["values"]),
    )
    found = solve_by_conjugate_gradient(given, printed["residual"] / printed["additive"], compiled=compiled)
    assert found.groups == pytest.approx(printed["sexes"], abs=6e-5)
    order = [family.index[name] for name in printed["parents"]]
    assert found.animals[order] == pytest.approx(printed["breeding_values"], abs=6e-5)


@BOTH
def test_solve__pedigree_without_breeders(compiled: bool) -> None:
    given = AnimalModel.of(
        Pedigree.from_parents(dict.fromkeys("ABC", (None, None))),
        animals=np.arange(3),
        groups=np.zeros(3, dtype=np.int64),
        values=np.array([1.0, 2.0, 6.0]),
    )
    found = solve_by_conjugate_gradient(given, 3.0, compiled=compiled)
    assert found.groups == pytest.approx([3.0], abs=1e-12)
    assert found.animals == pytest.approx([-0.5, -0.25, 0.75], abs=1e-12)


@BOTH
def test_solve__stated_residual_is_the_true_one(compiled: bool) -> None:
    given = model(120, 7)
    table, right = equations(given, 2.0)
    found = solve_by_conjugate_gradient(given, 2.0, tolerance=1e-4, compiled=compiled)
    true = np.linalg.norm(right - table @ np.append(found.groups, found.animals)) / np.linalg.norm(right)
    assert found.residual == pytest.approx(true, rel=1e-6)
    assert 1e-12 < true <= 1e-4


def test_solution__begins_where_told() -> None:
    given = model(200, 8)
    at = Equations(given, compiled=False).at(1.0)
    right = given.right_side(given.values)
    first = at.solution(*right, tolerance=1e-12)
    again = at.solution(*right, tolerance=1e-12, start=first)
    assert again.iterations == 0
    assert again.animals == pytest.approx(first.animals, abs=1e-12)


def test_solve__two_threads_are_one_to_the_last_bit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sweep_fast, "SHARED", 100)
    given = model(300, 9)
    forest = Forest.of(given, compiled=True)
    elimination = Elimination.of(forest, 1.5, compiled=True)
    random = np.random.default_rng(np.random.SeedSequence([23, 9]))
    x, start = random.standard_normal(forest.n_slots), random.standard_normal(len(forest.order))
    x[forest.nobody] = 0.0
    one, two = (sweep_fast.Sweeper(forest, elimination, threads=number) for number in (1, 2))
    assert (one.threads, two.threads) == (1, 2)
    plain = sweep(forest, elimination, x, start)
    for given_start in (start, None):
        for mine, other in zip(one.sweep(x, given_start), two.sweep(x, given_start), strict=True):
            assert mine.tobytes() == other.tobytes()
    for mine, slow in zip(one.sweep(x, start), plain, strict=True):
        assert mine[: forest.nobody] == pytest.approx(slow[: forest.nobody], abs=1e-11)
    assert two.sweep(x, start)[1] == pytest.approx(plain[1], abs=1e-11)


def test_elimination__compiled_is_plain() -> None:
    forest = Forest.of(model(200, 10), compiled=False)
    plain, fast = (Elimination.of(forest, 0.7, compiled=compiled) for compiled in (False, True))
    assert fast.inverse_pivots == pytest.approx(plain.inverse_pivots, rel=1e-12)
    assert fast.cut_pivots == pytest.approx(plain.cut_pivots, rel=1e-12)


def test_solve__refuses_what_rounding_does_not_allow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(conjugate_gradient, "MOST", 50)
    with pytest.raises(SizeError, match=r"SIZ-223 field tolerance: .* 1e-18 was asked for"):
        solve_by_conjugate_gradient(model(60, 11), 1.0, tolerance=1e-18)


def test_solve__refuses_a_ratio_that_cannot_be() -> None:
    with pytest.raises(SizeError, match="SIZ-223 field ratio: The ratio of variances is 0"):
        solve_by_conjugate_gradient(model(30, 12), 0.0)
