"""Variances by REML beside those of `statsmodels.regression.mixed_linear_model.MixedLM`, at run time."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from statsmodels.regression.mixed_linear_model import MixedLM  # type: ignore[import-untyped]
from statsmodels.tools.sm_exceptions import ConvergenceWarning  # type: ignore[import-untyped]

from holdback.size.mixed_model import RandomEffect, RemlFit, reml

pytestmark = pytest.mark.outside

FloatArray = npt.NDArray[np.float64]


def drawn(seed: int, *, slope_sd: float) -> tuple[FloatArray, FloatArray, npt.NDArray[np.int64], FloatArray]:
    """Weights of forty animals of two sexes, two to six each, with a slope on age of their own."""
    chance = np.random.default_rng(seed)
    owners = np.repeat(np.arange(40), chance.integers(2, 7, 40))
    age = chance.uniform(-1.0, 1.0, len(owners))
    male = (owners % 2).astype(np.float64)
    own = chance.normal(size=(40, 2)) * [1.0, slope_sd] @ np.array([[1.0, 0.3], [0.0, 1.0]])
    y = 3.0 + 0.5 * age - male + own[owners, 0] + own[owners, 1] * age + chance.normal(0.0, 0.7, len(owners))
    return y, np.column_stack([np.ones(len(y)), age, male]), owners, age


def theirs(y: FloatArray, fixed: FloatArray, owners: npt.NDArray[np.int64], random: FloatArray) -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # it speaks of the boundary, which is where one case lies
        warnings.simplefilter("ignore", UserWarning)
        return MixedLM(y, fixed, groups=owners, exog_re=random).fit(reml=True, method="bfgs", gtol=1e-9)


def compare(ours: RemlFit, other: Any, tolerance: float) -> None:
    assert ours.is_converged
    np.testing.assert_allclose(ours.covariances["animal"], other.cov_re, rtol=0, atol=tolerance)
    np.testing.assert_allclose(ours.residual, other.scale, rtol=0, atol=tolerance)
    np.testing.assert_allclose(ours.fixed, other.fe_params, rtol=0, atol=tolerance)
    told = np.array([other.random_effects[number] for number in sorted(other.random_effects)], dtype=np.float64)
    np.testing.assert_allclose(ours.predictions["animal"], told, rtol=0, atol=10 * tolerance)


@pytest.mark.parametrize("seed", [1, 2])
def test_reml__intercepts(seed: int) -> None:
    y, fixed, owners, _ = drawn(seed, slope_sd=0.0)
    fit = reml(y, fixed, [RandomEffect.of_levels("animal", owners.tolist())])
    compare(fit, theirs(y, fixed, owners, np.ones((len(y), 1))), 1e-4)


@pytest.mark.parametrize("seed", [1, 2])
def test_reml__intercepts_and_slopes(seed: int) -> None:
    y, fixed, owners, age = drawn(seed, slope_sd=0.6)
    fit = reml(y, fixed, [RandomEffect.of_levels("animal", owners.tolist(), age[:, None])])
    compare(fit, theirs(y, fixed, owners, np.column_stack([np.ones(len(y)), age])), 1e-4)


@pytest.mark.parametrize("seed", [1, 5, 6])
def test_reml__slopes_that_go_with_intercepts(seed: int) -> None:
    """At the boundary the likelihood is no less than what the other library finds."""
    y, fixed, owners, age = drawn(seed, slope_sd=0.0)
    fit = reml(y, fixed, [RandomEffect.of_levels("animal", owners.tolist(), age[:, None])])
    other = theirs(y, fixed, owners, np.column_stack([np.ones(len(y)), age]))
    assert fit.is_converged
    assert fit.log_likelihood >= other.llf - 1e-7
    assert fit.at_boundary == ("animal",)
