"""Groups of unknown parents against the algebra that the rule stands for."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.descent.strategies import pedigrees

from holdback.descent.kinship import relationship
from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.descent.relationship_inverse import NO_VARIANCE, mendelian_variances, relationship_inverse
from holdback.descent.unknown_parent_groups import group_contributions, group_inverse
from holdback.errors import PedigreeError

Groups = npt.NDArray[np.int64]

EXACT = 1e-9


@st.composite
def grouped(draw: st.DrawFn, n_groups: int, *, base: bool) -> tuple[Pedigree, Groups, Groups]:
    """A pedigree with a group for each unknown parent; with a base, for some of them."""
    pedigree = draw(pedigrees())
    groups = np.full((len(pedigree), 2), UNKNOWN)
    for node, side in np.argwhere(pedigree.parents == UNKNOWN):
        if node not in pedigree.candidates:
            groups[node, side] = draw(st.integers(UNKNOWN if base else 0, n_groups - 1))
    return pedigree, groups[:, 0], groups[:, 1]


def reference_contributions(pedigree: Pedigree, sire: Groups, dam: Groups, n_groups: int) -> npt.NDArray[np.float64]:
    """Node by node, oldest first."""
    found = np.zeros((len(pedigree), n_groups))
    for node in range(len(pedigree)):
        for source, coefficient in pedigree.sources(node):
            found[node] += coefficient * found[source]
        for group in (sire[node], dam[node]):
            if group != UNKNOWN:
                found[node, group] += 0.5
    return found


@given(grouped(3, base=True))
def test_group_inverse__is_the_algebra_of_quaas(case: tuple[Pedigree, Groups, Groups]) -> None:
    """A^-1, -A^-1 Q; -Q' A^-1, Q' A^-1 Q with Q worked out apart; A^-1 by NumPy, of the nodes not folded."""
    pedigree, sire, dam = case
    table = relationship(pedigree)
    own = mendelian_variances(pedigree, table.diagonal() - 1) > NO_VARIANCE
    inverse = np.zeros_like(table)
    inverse[np.ix_(own, own)] = np.linalg.inv(table[np.ix_(own, own)])
    q = reference_contributions(pedigree, sire, dam, 3)
    expected = np.block([[inverse, -inverse @ q], [-q.T @ inverse, q.T @ inverse @ q]])
    np.testing.assert_allclose(group_inverse(pedigree, sire, dam, 3).dense(), expected, rtol=0, atol=EXACT)


@given(grouped(3, base=True))
def test_group_contributions__equal_those_node_by_node(case: tuple[Pedigree, Groups, Groups]) -> None:
    found = group_contributions(*case, 3)
    np.testing.assert_allclose(found, reference_contributions(*case, 3), rtol=0, atol=1e-12)


@given(grouped(2, base=False))
def test_group_contributions__sum_to_one_without_a_base(case: tuple[Pedigree, Groups, Groups]) -> None:
    np.testing.assert_allclose(group_contributions(*case, 2).sum(axis=1), 1, rtol=0, atol=1e-12)


def test_group_inverse__weights_ignoring_inbreeding() -> None:
    """4 / (2 + number of unknown parents) for each animal: 1, 4/3, 2 (Westell, Quaas and Van Vleck 1988)."""
    pedigree = Pedigree.from_parents({"S": (None, None), "H": ("S", None), "K": ("S", "H")})
    sire, dam = np.array([0, -1, -1]), np.array([1, 1, -1])
    rows = np.array([[1, 0, 0, -0.5, -0.5], [-0.5, 1, 0, 0, -0.5], [-0.5, -0.5, 1, 0, 0]])
    expected = rows.T @ np.diag([1, 4 / 3, 2]) @ rows
    found = group_inverse(pedigree, sire, dam, 2, inbreeding=np.zeros(3)).dense()
    np.testing.assert_allclose(found, expected, rtol=0, atol=EXACT)


def test_group_inverse__without_groups_is_the_plain_inverse() -> None:
    pedigree = Pedigree.from_parents({"H": ("S", None), "K": ("S", "H")})
    none = np.full(3, UNKNOWN)
    found = group_inverse(pedigree, none, none, 0).dense()
    np.testing.assert_array_equal(found, relationship_inverse(pedigree).dense())


def test_group_inverse__refuses_groups_that_cannot_be() -> None:
    pedigree = Pedigree.from_parents({"K": ("S", None)})
    with pytest.raises(PedigreeError) as told:
        group_inverse(pedigree, np.array([2, 0]), np.array([0, 1]), 2)
    assert [str(fault) for fault in told.value.faults] == [
        "PED-005 animal S, field sire_group: Group 2 cannot stand for the sire of S. "
        "Give groups 0 to 1 to unknown parents, -1 to known ones.",
        "PED-005 animal K, field sire_group: Group 0 cannot stand for the sire of K. "
        "Give groups 0 to 1 to unknown parents, -1 to known ones.",
    ]


def test_group_contributions__refuse_groups_of_a_node_of_candidates() -> None:
    whole = Pedigree.from_parents({"S": (None, None), "T": (None, None), "?which": (None, None)})
    pedigree = Pedigree(
        whole.ids, whole.parents, whole.sexes, whole.on_record, {2: ((0, 0.5), (1, 0.5))}, whole.born, 0.3, whole.mates
    )
    with pytest.raises(PedigreeError, match="PED-005 animal \\?which, field sire_group"):
        group_contributions(pedigree, np.array([0, 0, 0]), np.array([0, 0, -1]), 1)
