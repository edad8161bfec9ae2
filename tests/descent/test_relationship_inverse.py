"""The inverse of the relationship matrix against the matrix, and products without either against both."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from tests.descent.strategies import pedigrees

from holdback.descent.kinship import inbreeding, relationship
from holdback.descent.links import Links
from holdback.descent.pedigree import Pedigree
from holdback.descent.relationship_inverse import (
    NO_VARIANCE,
    inverse_product,
    mendelian_variances,
    relationship_inverse,
    relationship_product,
)

EXACT = 1e-9
"""An inverse with entries up to some hundreds, from sums of products of doubles."""


def test_relationship_inverse__each_place_once_row_by_row() -> None:
    found = relationship_inverse(Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "K"), "M": ("L", "L")}))
    places = list(zip(found.rows.tolist(), found.cols.tolist(), strict=True))
    assert places == sorted(set(places))
    assert (found.values != 0).all()
    assert found.shape == (5, 5)


@given(pedigrees(max_nodes=12))
def test_relationship_inverse__times_the_matrix_is_one(pedigree: Pedigree) -> None:
    """With every kind of node; where none is its sources in other words."""
    table = relationship(pedigree)
    assume((mendelian_variances(pedigree, table.diagonal() - 1) > NO_VARIANCE).all())
    found = relationship_inverse(pedigree).dense()
    np.testing.assert_allclose(found @ table, np.eye(len(pedigree)), rtol=0, atol=EXACT)


@given(pedigrees(max_nodes=12))
def test_relationship_inverse__is_a_generalised_inverse_always(pedigree: Pedigree) -> None:
    table, found = relationship(pedigree), relationship_inverse(pedigree).dense()
    np.testing.assert_allclose(found, found.T, rtol=0, atol=EXACT)
    np.testing.assert_allclose(table @ found @ table, table, rtol=0, atol=EXACT)
    np.testing.assert_allclose(found @ table @ found, found, rtol=0, atol=EXACT)


@pytest.mark.parametrize("kept", [0.0, 1.0])
def test_relationship_inverse__folds_what_has_no_variance_of_its_own(kept: float) -> None:
    """L is K again (K inbred throughout, or every young a copy of its dam); the rest is as if L was not there."""
    pedigree = Pedigree.from_parents({"K": ("D", "D"), "L": ("K", "K"), "M": ("S", "L")}, kept=kept)
    own = mendelian_variances(pedigree, inbreeding(pedigree)) > NO_VARIANCE
    assert not own[pedigree.index["L"]]
    found = relationship_inverse(pedigree).dense()
    assert not found[~own].any()
    assert not found[:, ~own].any()
    rest = relationship(pedigree)[np.ix_(own, own)]
    np.testing.assert_allclose(found[np.ix_(own, own)] @ rest, np.eye(int(own.sum())), rtol=0, atol=EXACT)


def test_relationship_inverse__folds_a_chain_of_settled_sires() -> None:
    whole = Pedigree.from_parents({"S": (None, None), "D": (None, None), "y": (None, None), "z": (None, None)})
    parents = np.full((5, 2), -1, dtype=np.int32)
    parents[4] = (3, 1)
    candidates = {2: ((0, 1.0),), 3: ((2, 1.0),)}
    ids = (*whole.ids, "K")
    unknown = (*whole.sexes, whole.sexes[0])
    five = Pedigree(ids, parents, unknown, np.ones(5, dtype=np.bool_), candidates, np.full(5, np.nan))
    found = relationship_inverse(five).dense()
    expected = relationship_inverse(Pedigree.from_parents({"K": ("S", "D")})).dense()
    np.testing.assert_allclose(found[np.ix_([0, 1, 4], [0, 1, 4])], expected, rtol=0, atol=EXACT)


@given(pedigrees(max_nodes=12))
def test_products__equal_those_with_the_matrices(pedigree: Pedigree) -> None:
    n = len(pedigree)
    x = np.random.default_rng(n).normal(size=(n, 3))
    table, inverse = relationship(pedigree), relationship_inverse(pedigree).dense()
    np.testing.assert_allclose(relationship_product(pedigree, x), table @ x, rtol=0, atol=EXACT)
    np.testing.assert_allclose(relationship_product(pedigree, x[:, 0]), table @ x[:, 0], rtol=0, atol=EXACT)
    np.testing.assert_allclose(inverse_product(pedigree, x), inverse @ x, rtol=1e-12, atol=EXACT)
    np.testing.assert_allclose(inverse_product(pedigree, x[:, 0]), inverse @ x[:, 0], rtol=1e-12, atol=EXACT)


@given(pedigrees(max_nodes=12))
def test_products__ignoring_inbreeding_undo_each_other(pedigree: Pedigree) -> None:
    zeros = np.zeros(len(pedigree))
    assume((mendelian_variances(pedigree, zeros) > NO_VARIANCE).all())
    x = np.random.default_rng(1).normal(size=len(pedigree))
    there = relationship_product(pedigree, x, inbreeding=zeros)
    np.testing.assert_allclose(inverse_product(pedigree, there, inbreeding=zeros), x, rtol=0, atol=EXACT)


@given(pedigrees(max_nodes=12))
def test_links__sources_stand_on_lower_levels(pedigree: Pedigree) -> None:
    links = Links.of(pedigree)
    assert (links.levels[links.sources] < links.levels[links.nodes]).all()
