"""Small random families against a table of all genotypes, sexes and doubtful sires together.

The table is made by `tests.heredity.beliefs.enumeration`, which shares no code with the engine.
"""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.heredity.beliefs.enumeration import Points, Reference
from tests.heredity.beliefs.exact import exact_unit, recombination
from tests.heredity.beliefs.random_families import Problem, problems

from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.recombination_grid import Grid

pytestmark = pytest.mark.outside

POINTS: Points = ((0.03, 0.6), (0.2, 0.4))
CLOSE = 1e-10
MOST = 300_000
"""Entries of the largest table that is made."""


def _infer(problem: Problem) -> Beliefs:
    """Beliefs with two points for a recombination fraction."""
    with recombination(Grid(*zip(*POINTS, strict=True))):
        return infer(problem.family, problem.evidence)


def _reference(problem: Problem, withheld: frozenset[str] = frozenset()) -> Reference:
    linked = any(locus.linkage for locus in problem.evidence.loci.values())
    return Reference(problem.family, problem.evidence, POINTS if linked else ((0.5, 1.0),), withheld)


def _agree(problem: Problem) -> None:
    reference = _reference(problem)
    assume(reference.size <= MOST and reference.table.sum() > 1e-9)
    found = _infer(problem)
    assert found.log_likelihood == pytest.approx(reference.log_likelihood, abs=CLOSE)
    for animal in problem.family.sexes:
        for key, locus in problem.evidence.loci.items():
            at = found.at(animal, key)
            own = {pair: at.get(locus.pair(*pair), 0.0) for pair in reference.pairs(animal, key)}
            assert own == pytest.approx(reference.pairs(animal, key), abs=CLOSE), (animal, key)
    for brood in problem.family.broods:
        for young, odds in found.sires_by_egg(brood.key).items():
            assert [one.posterior for one in odds] == pytest.approx(reference.sires(brood, young), abs=CLOSE)


@settings(max_examples=120)
@given(problems())
def test_infer__one_locus(problem: Problem) -> None:
    _agree(problem)


@settings(max_examples=60)
@given(problems(linked=True))
def test_infer__a_sex_linked_locus(problem: Problem) -> None:
    _agree(problem)


@settings(max_examples=40)
@given(problems(n_alleles=3))
def test_infer__three_alleles(problem: Problem) -> None:
    _agree(problem)


@settings(max_examples=25)
@given(problems(n_alleles=3, linked=True))
def test_infer__three_alleles_at_a_sex_linked_locus(problem: Problem) -> None:
    _agree(problem)


@settings(max_examples=40)
@given(problems(n_loci=2))
def test_infer__two_loci_with_sires_and_hidden_looks_in_common(problem: Problem) -> None:
    _agree(problem)


@settings(max_examples=40)
@given(problems(n_loci=2), st.randoms(use_true_random=False))
def test_withheld__is_as_if_the_records_had_never_been_made(problem: Problem, random: Random) -> None:
    """Beliefs and log-likelihood of the unit without some records of one locus."""
    assume(1 < _reference(problem).size <= MOST)
    found = _infer(problem)
    key = random.choice(list(problem.evidence.loci))
    keys = [record.key for each in problem.evidence.loci[key].records.values() for record in each]
    left_out = frozenset(random.sample(keys, random.randint(0, len(keys))))
    reference = _reference(problem, left_out)
    assume(reference.table.sum() > 1e-9)
    units = {id(unit): unit for unit in (exact_unit(found, animal) for animal in problem.family.sexes)}.values()
    for unit in units:
        parts, _ = unit.withheld(key, [left_out])
        for animal in unit.layout.animals:
            own = parts[0].posterior(animal)
            assert own == pytest.approx(list(reference.pairs(animal, key).values()), abs=CLOSE)
    logs = [unit.withheld(key, [left_out])[1][0] for unit in units]
    assert sum(logs) == pytest.approx(reference.log_likelihood, abs=CLOSE)
