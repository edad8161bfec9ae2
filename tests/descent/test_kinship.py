"""Relationship, inbreeding and kinship against values by hand, and one way against another.

Printed tables are in ``tests/outside/test_descent_published.py``.
"""

from __future__ import annotations

import importlib.util
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.descent.strategies import drafts, pedigrees, shuffled

from holdback.descent import kinship as module
from holdback.descent.kinship import inbreeding, kinship, offspring_inbreeding, relationship
from holdback.descent.pedigree import Draft, Pedigree, assembled
from holdback.descent.walk import inbreeding_by_walk

EXACT = 1e-12
"""Sums of a few dozen products of doubles."""

SIX = {"1": (None, None), "2": (None, None), "3": ("1", "2"), "4": ("1", None), "5": ("4", "3"), "6": ("5", "2")}


def by_id(pedigree: Pedigree, order: list[str]) -> list[int]:
    return [pedigree.index[one] for one in order]


@pytest.mark.parametrize(
    "parents, pair, expected",
    [
        ({"A": ("S", "D"), "B": ("S", "D"), "a": ("A", "x"), "b": ("B", "y")}, ("a", "b"), 1 / 16),
        (
            {"A": ("S", "D"), "B": ("S", "D"), "C": ("T", "E"), "F": ("T", "E"), "a": ("A", "C"), "b": ("B", "F")},
            ("a", "b"),
            1 / 8,
        ),
        ({"A": ("S", "D"), "B": ("S", "E")}, ("A", "B"), 1 / 8),
        ({"U": ("S", "D"), "A": ("S", "D"), "n": ("x", "A")}, ("U", "n"), 1 / 8),
        ({"A": ("S", "D"), "g": ("x", "A")}, ("S", "g"), 1 / 8),
        ({"A": ("S", "D"), "B": ("S", "D")}, ("A", "B"), 1 / 4),
        ({"A": ("S", "D")}, ("S", "A"), 1 / 4),
        ({"A": ("S", "D"), "B": ("T", "E")}, ("A", "B"), 0),
    ],
    ids=[
        "first cousins",
        "double first cousins",
        "half sibs",
        "uncle",
        "grandparent",
        "full sibs",
        "parent",
        "unrelated",
    ],
)
def test_offspring_inbreeding__common_matings(
    parents: dict[str, tuple[str | None, str | None]], pair: tuple[str, str], expected: float
) -> None:
    """Wright (1922), by counting paths: (1/2)^(n1 + n2 + 1) for each common ancestor that is not inbred."""
    pedigree = Pedigree.from_parents({**parents, "x": (None, None), "y": (None, None)})
    sire, dam = by_id(pedigree, list(pair))
    assert offspring_inbreeding(pedigree, sire, dam) == expected
    young = pedigree.with_young([(sire, dam)], ["?young"])
    assert inbreeding(young)[-1] == expected


def test_kinship__mean_of_a_cohort_by_hand() -> None:
    """Four founders and a cohort of four: mean kinship 0.28515625, founder genome equivalents 1.753425."""
    parents = {"5": ("1", "2"), "6": ("1", "2"), "7": ("1", "3"), "8": ("1", "3")}
    parents |= {"9": ("5", "7"), "10": ("6", "8"), "11": ("5", "8"), "12": ("9", "4")}
    pedigree = Pedigree.from_parents(parents, sexes={})
    mean = kinship(pedigree, by_id(pedigree, ["9", "10", "11", "12"])).mean()
    assert mean == 0.28515625
    assert 1 / (2 * mean) == pytest.approx(1.753425, abs=5e-7)


def test_kinship__order_repeats_and_empty_lists_stand_as_asked() -> None:
    pedigree = Pedigree.from_parents(SIX)
    table = relationship(pedigree) / 2
    np.testing.assert_array_equal(kinship(pedigree, [5, 2, 2], [4, 0]), table[np.ix_([5, 2, 2], [4, 0])])
    np.testing.assert_array_equal(kinship(pedigree, [5, 1]), table[np.ix_([5, 1], [5, 1])])
    assert kinship(pedigree, [], [1, 2]).shape == (0, 2)
    assert kinship(pedigree, []).shape == (0, 0)


def test_offspring_inbreeding__without_sire() -> None:
    pedigree = Pedigree.from_parents({"K": ("D", "D"), "L": ("K", "K")}, kept=0.5)
    dam, young = by_id(pedigree, ["D", "K"])
    assert offspring_inbreeding(pedigree, dam, dam) == 0.5
    assert offspring_inbreeding(pedigree, young, young) == inbreeding(pedigree)[pedigree.index["L"]] == 0.75


@pytest.mark.parametrize("kept, expected", [(0.0, 1.0), (0.3, 0.7), (0.5, 0.5), (1.0, 0.0)])
def test_relationship__young_without_sire(kept: float, expected: float) -> None:
    """F = 1 - h for the young of a dam that is not inbred; h = 1/2 is selfing, h = 0 gives two like copies."""
    pedigree = Pedigree.from_parents({"K": ("D", "D")}, kept=kept)
    table = np.array([[1.0, 1.0], [1.0, 1.0 + expected]])
    np.testing.assert_allclose(relationship(pedigree), table, rtol=0, atol=EXACT)


def test_inbreeding__of_nobody() -> None:
    nobody = Pedigree.from_parents({})
    assert relationship(nobody).shape == (0, 0)
    assert inbreeding(nobody).shape == inbreeding_by_walk(nobody).shape == (0,)


@given(pedigrees(max_nodes=14))
def test_inbreeding__walk_equals_table(pedigree: Pedigree) -> None:
    np.testing.assert_allclose(inbreeding_by_walk(pedigree), relationship(pedigree).diagonal() - 1, rtol=0, atol=EXACT)


@given(pedigrees(max_nodes=12), st.data())
def test_kinship__by_columns_equals_table(pedigree: Pedigree, data: st.DataObject) -> None:
    nodes = st.lists(st.integers(0, len(pedigree) - 1), max_size=4)
    first, second = data.draw(nodes), data.draw(nodes)
    table = kinship(pedigree, first, second)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "TABLE_BELOW", 1)
        patch.setattr(module, "inbreeding", inbreeding_by_walk)
        patch.setattr(module, "_COLUMN_CELLS", 2 * len(pedigree))
        np.testing.assert_allclose(kinship(pedigree, first, second), table, rtol=0, atol=EXACT)


@given(drafts(max_nodes=9), st.data())
def test_relationship__the_order_of_writing_changes_nothing(draft: Draft, data: st.DataObject) -> None:
    written = assembled(draft, {}, 0.3)
    other = assembled(shuffled(draft, data.draw(st.permutations(list(draft.parents)))), {}, 0.3)
    places = by_id(other, list(written.ids))
    np.testing.assert_allclose(relationship(other)[np.ix_(places, places)], relationship(written), rtol=0, atol=EXACT)


@given(pedigrees(max_nodes=10), st.data())
def test_relationship__of_a_part_is_that_of_the_whole(pedigree: Pedigree, data: st.DataObject) -> None:
    chosen = data.draw(st.lists(st.integers(0, len(pedigree) - 1), min_size=1, max_size=3))
    part = pedigree.part(chosen)
    places = by_id(pedigree, list(part.ids))
    np.testing.assert_allclose(relationship(part), relationship(pedigree)[np.ix_(places, places)], rtol=0, atol=EXACT)


def large(*, doubtful: bool) -> Pedigree:
    """Overlapping generations, inbred."""
    random = np.random.default_rng(20240501)
    n = 300
    parents = np.full((n, 2), -1, dtype=np.int32)
    candidates = {}
    for node in range(20, n):
        sire, dam = random.choice(np.arange(max(0, node - 40), node), 2, replace=False)
        if doubtful and node % 50 == 0:
            candidates[node] = ((int(sire), 0.7), (int(dam), 0.3))
        else:
            parents[node] = (sire, dam)
    whole = Pedigree.from_parents({f"a{node}": (None, None) for node in range(n)})
    return Pedigree(whole.ids, parents, whole.sexes, whole.on_record, candidates, whole.born, 0.3, whole.mates)


@pytest.mark.parametrize("doubtful", [False, True])
@pytest.mark.parametrize("compiled", [False, True])
def test_inbreeding__of_a_large_pedigree(doubtful: bool, compiled: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Above the size of the table, every path that serves must give its numbers, with numba and without."""
    if compiled:
        pytest.importorskip("numba")
    else:
        monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(module, "TABLE_BELOW", 200)
    monkeypatch.setattr(module, "COMPILED_FROM", 200)
    pedigree = large(doubtful=doubtful)
    assert pedigree.is_plain is not doubtful
    table, n = relationship(pedigree), len(pedigree)
    np.testing.assert_allclose(inbreeding(pedigree), table.diagonal() - 1, rtol=0, atol=EXACT)
    nodes = [n - 1, n - 7, 150]
    np.testing.assert_allclose(kinship(pedigree, nodes, [n - 2]), table[np.ix_(nodes, [n - 2])] / 2, rtol=0, atol=EXACT)


def test_kinship__of_a_collection_loads_no_compiler() -> None:
    code = (
        "import sys; from holdback.descent.kinship import inbreeding, kinship; "
        "from holdback.descent.pedigree import Pedigree; p = Pedigree.from_parents({'K': ('S', 'D')}); "
        "inbreeding(p), kinship(p, [0]); print([name for name in sys.modules if name in ('numba', 'scipy')])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout == "[]\n"
