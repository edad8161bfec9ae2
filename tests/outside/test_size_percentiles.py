"""Percentiles as the CDC works them out, and the normal law as scipy has it."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from holdback.size.percentiles import Reference, normal_cdf, normal_quantile

pytestmark = pytest.mark.outside

CDC = json.loads(Path(__file__).with_name("size_percentiles.json").read_text("utf-8"))


def test_reference__worked_example() -> None:
    chart = Reference(CDC["skew"], CDC["median"], CDC["variation"])
    np.testing.assert_allclose(chart.z(CDC["value"]), CDC["z"], rtol=0, atol=5e-7)
    np.testing.assert_allclose(chart.chance_below(CDC["value"]), CDC["chance"], rtol=0, atol=5e-6)
    np.testing.assert_allclose(chart.value([0.05, 0.95]), [CDC["fifth"], CDC["ninety_fifth"]], rtol=0, atol=5e-7)


@pytest.mark.parametrize("skew", [-1.2, 0.3, 2.0])
def test_reference__scipy_has_the_same_transform(skew: float) -> None:
    values = np.linspace(900.0, 2400.0, 7)
    wanted = stats.boxcox(values / 1600.0, lmbda=skew) / 0.2
    np.testing.assert_allclose(Reference(skew, 1600.0, 0.2).z(values), wanted, rtol=1e-12)


def test_normal__scipy() -> None:
    z = np.linspace(-30.0, 8.0, 200)
    np.testing.assert_allclose(normal_cdf(z), stats.norm.cdf(z), rtol=1e-12)
    p = np.concatenate(
        [10.0 ** -np.arange(1.0, 300.0, 7.0), np.linspace(0.001, 0.999, 99), 1 - 10.0 ** -np.arange(1.0, 15.0)]
    )
    np.testing.assert_allclose(normal_quantile(p), stats.norm.ppf(p), rtol=1e-12, atol=1e-15)
