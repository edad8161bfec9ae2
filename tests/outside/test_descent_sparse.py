"""The relationship matrix and its inverse against SciPy: A = (I - P)^-1 D (I - P)^-T, solved as sparse equations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from scipy import sparse
from scipy.sparse.linalg import spsolve_triangular
from tests.descent.strategies import pedigrees

from holdback.descent.kinship import inbreeding, relationship
from holdback.descent.pedigree import Pedigree
from holdback.descent.relationship_inverse import (
    NO_VARIANCE,
    mendelian_variances,
    relationship_inverse,
    relationship_product,
)

pytestmark = pytest.mark.outside

EXACT = 1e-9


def without_parents(pedigree: Pedigree) -> sparse.csr_array:
    """I - P, from the sources node by node."""
    n = len(pedigree)
    found = sparse.lil_array(sparse.eye_array(n))
    for node in range(n):
        for source, coefficient in pedigree.sources(node):
            found[node, source] -= coefficient
    return sparse.csr_array(found)


@given(pedigrees(max_nodes=14))
def test_relationship__is_t_d_t(pedigree: Pedigree) -> None:
    n = len(pedigree)
    t = spsolve_triangular(without_parents(pedigree), np.eye(n), lower=True)
    d = np.diag(mendelian_variances(pedigree, inbreeding(pedigree)))
    np.testing.assert_allclose(relationship(pedigree), t @ d @ t.T, rtol=0, atol=EXACT)
    np.testing.assert_allclose(relationship_product(pedigree, np.eye(n)), t @ d @ t.T, rtol=0, atol=EXACT)


@given(pedigrees(max_nodes=14, kept=(0.3, 0.5)))
def test_relationship_inverse__adds_up_as_a_sparse_array(pedigree: Pedigree) -> None:
    """The triplets are what SciPy takes; where no node is folded, (I - P)' D^-1 (I - P)."""
    variances = mendelian_variances(pedigree, inbreeding(pedigree))
    found = relationship_inverse(pedigree)
    array = sparse.coo_array((found.values, (found.rows, found.cols)), shape=found.shape)
    np.testing.assert_array_equal(array.toarray(), found.dense())
    if (variances > NO_VARIANCE).all():
        rows = without_parents(pedigree)
        expected = rows.T @ sparse.diags_array(1.0 / variances) @ rows
        np.testing.assert_allclose(array.toarray(), expected.toarray(), rtol=0, atol=EXACT)
