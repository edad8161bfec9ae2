"""The blocked sampler against exact answers, where those can be had."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.heredity.network import (
    LOOSE,
    Cancelled,
    Graph,
    NoStartError,
    Plan,
    Rule,
    Sampled,
    Sampler,
    TooWide,
    cost,
)
from holdback.heredity.network.breakers import breaker_sets
from holdback.heredity.network.graph import FloatArray

QUICK = Rule(n_chains=8, tolerance=0.05, most_rounds=5, errors=2.5, margin=0.001)


def lattice(side: int, states: int, rng: np.random.Generator) -> tuple[Graph, list[FloatArray]]:
    """A square lattice of variables that pull their neighbours, as wide as its side."""
    at = np.arange(side * side).reshape(side, side)
    pairs = [*zip(at[:, :-1].flat, at[:, 1:].flat, strict=True), *zip(at[:-1].flat, at[1:].flat, strict=True)]
    scopes = [(int(first), int(second)) for first, second in pairs] + [(int(one),) for one in at.flat]
    tables = [np.exp(rng.normal(0.0, 0.7, (1, *[states] * len(scope)))) for scope in scopes]
    return Graph((states,) * at.size, tuple(scopes)), tables


def differences(found: Sampled, graph: Graph, tables: list[FloatArray]) -> tuple[FloatArray, FloatArray]:
    """Errors of all marginals, and the bands stated for them."""
    exact = Plan(graph).calibrate(tables).marginals()
    errors = [np.abs(one - other).ravel() for one, other in zip(found.marginals, exact, strict=True)]
    bands = [found.band((variable,)).ravel() for variable in range(len(graph.sizes))]
    return np.concatenate(errors), np.concatenate(bands)


@pytest.mark.parametrize("clique_entries", [27, 100])
def test_breaker_sets__leave_small_cliques_and_free_each_variable_in_half(clique_entries: int) -> None:
    graph, _ = lattice(8, 3, np.random.default_rng(1))
    sets = breaker_sets(graph, np.random.default_rng(2), n_pairs=6, clique_entries=clique_entries)
    assert len(set(sets)) == 12
    times = np.bincount([variable for one in sets for variable in one], minlength=64)
    assert times.max() <= 6
    for one in sets:
        scopes = tuple(tuple(variable for variable in scope if variable not in one) for scope in graph.scopes)
        # Another order of elimination may make a clique one variable larger here and there.
        assert 3 ** cost(Graph(graph.sizes, scopes))[1] <= 3 * clique_entries


def test_breaker_sets__refuse_what_takes_a_variable_too_often() -> None:
    graph = Graph((3,) * 12, tuple((a, b) for a in range(12) for b in range(a)))
    with pytest.raises(TooWide, match="12 variables in one; 27 are allowed"):
        breaker_sets(graph, np.random.default_rng(1), n_pairs=6, clique_entries=27)


def test_sampler__takes_larger_cliques_where_it_must() -> None:
    graph = Graph((2,) * 6, tuple((a, b) for a in range(6) for b in range(a)))
    with pytest.raises(TooWide):
        breaker_sets(graph, np.random.default_rng(1), n_pairs=6, clique_entries=4)
    sampler = Sampler(graph, np.random.default_rng(1), clique_entries=4)
    assert all(6 - len(one) <= 3 for one in sampler.breakers)
    with pytest.raises(TooWide, match="6 variables in one; 9 are allowed"):
        Sampler(Graph((3,) * 6, graph.scopes), np.random.default_rng(1), clique_entries=1)


def test_run__is_within_its_band_on_a_lattice() -> None:
    graph, tables = lattice(5, 3, np.random.default_rng(3))
    sampler = Sampler(graph, np.random.default_rng(4), clique_entries=27)
    found = sampler.run(tables, np.random.default_rng(5), rule=LOOSE)
    errors, bands = differences(found, graph, tables)
    assert found.settled
    assert np.array_equal(found.marginal(3), found.marginals[3])
    assert (errors <= bands).all()
    assert bands.max() <= LOOSE.tolerance + LOOSE.margin
    assert all(one.shape == (1, 3) and one.sum() == pytest.approx(1.0) for one in found.marginals)


def switched() -> tuple[Graph, list[FloatArray]]:
    """Two problems that share a switch of three ways and, among them, hard zeros: x equals the source it is set to."""
    sizes = [3]
    scopes: list[tuple[int, ...]] = [(0,)]
    tables: list[FloatArray] = [np.array([[0.5, 0.3, 0.2]])]
    rng = np.random.default_rng(6)
    for _ in range(2):
        first = len(sizes)
        sizes += [2, 2, 2, 2]
        result = first + 3
        for way in range(3):
            scopes += [(first + way,), (result, 0, first + way)]
            equal = np.ones((1, 2, 3, 2))
            equal[0, :, way] = np.eye(2)
            tables += [rng.dirichlet([1.0, 1.0])[None], equal]
        scopes.append((result,))
        tables.append(np.array([[0.2, 0.9]]))
    return Graph(tuple(sizes), tuple(scopes)), tables


def test_run__shared_switch_with_hard_zeros() -> None:
    graph, tables = switched()
    exact = Plan(graph).calibrate(tables)
    pair = (4, 0)
    sampler = Sampler(graph, np.random.default_rng(7), clique_entries=6, clusters=[pair])
    assert max(map(len, sampler.breakers)) > 0
    found = sampler.run(tables, np.random.default_rng(8), rule=LOOSE)
    errors, bands = differences(found, graph, tables)
    assert found.settled
    assert (errors <= bands).all()
    assert (np.abs(found.cluster(pair) - exact.cluster(pair)) <= found.band(pair)).all()
    assert found.cluster(pair).sum() == pytest.approx(1.0)
    impossible = [t[0][tuple(found.draws[:, s].T)] == 0.0 for s, t in zip(graph.scopes, tables, strict=True)]
    assert not np.any(impossible)
    with pytest.raises(KeyError):
        found.cluster((1, 5))


def test_run__takes_a_start_or_says_that_it_is_impossible() -> None:
    graph, tables = switched()
    sampler = Sampler(graph, np.random.default_rng(7), clique_entries=6)
    start = np.zeros(len(graph.sizes), np.intp)
    found = sampler.run(tables, np.random.default_rng(8), rule=QUICK, start=start)
    again = sampler.run(tables, np.random.default_rng(8), rule=QUICK, start=np.tile(start, (8, 1)))
    assert np.array_equal(found.draws, again.draws)
    start[4] = 1
    with pytest.raises(NoStartError, match="The start given has a chance of zero"):
        sampler.run(tables, np.random.default_rng(8), rule=QUICK, start=start)


def test_run__without_a_factor_every_state_is_as_likely() -> None:
    graph = Graph((2, 3), ())
    found = Sampler(graph, np.random.default_rng(1)).run([], np.random.default_rng(2), rule=QUICK)
    assert found.marginal(1) == pytest.approx(np.full((1, 3), 1 / 3))


@pytest.mark.parametrize("second", [1.0 - np.eye(2), np.zeros((2, 2))], ids=["contradiction", "zeros"])
def test_run__says_when_no_state_is_allowed(second: FloatArray) -> None:
    graph = Graph((2, 2), ((0, 1), (0, 1)))
    tables = [np.eye(2)[None], second[None]]
    sampler = Sampler(graph, np.random.default_rng(1))
    with pytest.raises(NoStartError, match="No state that all factors allow was met in 300 sweeps"):
        sampler.run(tables, np.random.default_rng(2), rule=QUICK)


def test_run__tells_how_far_it_is_and_stops_when_asked() -> None:
    graph, tables = lattice(3, 2, np.random.default_rng(9))
    sampler = Sampler(graph, np.random.default_rng(1), clique_entries=4)
    told: list[float] = []
    found = sampler.run(tables, np.random.default_rng(2), rule=QUICK, progress=told.append)
    assert told == pytest.approx([0.2, 0.4, 0.6, 0.8, 1.0])
    assert found.sweeps == 6 * 250
    assert found.draws.shape == (4 * 10 * 8, 9)
    with pytest.raises(Cancelled):
        sampler.run(tables, np.random.default_rng(2), rule=QUICK, cancelled=lambda: len(told) > 3)


def test_run__not_settled_is_said() -> None:
    graph, tables = lattice(4, 2, np.random.default_rng(3))
    fine = Rule(n_chains=2, tolerance=1e-6, most_rounds=5, errors=2.5, margin=0.0)
    sampler = Sampler(graph, np.random.default_rng(4), clique_entries=8)
    found = sampler.run(tables, np.random.default_rng(5), rule=fine)
    assert not found.settled
    assert found.worst[-1] == pytest.approx(max(one.max() for one in found.standard_errors))
