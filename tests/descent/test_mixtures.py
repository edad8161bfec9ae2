"""Doubtful sires: means over all assignments of males to clutches, not relationships of an average sire."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from tests.descent.strategies import assignments, pedigrees, reference_relationship

from holdback.collection.collection import Collection
from holdback.descent.family import Family
from holdback.descent.from_family import pedigree_of
from holdback.descent.kinship import inbreeding, kinship, relationship
from holdback.descent.pedigree import Pedigree
from holdback.descent.walk import inbreeding_by_walk, mendelian_variances

EXACT = 1e-12


def clutch(sires: str, *, each_egg: bool = False) -> Pedigree:
    collection = Collection.from_frames(
        {
            "animals": [
                *({"id": male, "sex": "male"} for male in ("S", "T")),
                {"id": "D", "sex": "female"},
                *({"id": young, "sire": sires, "dam": "D", "clutch": "C"} for young in ("A", "B")),
            ],
            "clutches": [{"id": "C", "dam": "D", "sires": sires}],
        }
    )
    return pedigree_of(collection, Family.from_collection(collection, each_egg=["C"] if each_egg else []))


def test_kinship__clutch_mates_are_full_sibs_whoever_the_sire_is() -> None:
    pedigree = clutch("S:0.8|T:0.2")
    a, b, s = (pedigree.index[one] for one in "ABS")
    assert relationship(pedigree)[a, b] == pytest.approx(0.5, abs=EXACT)
    assert relationship(pedigree)[a, s] == pytest.approx(0.4, abs=EXACT)


def test_kinship__eggs_with_sires_of_their_own_are_nearer_the_average() -> None:
    """Each egg drawn by itself: half sibs by the dam, and by the sire as often as both draw the same, 0.8^2 + 0.2^2."""
    pedigree = clutch("S:0.8|T:0.2", each_egg=True)
    a, b = (pedigree.index[one] for one in "AB")
    assert relationship(pedigree)[a, b] == pytest.approx(0.25 * (1 + 0.68), abs=EXACT)


@given(pedigrees())
def test_relationship__equals_the_mean_over_all_assignments(pedigree: Pedigree) -> None:
    by_node, from_definition = np.zeros((2, len(pedigree), len(pedigree)))
    for weight, chosen in assignments(pedigree):
        by_node += weight * relationship(pedigree.settled(chosen))
        from_definition += weight * reference_relationship(pedigree, chosen)
    np.testing.assert_allclose(relationship(pedigree), by_node, rtol=0, atol=EXACT)
    np.testing.assert_allclose(relationship(pedigree), from_definition, rtol=0, atol=EXACT)


@given(pedigrees())
def test_inbreeding__equals_the_mean_over_all_assignments(pedigree: Pedigree) -> None:
    mean = sum(weight * inbreeding_by_walk(pedigree.settled(chosen)) for weight, chosen in assignments(pedigree))
    np.testing.assert_allclose(inbreeding(pedigree), mean, rtol=0, atol=EXACT)
    np.testing.assert_allclose(inbreeding_by_walk(pedigree), mean, rtol=0, atol=EXACT)


@given(pedigrees())
def test_mendelian_variances__are_what_the_sources_leave(pedigree: Pedigree) -> None:
    """d_i = a_ii - c' A c, for every kind of node."""
    table = relationship(pedigree)
    expected = []
    for node in range(len(pedigree)):
        c = np.zeros(len(pedigree))
        for source, coefficient in pedigree.sources(node):
            c[source] = coefficient
        expected.append(table[node, node] - c @ table @ c)
    found = mendelian_variances(pedigree, table.diagonal() - 1)
    np.testing.assert_allclose(found, expected, rtol=0, atol=EXACT)
    assert (found >= 0).all()


def test_mendelian_variances__of_two_unrelated_candidates() -> None:
    """sum p_s a_ss - p'Ap = 1 - (0.64 + 0.04)."""
    pedigree = clutch("S:0.8|T:0.2")
    node = next(iter(pedigree.candidates))
    assert mendelian_variances(pedigree, inbreeding(pedigree))[node] == pytest.approx(0.32, abs=EXACT)


def test_kinship__settled_sire_is_the_male_himself() -> None:
    pedigree = clutch("S:0.8|T:0.2")
    node, male = next(iter(pedigree.candidates)), pedigree.index["S"]
    found = kinship(pedigree.settled({node: male}), [node, male])
    assert found.tolist() == [[0.5, 0.5], [0.5, 0.5]]
