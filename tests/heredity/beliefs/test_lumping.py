"""Alleles that nothing recorded tells apart are one class, and no number changes by it.

The numbers of the four-allele family were made by enumeration over all ten genotypes of each of six animals.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations_with_replacement
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heredity.beliefs.exact import exact_part
from tests.heredity.beliefs.pedigrees import evidence_at, family_of
from tests.heredity.beliefs.random_families import Problem, problems

from holdback.descent.family import Family
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import Evidence, GeneRecord, LocusEvidence, RecordKind
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.lumping import finer, one_class, told_apart
from holdback.species.model import WILD

ALLELES = (WILD, "a", "b", "c")
PAIRS = tuple(combinations_with_replacement(range(4), 2))
FAMILY = family_of({"S": None, "D": None, "K1": ("S", "D"), "K2": ("S", "D"), "N": None, "M": ("K1", "N")})
LOOKS = {"S": (0, 1), "D": (0, 0), "K1": (0, 1), "K2": (0, 0), "M": (0, 2)}
ERROR = 0.01


def _own_look(animal: str, shown: tuple[int, int]) -> GeneRecord:
    """Every pair of alleles looks different; a mistake is as likely to be any of the nine others."""
    table = np.full((4, 4), ERROR / 9)
    table[shown] = table[shown[::-1]] = 1.0 - ERROR
    return GeneRecord(f"look:{animal}", animal, RecordKind.LOOK, "", table, table < 0.5)


def _locus() -> LocusEvidence:
    return LocusEvidence(
        key="complex",
        alleles=ALLELES,
        frequencies=np.array([0.94, 0.02, 0.02, 0.02]),
        survival=np.ones((4, 4)),
        records={animal: (_own_look(animal, shown),) for animal, shown in LOOKS.items()},
        hides=np.zeros((4, 4), dtype=bool),
    )


def _chance(found: Beliefs, animal: str, *pairs: tuple[int, int]) -> float:
    at = found.at(animal, "complex")
    return sum(at.get(_locus().pair(*each), 0.0) for each in pairs)


def test_infer__four_alleles_with_ten_looks() -> None:
    found = _lumped(FAMILY, evidence_at(_locus()))
    assert found.log_likelihood == pytest.approx(-9.337272, abs=6e-7)
    printed: list[tuple[str, list[tuple[int, int]], float]] = [
        ("S", [(0, 1)], 0.999714),
        ("K1", [(0, 1)], 0.997588),
        ("K2", [(0, 1), (0, 2), (0, 3)], 0.001121),
        ("N", [(0, 0)], 0.089199),
        ("N", [(0, 2)], 0.848905),
        ("N", [(0, 1), (0, 3)], 0.007589),
        ("N", [(1, 2), (2, 3)], 0.036124),
        ("N", [(2, 2)], 0.018021),
        ("M", [(0, 0)], 0.047478),
        ("M", [(0, 2)], 0.900118),
        ("M", [(0, 1), (0, 3)], 0.049381),
    ]
    for animal, pairs, chance in printed:
        assert _chance(found, animal, *pairs) == pytest.approx(chance, abs=6e-7), (animal, pairs)


def test_infer__classes_are_as_few_as_can_be() -> None:
    states = exact_part(_lumped(FAMILY, evidence_at(_locus())), "S", "complex").group.assembly.states
    assert {name: states[name].partition for name in FAMILY.sexes} == {
        "S": (0, 1, 2, 3),
        "D": (0, 1, 2, 3),
        "K1": (0, 1, 2, 3),
        "K2": (0, 1, 1, 1),
        "N": (0, 1, 2, 1),
        "M": (0, 1, 2, 1),
    }


def _lumped(family: Family, evidence: Evidence) -> Beliefs:
    """Beliefs as if the locus were too large for all its alleles to stay apart."""
    with patch("holdback.heredity.beliefs.inference.MOST_WHOLE", 0):
        return infer(family, evidence)


def test_infer__four_alleles_without_classes() -> None:
    found = _lumped(FAMILY, evidence_at(_locus()))
    full = infer(FAMILY, evidence_at(_locus()))
    assert exact_part(full, "M", "complex").group.assembly.states["M"].size == 10
    assert full.log_likelihood == pytest.approx(found.log_likelihood, abs=1e-12)
    for animal, pairs in {"S": PAIRS, "K1": PAIRS, "D": PAIRS}.items():
        for each in pairs:
            assert _chance(found, animal, each) == pytest.approx(_chance(full, animal, each), abs=1e-12)
    for both in ([(0, 1), (0, 3)], [(1, 2), (2, 3)], [(1, 1), (1, 3), (3, 3)]):
        assert _chance(found, "N", *both) == pytest.approx(_chance(full, "N", *both), abs=1e-12)


@settings(max_examples=40)
@given(problems(n_loci=1, n_alleles=4, hidden=False))
def test_infer__classes_change_nothing_that_is_told_apart(problem: Problem) -> None:
    """Sums over each animal's own classes; within a class a named allele is told by frequency only."""
    found = _lumped(problem.family, problem.evidence)
    full = infer(problem.family, problem.evidence)
    assert found.log_likelihood == pytest.approx(full.log_likelihood, abs=1e-10)
    for animal in problem.family.sexes:
        for key, locus in problem.evidence.loci.items():
            partition = exact_part(found, animal, key).group.assembly.states[animal].partition
            of_class = dict(zip(locus.alleles, partition, strict=True))
            sums: dict[tuple[int, ...], float] = {}
            for sign, at in ((1.0, found.at(animal, key)), (-1.0, full.at(animal, key))):
                for pair, chance in at.items():
                    into = tuple(sorted(of_class[allele] for allele in pair))
                    sums[into] = sums.get(into, 0.0) + sign * chance
            assert max(map(abs, sums.values())) < 1e-10
        for brood in problem.family.broods:
            for one, other in zip(found.sires(brood.key), full.sires(brood.key), strict=True):
                assert one.posterior == pytest.approx(other.posterior, abs=1e-10)


def test_told_apart__exchanging_alleles_of_a_class_changes_nothing() -> None:
    table = np.array([[1.0, 0.5, 0.5, 0.2], [0.5, 0.1, 0.1, 0.3], [0.5, 0.1, 0.1, 0.3], [0.2, 0.3, 0.3, 0.4]])
    assert told_apart(table) == (0, 1, 1, 2)
    assert told_apart(table == table) == one_class(4)


def test_told_apart__two_copies_of_one_differ_from_one_of_each() -> None:
    """The rows agree, but the pair of both alleles does not look like two of one."""
    table = np.array([[1.0, 0.5, 0.5], [0.5, 0.9, 0.2], [0.5, 0.2, 0.9]])
    assert told_apart(table) == (0, 1, 2)


@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2)), min_size=1, max_size=6))
def test_finer__keeps_apart_what_either_does(rows: list[tuple[int, int]]) -> None:
    first, second = zip(*rows, strict=True)
    both = finer(first, second)
    for i, j in combinations_with_replacement(range(len(rows)), 2):
        assert (both[i] == both[j]) == (first[i] == first[j] and second[i] == second[j])


def test_at__two_copies_that_nothing_tells_apart_may_descend_from_one() -> None:
    """Sire and dam are full sibs, of parents on whom nothing is recorded: a young has both its copies from one copy of
    a grandparent with a chance of 1/4, so 1/4 x + 3/4 x^2 is the chance of two of an allele of frequency x."""
    names = ("G", "H", "S", "D", "K")
    family = family_of({"G": None, "H": None, "S": ("G", "H"), "D": ("G", "H"), "K": ("S", "D")})
    found = infer(family, evidence_at(replace(_locus(), records={})))
    for name in names:
        x = 0.02
        both = 0.25 * x + 0.75 * x * x if name == "K" else x * x
        assert _chance(found, name, (1, 1)) == pytest.approx(both, abs=1e-12)
