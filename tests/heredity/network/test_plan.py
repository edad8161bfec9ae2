"""Likelihood, marginals and joints against enumeration of all states."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import assume, given, settings

from holdback.heredity.network import Graph, Plan, TooWide, cost, layout

from .enumeration import Problem, over_all, problems, reference_shares, reference_sum, reference_table

EXACT = 1e-11
"""Rounding of sums over a few thousand states."""


@pytest.fixture(params=[layout.WIDE, 4], ids=["index arrays", "axes"], scope="module", autouse=True)
def both_ways(request: pytest.FixtureRequest) -> Iterator[None]:
    """Once as small cliques are worked, once with nearly every clique worked as a large one."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(layout, "WIDE", request.param)
        yield


@given(problems())
@settings(max_examples=60)
def test_calibrate__equals_enumeration(problem: Problem) -> None:
    graph, whole = problem.graph, reference_table(problem.graph, problem.tables)
    found = Plan(graph).calibrate(problem.tables)
    with np.errstate(divide="ignore"):
        likelihood = np.log(whole.reshape(len(whole), -1).sum(axis=1))
    np.testing.assert_allclose(found.log_likelihood, likelihood, atol=EXACT)
    possible = np.isfinite(likelihood)
    marginals = found.marginals()
    for variable in range(len(graph.sizes)):
        expected = reference_shares(graph, whole, (variable,))[possible]
        np.testing.assert_allclose(found.marginal(variable)[possible], expected, atol=EXACT)
        np.testing.assert_allclose(marginals[variable][possible], expected, atol=EXACT)
    for variables in filter(None, (*graph.scopes, *graph.keep)):
        expected = reference_shares(graph, whole, variables)[possible]
        np.testing.assert_allclose(found.cluster(variables)[possible], expected, atol=EXACT)


@given(problems())
@settings(max_examples=40)
def test_joint__equals_enumeration(problem: Problem) -> None:
    graph, whole = problem.graph, reference_table(problem.graph, problem.tables)
    found = Plan(graph).calibrate(problem.tables)
    possible = np.isfinite(found.log_likelihood)
    for first in range(len(graph.sizes)):
        joints = found.joints_with(first)
        for second in range(len(graph.sizes)):
            if first == second:
                one = reference_shares(graph, whole, (first,))[possible]
                expected = one[:, :, None] * np.eye(graph.sizes[first])
            else:
                expected = reference_shares(graph, whole, (first, second))[possible]
            np.testing.assert_allclose(joints[second][possible], expected, atol=EXACT)
            np.testing.assert_allclose(found.joint(first, second)[possible], expected, atol=EXACT)


@given(problems())
@settings(max_examples=60)
def test_collect__root_is_the_sum_and_weights_are_a_factor(problem: Problem) -> None:
    graph, whole = problem.graph, reference_table(problem.graph, problem.tables)
    collected = Plan(graph).collect(problem.tables)
    scale = np.exp(collected.log_scale).reshape(-1, *[1] * len(graph.gathered))
    np.testing.assert_allclose(collected.root * scale, reference_sum(graph, whole, graph.gathered), atol=EXACT)
    weighted = whole * over_all(graph, graph.gathered, problem.weights)
    found = collected.distribute(problem.weights)
    with np.errstate(divide="ignore"):
        likelihood = np.log(weighted.reshape(len(whole), -1).sum(axis=1))
    np.testing.assert_allclose(found.log_likelihood, likelihood, atol=EXACT)
    possible = np.isfinite(likelihood)
    for variable, marginal in enumerate(found.marginals()):
        expected = reference_shares(graph, weighted, (variable,))[possible]
        np.testing.assert_allclose(marginal[possible], expected, atol=EXACT)


@given(problems())
@settings(max_examples=30)
def test_calibrate__a_batch_is_its_problems_one_by_one(problem: Problem) -> None:
    plan = Plan(problem.graph)
    together = plan.calibrate(problem.tables)
    for row in range(together.n_batch):
        alone = plan.calibrate([table[row % len(table)][None] for table in problem.tables])
        np.testing.assert_allclose(together.component_log[row], alone.component_log[0], atol=EXACT)
        for one, other in zip(together.marginals(), alone.marginals(), strict=True):
            np.testing.assert_allclose(one[row], other[0], atol=EXACT)


def test_calibrate__pieces_add_up() -> None:
    graph = Graph((2, 3, 2, 2), ((0, 1), (3,), ()))
    tables = [np.full((1, 2, 3), 0.5), np.array([[0.1, 0.3]]), np.array([7.0])]
    found = Plan(graph).calibrate(tables)
    by_variable = found.component_log[0, found.component_of]
    assert by_variable == pytest.approx([math.log(3.0), math.log(3.0), math.log(2.0), math.log(0.4)])
    assert found.log_likelihood[0] == pytest.approx(math.log(3.0 * 2.0 * 0.4 * 7.0))


def test_calibrate__an_impossible_problem_leaves_the_others_alone() -> None:
    graph = Graph((2, 2), ((0, 1), (1,)))
    tables = [np.array([[[1.0, 0.0], [1.0, 0.0]], [[1.0, 1.0], [1.0, 2.0]]]), np.array([[0.0, 1.0]])]
    found = Plan(graph).calibrate(tables)
    assert found.log_likelihood[0] == -np.inf
    assert np.isnan(found.marginal(0)[0]).all()
    assert found.marginal(0)[1] == pytest.approx([1 / 3, 2 / 3])


def test_calibrate__a_long_chain_of_small_numbers_does_not_underflow() -> None:
    length = 3000
    graph = Graph((2,) * length, tuple((n, n + 1) for n in range(length - 1)))
    step = np.array([[[1e-5, 3e-5], [2e-5, 1e-5]]])
    found = Plan(graph).calibrate([step] * (length - 1))
    logarithm, vector = 0.0, np.ones(2)
    for _ in range(length - 1):
        vector = step[0] @ vector
        logarithm, vector = logarithm + math.log(vector.sum()), vector / vector.sum()
    assert found.log_likelihood[0] == pytest.approx(logarithm, rel=1e-12)
    assert found.marginal(0)[0] == pytest.approx(vector, abs=1e-12)


def test_calibrate__a_star_of_a_thousand_does_not_underflow() -> None:
    graph = Graph((3,) + (2,) * 1000, tuple((0, n + 1) for n in range(1000)) + ((0,),) * 1000)
    tilted = np.array([[[0.1, 0.2], [0.2, 0.1], [0.2, 0.11]]])
    found = Plan(graph).calibrate([tilted] * 1000 + [np.array([[1e-3, 1e-3, 1e-3]])] * 1000)
    logs = 1000 * np.log([0.3, 0.3, 0.31]) + 1000 * math.log(1e-3)
    assert found.log_likelihood[0] == pytest.approx(np.logaddexp.reduce(logs), rel=1e-12)
    assert found.marginal(0)[0] == pytest.approx(np.exp(logs - np.logaddexp.reduce(logs)), abs=1e-12)


def test_plan__says_what_it_takes_before_it_is_made() -> None:
    graph = Graph((3,) * 12, tuple((a, b) for a in range(12) for b in range(a)))
    assert cost(graph) == (3**12, 12)
    with pytest.raises(TooWide, match=r"5\.31e\+05 entries, with 12 variables in one; 1e\+05 are allowed") as refused:
        Plan(graph, most_entries=100_000)
    assert (refused.value.entries, refused.value.width) == (3**12, 12)
    assert Plan(graph, most_entries=3**12).entries == 3**12


def test_cluster__of_variables_apart_is_refused() -> None:
    found = Plan(Graph((2, 2, 2), ((0, 1), (1, 2)))).calibrate([np.ones((1, 2, 2))] * 2)
    with pytest.raises(KeyError, match=r"no clique holds \(0, 2\)"):
        found.cluster((0, 2))


@given(problems())
@settings(max_examples=20)
def test_cost__is_that_of_the_plan(problem: Problem) -> None:
    plan = Plan(problem.graph)
    assert cost(problem.graph) == (plan.entries, plan.width)


@given(problems(kept=False))
@settings(max_examples=15)
def test_sample__draws_states_as_often_as_they_should_come(problem: Problem) -> None:
    graph, tables = problem.graph, [table[:1] for table in problem.tables]
    found, whole = Plan(graph).calibrate(tables), reference_table(graph, tables)
    assume(np.isfinite(found.log_likelihood[0]))
    n = 4000
    drawn = found.sample(np.random.default_rng(1), n)
    assert drawn.shape == (n, len(graph.sizes))
    share = np.zeros(graph.sizes)
    np.add.at(share, tuple(drawn.T), 1.0 / n)
    chance = whole[0] / whole.sum()
    assert (share[chance == 0.0] == 0.0).all()
    # Six standard errors, and one draw more for the rarest.
    assert (np.abs(share - chance) <= 6.0 * np.sqrt(chance * (1.0 - chance) / n) + 1.0 / n).all()
    assert np.array_equal(drawn, found.sample(np.random.default_rng(1), n))
    assert found.sample(np.random.default_rng(1), 0).shape == (0, len(graph.sizes))
