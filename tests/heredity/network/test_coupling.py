"""Several graphs that share variables: each gathers towards them, and gets back what the others say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.heredity.network import Graph, Plan
from holdback.heredity.network.graph import FloatArray

SHARED = (0, 1)
SIZES = (3, 2)


def one_locus(rng: np.random.Generator) -> tuple[Graph, list[FloatArray]]:
    """Four candidates, two young whose parents are chosen by the shared variables, and a piece apart."""
    scopes = ((0, 2, 3, 6), (1, 4, 5, 7), (2,), (5, 3), (6,), (8,))
    graph = Graph((*SIZES, *[3] * 6, 2), scopes, keep=(SHARED,))
    return graph, [rng.random((1, *[graph.sizes[variable] for variable in scope])) for scope in scopes]


@given(st.integers(0, 2**32 - 1), st.booleans())
def test_distribute__two_loci_are_one_joined_graph(seed: int, with_prior: bool) -> None:
    rng = np.random.default_rng(seed)
    (graph, tables), (other, other_tables) = one_locus(rng), one_locus(rng)
    prior = rng.random((1, *SIZES)) if with_prior else np.ones((1, *SIZES))
    moved = [tuple(v if v in SHARED else v + 7 for v in scope) for scope in other.scopes]
    joined = Graph((*graph.sizes, *other.sizes[2:]), (*graph.scopes, *moved, SHARED))
    whole = Plan(joined).calibrate([*tables, *other_tables, prior])
    first, second = Plan(graph).collect(tables), Plan(other).collect(other_tables)
    here, there = first.distribute(prior * second.root), second.distribute(prior * first.root)
    assert here.log_likelihood[0] + second.log_scale[0] == pytest.approx(whole.log_likelihood[0], abs=1e-11)
    assert there.log_likelihood[0] + first.log_scale[0] == pytest.approx(whole.log_likelihood[0], abs=1e-11)
    for variable in range(9):
        assert here.marginal(variable) == pytest.approx(whole.marginal(variable), abs=1e-12)
        where = variable if variable in SHARED else variable + 7
        assert there.marginal(variable) == pytest.approx(whole.marginal(where), abs=1e-12)
    assert here.cluster(SHARED) == pytest.approx(whole.cluster(SHARED), abs=1e-12)
    assert here.joint(6, 7) == pytest.approx(whole.joint(6, 7), abs=1e-12)


def test_distribute__shared_variables_without_a_factor() -> None:
    plan = Plan(Graph((2, 3, 2), ((2,),), keep=((0, 1),)))
    collected = plan.collect([np.array([[1.0, 3.0]])])
    assert collected.root * np.exp(collected.log_scale) == pytest.approx(np.full((1, 2, 3), 4.0))
    weights = np.arange(1.0, 7.0).reshape(1, 2, 3)
    assert collected.distribute(weights).cluster((1, 0)) == pytest.approx(weights.transpose(0, 2, 1) / 21.0)
    assert collected.distribute(weights).marginal(2) == pytest.approx(np.array([[0.25, 0.75]]))


def test_collect__nothing_kept_is_one_number() -> None:
    plan = Plan(Graph((2, 2), ((0,), (1,))))
    collected = plan.collect([np.array([[1.0, 3.0], [1.0, 1.0]]), np.array([[0.5, 0.5]])])
    assert collected.root.shape == (2,)
    assert collected.root * np.exp(collected.log_scale) == pytest.approx([4.0, 2.0])
    doubled = collected.distribute(np.array([2.0]))
    assert np.exp(doubled.log_likelihood) == pytest.approx([8.0, 4.0])


def test_distribute__impossible_weights_are_impossible() -> None:
    plan = Plan(Graph((2,), ((0,),), keep=((0,),)))
    found = plan.collect([np.array([[1.0, 0.0], [1.0, 1.0]])]).distribute(np.array([[0.0, 1.0]]))
    assert found.log_likelihood.tolist() == [-np.inf, 0.0]
    assert np.isnan(found.marginal(0)[0]).all()
