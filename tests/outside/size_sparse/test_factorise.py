from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.outside.size_sparse.drawn import equations, model, relationships

from holdback.descent.pedigree import Pedigree
from holdback.errors import SizeError
from holdback.size.sparse import factorise as module
from holdback.size.sparse import ordering_fast
from holdback.size.sparse.coefficients import Coefficients
from holdback.size.sparse.conjugate_gradient import solve_by_conjugate_gradient
from holdback.size.sparse.factorise import Symbolic, factorise
from holdback.size.sparse.model import AnimalModel

RATIO = 1.5


def dense_inverse(given: AnimalModel) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Inverse of the coefficients, animals before groups as in `Coefficients`."""
    turned = np.roll(np.arange(given.n + given.n_groups), -given.n_groups)
    table = equations(given, RATIO)[0]
    return np.linalg.inv(table)[np.ix_(turned, turned)].astype(np.float64)


@pytest.fixture(params=["as it is", "dense tail", "hubs and tail"])
def _kinds(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The small models with and without a dense tail, and with nodes of many links apart."""
    if request.param != "as it is":
        monkeypatch.setattr(module, "_LEAST_TAIL", 5)
    if request.param == "hubs and tail":
        # a constant of compiled code is fixed when it is compiled: run it uncompiled
        for name, kernel in list(vars(ordering_fast).items()):
            if hasattr(kernel, "py_func"):
                monkeypatch.setattr(ordering_fast, name, kernel.py_func)
        monkeypatch.setattr(ordering_fast, "HUB", 0.0)
        monkeypatch.setattr(ordering_fast, "HUB_LEAST", 9.0)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.usefixtures("_kinds")
def test_factorise__is_the_dense_table(seed: int) -> None:
    given = model(70, seed)
    table, right = equations(given, RATIO)
    factor = factorise(given, RATIO)
    assert factor.log_determinant == pytest.approx(np.linalg.slogdet(table)[1], rel=1e-12)
    found = factor.solution(*given.right_side(given.values))
    assert np.append(found.groups, found.animals) == pytest.approx(np.linalg.solve(table, right), abs=1e-10)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.usefixtures("_kinds")
def test_inverse_at__is_the_dense_inverse_on_the_pattern_of_the_factor(seed: int) -> None:
    given = model(70, seed)
    symbolic = Symbolic.of(given)
    cols = np.repeat(np.arange(len(symbolic.order)), np.diff(symbolic.col_starts))
    rows, cols = symbolic.order[symbolic.rows].astype(np.int64), symbolic.order[cols].astype(np.int64)
    every = np.arange(len(symbolic.order))
    rows, cols = np.append(rows, every), np.append(cols, every)
    assert symbolic.factor(RATIO).inverse_at(rows, cols) == pytest.approx(dense_inverse(given)[rows, cols], abs=1e-11)


@pytest.mark.parametrize("seed", range(4))
def test_reliabilities__are_those_of_the_dense_inverse(seed: int) -> None:
    given = model(70, seed)
    own = np.diag(relationships(given))
    dense = 1.0 - RATIO * np.diag(dense_inverse(given))[: given.n] / own
    found = factorise(given, RATIO).reliabilities(RATIO)
    assert found == pytest.approx(dense, abs=1e-10)
    assert found.max() < 1.0


def test_reliabilities__textbook() -> None:
    """Example 3.1 of Mrode, data beside the other examples; reliabilities as printed."""
    file = Path(__file__).parents[2] / "outside" / "size_mixed_published.json"
    printed: dict[str, Any] = json.loads(file.read_text("utf-8"))["weaning"]
    family = Pedigree.from_parents({name: (sire, dam) for name, (sire, dam) in printed["parents"].items()})
    given = AnimalModel.of(
        family,
        animals=np.array([family.index[name] for name in printed["animals"]]),
        groups=1 - np.array(printed["male"]),
        values=np.array(printed["values"]),
    )
    found = factorise(given, 2.0).reliabilities(2.0)[[family.index[name] for name in printed["parents"]]]
    assert found == pytest.approx([0.058, 0.016, 0.087, 0.145, 0.144, 0.115, 0.116, 0.155], abs=2e-3)


def test_solution__is_that_of_conjugate_gradients_with_inbreeding_and_hubs() -> None:
    given = model(600, 3, groups=3)
    exact = factorise(given, RATIO).solution(*given.right_side(given.values))
    stepwise = solve_by_conjugate_gradient(given, RATIO, tolerance=1e-13)
    assert exact.animals == pytest.approx(stepwise.animals, abs=1e-10)
    assert exact.groups == pytest.approx(stepwise.groups, abs=1e-10)


def test_ordered__does_no_worse_than_the_order_of_birth() -> None:
    given = model(200, 5)
    symbolic = Symbolic.of(given)
    assert sorted(symbolic.order.tolist()) == list(range(given.n + given.n_groups))
    table = np.zeros((len(symbolic.order), len(symbolic.order)), dtype=np.bool_)
    coefficients = Coefficients.of(given)
    table[coefficients.rows, coefficients.cols] = table[coefficients.cols, coefficients.rows] = True
    by_birth = 0
    for node in range(len(table)):
        linked = node + 1 + np.flatnonzero(table[node, node + 1 :])
        table[np.ix_(linked, linked)] = True
        by_birth += len(linked)
    assert symbolic.n_entries < by_birth


def test_factorise__refuses_a_factor_that_is_too_large() -> None:
    with pytest.raises(SizeError, match=r"SIZ-221 field pedigree: .* more than 50 entries\. Solve by conjugate"):
        factorise(model(60, 1), RATIO, most=50)


def test_factorise__says_that_it_needs_numba(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    with pytest.raises(SizeError, match="SIZ-224: Factorising needs compiled code"):
        factorise(model(30, 1), RATIO)
