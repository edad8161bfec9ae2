"""Variances by REML: published fits, and fits of the same data by reference libraries.

Data and their papers are in ``size_mixed_data.json``. Fits are those of the R packages lme4 and nlme unless a test
names another source; `test_size_mixed_statsmodels` compares with a third library at run time.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]

from holdback.size.mixed_model import (
    RandomEffect,
    RemlFit,
    heritability_log_likelihood,
    heritability_posterior,
    reml,
    shrunken,
)

pytestmark = pytest.mark.outside

DATA: dict[str, Any] = json.loads(Path(__file__).with_name("size_mixed_data.json").read_text("utf-8"))

FloatArray = npt.NDArray[np.float64]


def close(found: npt.ArrayLike, printed: npt.ArrayLike, tolerance: float) -> None:
    np.testing.assert_allclose(np.asarray(found, dtype=np.float64), np.asarray(printed), rtol=0, atol=tolerance)


def groups(name: str, kind: str) -> tuple[FloatArray, list[str]]:
    """Values and the group of each."""
    listed = DATA[name][kind]
    return (
        np.array([value for values in listed.values() for value in values], dtype=np.float64),
        [group for group, values in listed.items() for _ in values],
    )


def dyestuff(name: str = "dyestuff", **settings: Any) -> RemlFit:
    y, batches = groups(name, "batches")
    return reml(y, np.ones((30, 1)), [RandomEffect.of_levels("batch", batches)], **settings)


def test_reml__dyestuff() -> None:
    """Balanced, so equal to the analysis of variance: (11271.5 - 2451.25) / 5 between batches."""
    fit = dyestuff()
    assert fit.is_converged
    assert not fit.at_boundary
    close([fit.variance("batch"), fit.residual], [1764.05, 2451.25], 1e-3)
    close(fit.fixed, 1527.5, 1e-9)
    close(fit.criterion, 319.65428, 6e-6)


def test_reml__dyestuff_by_average_information_alone() -> None:
    """Path of another program of the same method."""
    fit = dyestuff(start=np.array([1000.0, 1000.0]), em_steps=0)
    told = [(1000, 1000), (1442.81, 1592.04), (1716.43, 2150.08), (1766.29, 2414.25), (1764.15, 2450.69)]
    close(fit.path[:5], told, 6e-3)


def test_reml__dyestuff_by_em_alone() -> None:
    """Path of another program of the same method."""
    path = dyestuff(start=np.array([1000.0, 1000.0]), em_steps=10, max_steps=10).path
    told = [(1610.13, 2185.41), (1716.88, 2405.95), (1759.97, 2451.48), (1763.92, 2451.27)]
    close([path[step] for step in (1, 2, 5, 10)], told, 6e-3)


def test_reml__no_variance_between_batches() -> None:
    fit = dyestuff("dyestuff2")
    assert fit.is_converged
    assert fit.at_boundary == ("batch",)
    assert fit.variance("batch") == 0.0
    assert np.isnan(fit.standard_errors["batch"][0, 0])
    close(fit.residual, 13.80631, 6e-6)


def penicillin(**settings: Any) -> RemlFit:
    y, plates = groups("penicillin", "plates")
    effects = [RandomEffect.of_levels("plate", plates), RandomEffect.of_levels("sample", list("ABCDEF") * 24)]
    return reml(y, np.ones((144, 1)), effects, start=np.ones(3), **settings)


@pytest.mark.parametrize("em_steps", [0, 3])
def test_reml__penicillin(em_steps: int) -> None:
    """Crossed; average information alone jumps out of the space of variances at its first step."""
    fit = penicillin(em_steps=em_steps)
    assert fit.is_converged
    close([fit.variance("plate"), fit.variance("sample"), fit.residual], [0.716908, 3.730918, 0.302415], 2e-6)
    close(fit.fixed, 22.97222, 6e-6)
    close(fit.criterion, 330.86059, 6e-6)


def test_reml__pastes() -> None:
    """Nested: casks within batches."""
    nested = [
        (batch, cask, value)
        for batch, casks in DATA["pastes"]["batches"].items()
        for cask, values in casks.items()
        for value in values
    ]
    effects = [
        RandomEffect.of_levels("batch", [batch for batch, _, _ in nested]),
        RandomEffect.of_levels("cask", [(batch, cask) for batch, cask, _ in nested]),
    ]
    fit = reml(np.array([value for _, _, value in nested]), np.ones((60, 1)), effects)
    sds = np.sqrt([fit.variance("batch"), fit.variance("cask"), fit.residual])
    close(sds, [1.287366, 2.904078, 0.823408], 2e-6)
    close(fit.criterion, 246.9907, 6e-5)


def test_reml__sleepstudy() -> None:
    """An intercept and a slope with their covariance; Bates et al. (2015), J. Stat. Softw. 67:1, print two decimals."""
    y, subjects = groups("sleepstudy", "subjects")
    days = np.tile(np.arange(10.0), 18)
    fit = reml(y, np.column_stack([np.ones(180), days]), [RandomEffect.of_levels("subject", subjects, days[:, None])])
    close(fit.covariances["subject"], [[612.0899, 9.6043], [9.6043, 35.0717]], 1e-4)
    close(fit.residual, 654.9410, 6e-5)
    close(fit.fixed, [251.4051, 10.46729], 6e-5)
    close(fit.criterion, 1743.62827, 6e-6)


def test_reml__orthodont() -> None:
    y, subjects = groups("orthodont", "subjects")
    age = np.tile(np.array(DATA["orthodont"]["ages"]) - 11.0, 27)
    girl = np.array([1.0 if subject.startswith("F") else 0.0 for subject in subjects])
    fixed = np.column_stack([np.ones(len(y)), age, girl, age * girl])
    fit = reml(y, fixed, [RandomEffect.of_levels("subject", subjects)])
    close(fit.fixed, [24.96875, 0.784375, -2.321023, -0.3048295], 6e-7)
    close([fit.variance("subject"), fit.residual], [3.298634, 1.922055], 2e-6)
    close(fit.log_likelihood, -216.8786, 6e-5)


def rats() -> tuple[FloatArray, FloatArray, list[int], FloatArray]:
    """Weights, days, the rat of each, and the design of days within diets."""
    days = np.tile(np.array(DATA["rats"]["days"], dtype=np.float64), 16)
    diet = np.repeat(DATA["rats"]["diets"], 11)
    on_second, on_third = (diet == 2).astype(np.float64), (diet == 3).astype(np.float64)
    fixed = np.column_stack([np.ones(176), days, on_second, on_third, days * on_second, days * on_third])
    return np.array(DATA["rats"]["rats"], dtype=np.float64).ravel(), days, [*np.repeat(range(16), 11)], fixed


def test_reml__rats() -> None:
    """Pinheiro and Bates (2000), Mixed-Effects Models in S and S-PLUS, section 5.2.2."""
    y, days, owners, fixed = rats()
    fit = reml(y, fixed, [RandomEffect.of_levels("rat", owners, days[:, None])])
    close(fit.fixed, [251.65165, 0.3596391, 200.66549, 252.07168, 0.6058392, 0.2983375], 6e-6)
    sds = np.sqrt(fit.covariances["rat"].diagonal())
    close(sds, [36.93907, 0.2484113], 6e-6)
    close(fit.covariances["rat"][0, 1] / sds.prod(), -0.149, 6e-4)
    close(np.sqrt(fit.residual), 4.443605, 2e-6)
    close(fit.log_likelihood, -575.8599, 6e-5)


def test_reml__rats_with_residuals_that_grow_with_weight() -> None:
    """The same with residual sd proportional to (fitted weight)^.5428418, the fitted weights of the fit itself."""
    y, days, owners, fixed = rats()
    effects = [RandomEffect.of_levels("rat", owners, days[:, None])]

    def fitted(fit: RemlFit) -> FloatArray:
        by_rat = fit.predictions["rat"][owners]
        weights: FloatArray = fixed @ fit.fixed + by_rat[:, 0] + by_rat[:, 1] * days
        return weights

    fit = reml(y, fixed, effects)
    for _ in range(8):
        spread = fitted(fit) ** (2 * 0.5428418)
        fit = reml(y, fixed, effects, residual_shape=spread)
    close(fit.log_likelihood, -570.9607, 6e-4)


def lambs() -> tuple[FloatArray, FloatArray, list[int]]:
    """Weights, the design of lines and ages of dams (the first one 0), and sires."""
    cells = [(line, sire, age, value) for line, sire, age, values in DATA["lambs"]["cells"] for value in values]
    line, sire, age, y = (np.array(one) for one in zip(*cells, strict=True))
    fixed = np.column_stack([*(line == one for one in range(1, 6)), age == 2, age == 3]).astype(np.float64)
    return y.astype(np.float64), fixed, sire.tolist()


def half_sib_relationship(sires: list[int]) -> FloatArray:
    """Animals of one sire and unrelated dams."""
    same = np.array(sires)[:, None] == np.array(sires)[None, :]
    return np.where(np.eye(len(sires)) == 1.0, 1.0, np.where(same, 0.25, 0.0))


def test_reml__lambs_by_sire() -> None:
    """Harville and Fenech (1985); .5171 and 2.9616 are also in Khuri (2010), Linear Model Methodology."""
    y, fixed, sires = lambs()
    fit = reml(y, fixed, [RandomEffect.of_levels("sire", sires)])
    close([fit.variance("sire"), fit.residual], [0.517077, 2.961597], 2e-6)
    close(4.0 * fit.variance("sire") / (fit.variance("sire") + fit.residual), 0.594567, 2e-6)
    close(fit.fixed[:5], [10.4891, 12.2855, 11.0755, 10.2741, 10.9508], 6e-5)
    close(fit.fixed[5:], [-0.16967, 0.01959], 6e-6)
    close(fit.criterion, 238.35748, 6e-6)


def test_reml__lambs_by_animal() -> None:
    y, fixed, sires = lambs()
    fit = reml(y, fixed, [RandomEffect("animal", (np.eye(62),), half_sib_relationship(sires))])
    close([fit.variance("animal"), fit.residual], [2.06831, 1.41037], 2e-5)
    close(fit.criterion, 238.35748, 6e-6)


@pytest.mark.parametrize(
    "prior_sd, mean, sd", [(0.5, 0.44383, 0.42442), (1.0, 0.96569, 0.62605), (2.0, 1.36775, 0.74507)]
)
def test_shrunken__line_of_lambs(prior_sd: float, mean: float, sd: float) -> None:
    """The second line less the mean of the others, by another program."""
    y, fixed, sires = lambs()
    fit = reml(y, fixed, [RandomEffect.of_levels("sire", sires)])
    estimate, error = fit.contrast(np.array([-0.25, 1.0, -0.25, -0.25, -0.25, 0.0, 0.0]))
    close([estimate, error], [1.58816, 0.80286], 6e-6)
    close(shrunken(estimate, error, prior_sd=prior_sd), [mean, sd], 6e-6)


def half_sibs() -> tuple[FloatArray, list[int]]:
    return np.array(DATA["half_sibs"]["sires"]).ravel(), np.repeat(range(10), 6).tolist()


def test_reml__half_sibs() -> None:
    y, sires = half_sibs()
    by_sire = reml(y, np.ones((60, 1)), [RandomEffect.of_levels("sire", sires)])
    close([by_sire.variance("sire"), by_sire.residual], [6.278370, 64.640167], 2e-6)
    close(by_sire.criterion, 421.62299, 6e-6)
    by_animal = reml(y, np.ones((60, 1)), [RandomEffect("animal", (np.eye(60),), half_sib_relationship(sires))])
    close([by_animal.variance("animal"), by_animal.residual], [25.113481, 45.805056], 2e-5)
    close(by_animal.criterion, 421.62299, 6e-6)


@pytest.mark.parametrize(
    "prior, told",
    [
        ((1, 1), (0.4708, 0.2685, 0.060, 0.924)),
        ((2, 4), (0.3351, 0.1694, 0.086, 0.641)),
        ((5, 7), (0.4122, 0.1321, 0.203, 0.638)),
    ],
)
def test_heritability_posterior__half_sibs(prior: tuple[float, float], told: tuple[float, ...]) -> None:
    """Posteriors of another program; sixty records of ten sires say almost nothing of a heritability."""
    y, sires = half_sibs()
    animals = RandomEffect("animal", (np.eye(60),), half_sib_relationship(sires))
    found = heritability_posterior(heritability_log_likelihood(y, np.ones((60, 1)), animals), prior=prior)
    close(found.mean, told[0], 6e-5)
    close(found.sd, told[1], 3e-4)  # the other program left out .001 at either end
    close([found.low, found.high], told[2:], 6e-4)
    assert found.says_little


def test_heritability_posterior__by_quadrature() -> None:
    """Adaptive quadrature of the likelihood written out, by scipy."""
    y, sires = half_sibs()
    between = half_sib_relationship(sires)

    def likelihood(h2: float) -> float:
        inverse = np.linalg.inv(h2 * between + (1.0 - h2) * np.eye(60))
        rest = y - inverse.sum(axis=0) @ y / inverse.sum()
        log_det = np.linalg.slogdet(inverse)[1] - np.log(inverse.sum())
        return float(np.exp(0.5 * log_det - 29.5 * np.log(rest @ inverse @ rest / 4000.0)))

    moments = [quad(lambda h2, power=power: h2**power * likelihood(h2), 0.0, 1.0)[0] for power in range(3)]
    mean = moments[1] / moments[0]
    animals = RandomEffect("animal", (np.eye(60),), between)
    found = heritability_posterior(heritability_log_likelihood(y, np.ones((60, 1)), animals), prior=(1.0, 1.0))
    close([found.mean, found.sd], [mean, np.sqrt(moments[2] / moments[0] - mean**2)], 2e-6)
