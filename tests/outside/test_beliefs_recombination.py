"""Recombination fractions that stand for their prior, against the beta quantiles of scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import beta  # type: ignore[import-untyped]
from tests.heredity.beliefs.random_families import LINKAGE

from holdback.heredity.beliefs.recombination_grid import grid_of

pytestmark = pytest.mark.outside


def test_grid_of__carries_the_cut_beta_prior() -> None:
    """Middles of 24 equally likely intervals below one half; the density is summed in steps of 1/8000."""
    found = grid_of(LINKAGE)
    below = beta.cdf(0.5, LINKAGE.alpha, LINKAGE.beta) * (np.arange(24) + 0.5) / 24
    assert found.r == pytest.approx(tuple(beta.ppf(below, LINKAGE.alpha, LINKAGE.beta)), abs=1 / 8000)
    assert found.weights == pytest.approx((1 / 24,) * 24)
