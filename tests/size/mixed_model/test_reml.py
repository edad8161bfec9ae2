"""REML against the likelihood itself, and its ends: nothing to estimate, starts that cannot be, boundaries."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdback.descent.pedigree import Pedigree
from holdback.errors import SizeError
from holdback.size.mixed_model import (
    RandomEffect,
    Records,
    Variances,
    animal_model,
    heritability_log_likelihood,
    heritability_posterior,
    reml,
    shrunken,
)
from holdback.size.mixed_model.restricted_likelihood import RestrictedLikelihood

FloatArray = npt.NDArray[np.float64]


def drawn(seed: int) -> tuple[FloatArray, FloatArray, RandomEffect]:
    """Thirty records of eight animals with an intercept and a slope."""
    chance = np.random.default_rng(seed)
    owners, age = chance.integers(0, 8, 30), chance.uniform(-1.0, 1.0, 30)
    own = chance.normal(size=(8, 2)) @ np.array([[1.0, 0.4], [0.0, 0.8]])
    y = own[owners, 0] + own[owners, 1] * age + chance.normal(0.0, 0.6, 30)
    effect = RandomEffect.of_levels("animal", owners.tolist(), age[:, None])
    related = 0.2 * np.ones((effect.n_levels, effect.n_levels)) + 0.8 * np.eye(effect.n_levels)
    return y, np.column_stack([np.ones(30), age]), RandomEffect("animal", effect.designs, related)


@pytest.mark.parametrize("shape", [None, np.linspace(0.5, 2.0, 30), 0.3 + 0.7 * np.eye(30)])
def test_likelihood__derivatives_by_differences(shape: FloatArray | None) -> None:
    y, fixed, effect = drawn(1)
    likelihood = RestrictedLikelihood.of(y, fixed, [effect], shape)
    parameters = np.array([1.1, 0.2, 0.7, 0.4])
    point = likelihood.at(parameters)
    assert point is not None
    for number, unit in enumerate(np.eye(4)):
        ends = [likelihood.at(parameters + step * unit) for step in (-1e-5, 1e-5)]
        values = [one.value for one in ends if one is not None]
        np.testing.assert_allclose(point.score[number], (values[1] - values[0]) / 2e-5, rtol=0, atol=1e-6)


def test_likelihood__average_information_by_its_definition() -> None:
    y, fixed, effect = drawn(2)
    point = RestrictedLikelihood.of(y, fixed, [effect], None).at(np.array([1.1, 0.2, 0.7, 0.4]))
    assert point is not None
    one, other = effect.designs
    across = one @ effect.related(other.T)
    parts = [one @ effect.related(one.T), across + across.T, other @ effect.related(other.T), np.eye(30)]
    told = [[0.5 * point.rest @ first @ point.projection @ second @ point.rest for second in parts] for first in parts]
    np.testing.assert_allclose(point.information, told, rtol=1e-9)


@settings(max_examples=20)
@given(st.integers(0, 10_000))
def test_reml__no_other_variances_are_likelier(seed: int) -> None:
    """Whether at the boundary or within; and no step on the way falls back by more than rounding."""
    y, fixed, effect = drawn(seed)
    fit = reml(y, fixed, [effect])
    assert fit.is_converged
    likelihood = RestrictedLikelihood.of(y, fixed, [effect], None)
    values = [point.value for one in fit.path if (point := likelihood.at(one)) is not None]
    assert len(values) == len(fit.path)
    assert min(np.diff(values)) > -1e-7
    chance = np.random.default_rng(seed)
    for scale in (1e-3, 1e-2, 1e-1):
        moved = np.linalg.cholesky(fit.covariances["animal"] + 1e-12 * np.eye(2)) + chance.normal(0.0, scale, (2, 2))
        between = moved @ moved.T
        residual = fit.residual * np.exp(chance.normal(0.0, scale))
        other = likelihood.at(np.array([between[0, 0], between[1, 0], between[1, 1], residual]))
        assert other is not None
        assert other.value < fit.log_likelihood + 1e-7


@pytest.mark.parametrize("factor", [1e-3, 1e3])
def test_reml__unit_of_records_changes_nothing(factor: float) -> None:
    y, fixed, effect = drawn(5)
    found, told = reml(y * factor, fixed, [effect]), reml(y, fixed, [effect])
    np.testing.assert_allclose(found.covariances["animal"], told.covariances["animal"] * factor**2, rtol=1e-5)
    np.testing.assert_allclose(found.residual_error, told.residual_error * factor**2, rtol=1e-5)


def test_reml__predictions_are_those_of_the_animal_model() -> None:
    pedigree = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "D"), "M": ("S", "E"), "N": ("T", "E")})
    animals = np.array([pedigree.index[one] for one in "KLMNKLMNSDET"])
    y = np.array([12.0, 9.0, 4.0, 3.0, 11.0, 9.5, 4.5, 2.0, 8.0, 9.0, 3.0, 2.0])
    effect = RandomEffect.of_animals("animal", pedigree, animals)
    fit = reml(y, np.ones((12, 1)), [effect])
    assert not fit.at_boundary
    records = Records(y, animals, np.ones((12, 1)))
    told = animal_model(records, pedigree, Variances(fit.variance("animal"), fit.residual))
    np.testing.assert_allclose(fit.predictions["animal"][:, 0], told.breeding_values[np.unique(animals)], atol=1e-9)
    np.testing.assert_allclose(fit.fixed, told.effects.of("fixed"), atol=1e-9)
    estimate, error = fit.contrast(np.ones(1))
    np.testing.assert_allclose([estimate, error**2], [fit.fixed[0], told.effects.covariance_of("fixed")[0, 0]])


def test_reml__all_or_nothing_is_heritable() -> None:
    """Families of three: likes within families, and families all alike."""
    table = families_of_three(10)
    effect = RandomEffect("animal", (np.eye(30),), table)
    families = np.repeat(np.random.default_rng(3).normal(size=10), 3) * 3.0
    within = np.tile([-0.7, 0.0, 0.7], 10)
    everything = reml(families + within, np.ones((30, 1)), [effect])
    assert everything.is_converged
    assert everything.at_boundary == ("residual",)
    assert np.isnan(everything.residual_error)
    nothing = reml(within, np.ones((30, 1)), [effect])
    assert nothing.is_converged
    assert nothing.at_boundary == ("animal",)
    np.testing.assert_allclose(nothing.residual, within @ within / 29.0)


def families_of_three(n: int) -> FloatArray:
    """Relationship of full sibs, families unrelated."""
    family = np.arange(3 * n) // 3
    return np.where(np.eye(3 * n) == 1.0, 1.0, np.where(family[:, None] == family[None, :], 0.5, 0.0))


def test_reml__stops_where_asked() -> None:
    y, fixed, effect = drawn(1)
    fit = reml(y, fixed, [effect], max_steps=2)
    assert fit.n_iterations == 2
    assert not fit.is_converged


def told(model: object) -> str:
    assert callable(model)
    with pytest.raises(SizeError) as caught:
        model()
    return str(caught.value)


def test_reml__fixed_effects_that_leave_nothing() -> None:
    y, fixed, effect = drawn(1)
    doubled = np.column_stack([fixed, fixed[:, 0]])
    assert told(lambda: reml(y, doubled, [effect])).startswith(
        "SIZ-206 field fixed: 30 records and 3 fixed effects, 2 of them independent, leave no variance to estimate."
    )
    assert told(lambda: reml(y[:2], fixed[:2], [])).startswith("SIZ-206 field fixed: 2 records and 2 fixed effects")


@pytest.mark.parametrize("start", [[1.0, 2.0, 1.0, 1.0], [1.0, 0.0, 1.0, -1.0], [1.0, 1.0], [0.0, 0.0, 0.0, 0.0]])
def test_reml__starts_that_cannot_be(start: list[float]) -> None:
    y, fixed, effect = drawn(1)
    found = told(lambda: reml(y, fixed, [effect], start=np.array(start)))
    assert found.startswith(f"SIZ-207 field start: Variances cannot be {start}.")


def test_heritability_log_likelihood__is_that_of_reml() -> None:
    """Its largest value is where REML is, and differences are those of the likelihood with the best total variance."""
    chance = np.random.default_rng(8)
    table = families_of_three(20)
    weights = chance.uniform(0.5, 2.0, 60)
    y = np.linalg.cholesky(table) @ chance.normal(size=60) * 1.5 + chance.normal(size=60) * np.sqrt(weights)
    effect = RandomEffect("animal", (np.eye(60),), table)
    fit = reml(y, np.ones((60, 1)), [effect], residual_shape=weights)
    h2 = fit.variance("animal") / (fit.variance("animal") + fit.residual)
    assert 0.05 < h2 < 0.95
    said = heritability_log_likelihood(y, np.ones((60, 1)), effect, residual_shape=weights)
    assert said(h2) > max(said(h2 - 1e-3), said(h2 + 1e-3))
    likelihood = RestrictedLikelihood.of(y, np.ones((60, 1)), [effect], weights)

    def profiled(part: float) -> float:
        point = likelihood.at(np.array([part, 1.0 - part]))
        assert point is not None
        best = likelihood.at(np.array([part, 1.0 - part]) * float(likelihood.y @ point.rest) / 59.0)
        assert best is not None
        return best.value

    np.testing.assert_allclose(said(0.2) - said(h2), profiled(0.2) - profiled(h2), rtol=0, atol=1e-9)


def test_heritability_posterior__of_many_records_says_more_than_the_prior() -> None:
    chance = np.random.default_rng(9)
    table = 0.5 * np.kron(np.eye(60), np.ones((5, 5))) + 0.5 * np.eye(300)
    y = np.linalg.cholesky(table) @ chance.normal(size=300) * 0.7 + chance.normal(size=300) * 0.7
    effect = RandomEffect("animal", (np.eye(300),), table)
    found = heritability_posterior(heritability_log_likelihood(y, np.ones((300, 1)), effect), prior=(2.5, 3.5))
    assert not found.says_little
    assert found.low < 0.5 < found.high
    assert found.sd < 0.7 * found.prior_sd
    np.testing.assert_allclose([found.density.mean(), found.prior_density.mean()], 1.0)


@given(st.floats(0.5, 8.0), st.floats(0.5, 8.0))
def test_heritability_posterior__of_nothing_is_the_prior(a: float, b: float) -> None:
    found = heritability_posterior(lambda h2: -7.0, prior=(a, b))
    assert found.divergence < 1e-12
    np.testing.assert_allclose([found.mean, found.sd], [found.prior_mean, found.prior_sd], rtol=0, atol=1e-2)


@pytest.mark.parametrize("prior", [(0.0, 1.0), (1.0, -2.0)])
def test_heritability_posterior__priors_that_cannot_be(prior: tuple[float, float]) -> None:
    assert told(lambda: heritability_posterior(lambda h2: 0.0, prior=prior)).startswith("SIZ-208 field prior: ")


def test_shrunken__needs_spread() -> None:
    assert told(lambda: shrunken(1.0, 0.5, prior_sd=0.0)).startswith("SIZ-204 field variances: ")
