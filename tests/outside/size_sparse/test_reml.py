from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from tests.outside.size_sparse.drawn import model, relationships

from holdback.errors import SizeError
from holdback.size.mixed_model.random_effect import RandomEffect
from holdback.size.mixed_model.reml import RemlFit, reml
from holdback.size.sparse.model import AnimalModel
from holdback.size.sparse.reml import sparse_reml

PUBLISHED = Path(__file__).parents[2] / "outside" / "size_mixed_data.json"


def half_sibs(values: list[float]) -> AnimalModel:
    """Young of ten sires and unknown dams, the sires without a record."""
    sires = np.repeat(np.arange(10), 6)
    parents = np.full((70, 2), -1)
    parents[10:, 0] = sires
    return AnimalModel.of_parents(
        parents.astype(np.int32),
        np.zeros(70),
        animals=np.arange(10, 70),
        groups=np.zeros(60, dtype=np.int64),
        values=np.array(values),
    )


def dense(given: AnimalModel) -> RemlFit:
    """The same by the dense fit."""
    design = np.zeros((len(given.values), given.n))
    design[np.arange(len(design)), given.animals] = 1.0
    fixed = np.zeros((len(given.values), given.n_groups))
    fixed[np.arange(len(fixed)), given.groups] = 1.0
    effect = RandomEffect("animal", (design,), relationships(given))
    return reml(given.values, fixed, [effect], residual_shape=1.0 / given.weights)


def test_sparse_reml__half_sibs() -> None:
    """Ten sires with six young each; the figures are those that the dense fit is held to in tests/outside."""
    sires = json.loads(PUBLISHED.read_text("utf-8"))["half_sibs"]["sires"]
    found = sparse_reml(half_sibs(np.ravel(sires).tolist()))
    assert found.is_converged
    assert found.additive == pytest.approx(25.113481, rel=1e-5)
    assert found.residual == pytest.approx(45.805056, rel=1e-5)
    assert found.heritability == pytest.approx(0.354117, rel=1e-5)
    assert -2.0 * found.log_likelihood == pytest.approx(421.62299, abs=1e-5)
    # 60 records of young say almost nothing
    assert np.sqrt(found.covariance[0, 0]) == pytest.approx(33.3, abs=0.05)
    assert found.at_boundary == ()


@pytest.mark.parametrize("n, seed, groups", [(8, 0, 2), (12, 4, 2), (30, 2, 2), (30, 4, 2), (150, 1, 4), (150, 5, 4)])
def test_sparse_reml__is_the_dense_fit(n: int, seed: int, groups: int) -> None:
    given = model(n, seed, groups=groups)
    found, expected = sparse_reml(given), dense(given)
    assert found.is_converged
    assert found.at_boundary == ()
    assert [found.additive, found.residual] == pytest.approx([expected.variance("animal"), expected.residual], rel=1e-5)
    assert found.covariance == pytest.approx(expected.parameter_covariance, rel=1e-4)
    assert found.log_likelihood == pytest.approx(expected.log_likelihood, abs=1e-8)
    assert found.solved.animals == pytest.approx(expected.predictions["animal"][:, 0], abs=1e-5)
    assert found.solved.groups == pytest.approx(expected.fixed, abs=1e-5)


def test_sparse_reml__climbs_at_every_step_of_a_poor_start() -> None:
    given = model(150, 3, heritability=0.9)
    ends = [sparse_reml(given, em_steps=em) for em in (0, 1, 8)]
    for end in ends:
        assert end.additive == pytest.approx(ends[0].additive, rel=1e-5)
        assert min(min(pair) for pair in end.path) > 0.0


def test_sparse_reml__nothing_runs_in_families() -> None:
    """Young of one sire are more unlike than young of different sires: the additive variance is at its least."""
    values = [10.0 * place + sire % 2 for sire in range(10) for place in range(6)]
    given = half_sibs(values)
    found, expected = sparse_reml(given), dense(given)
    assert expected.at_boundary == ("animal",)
    assert found.is_converged
    assert found.at_boundary == ("additive",)
    assert found.residual == pytest.approx(expected.residual, rel=1e-5)
    assert np.isnan(found.covariance[0]).all()
    assert np.isnan(found.heritability_error)
    assert found.covariance[1, 1] == pytest.approx(expected.residual_error**2, rel=1e-4)


def test_sparse_reml__heritability_error_is_the_slope_of_both() -> None:
    found = sparse_reml(model(150, 1, heritability=0.5))
    total = found.additive + found.residual
    root = np.linalg.cholesky(found.covariance)
    step = 1e-6
    moved = [(found.additive + step * a) / (total + step * (a + e)) for a, e in root.T]
    by_differences = np.linalg.norm((np.array(moved) - found.heritability) / step)
    assert found.heritability_error == pytest.approx(float(by_differences), rel=1e-4)


def test_sparse_reml__unrelated_animals() -> None:
    given = AnimalModel.of_parents(
        np.full((6, 2), -1, dtype=np.int32),
        np.zeros(6),
        animals=np.arange(6),
        groups=np.zeros(6, dtype=np.int64),
        values=np.array([1.0, 4.0, 2.0, 8.0, 5.0, 7.0]),
    )
    with pytest.raises(SizeError, match="apart"):
        sparse_reml(given)


def test_sparse_reml__as_many_groups_as_records() -> None:
    given = AnimalModel.of_parents(
        np.full((3, 2), -1, dtype=np.int32),
        np.zeros(3),
        animals=np.arange(3),
        groups=np.arange(3),
        values=np.array([1.0, 4.0, 2.0]),
    )
    with pytest.raises(SizeError, match="leave no variance"):
        sparse_reml(given)
