"""Places among others: there and back, the ends, and the share of an uncertain value by a sum over it."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.errors import SizeError
from holdback.size.percentiles import Reference, normal_cdf, normal_quantile, place_among


def test_normal__there_and_back() -> None:
    z = np.linspace(-8.0, 5.0, 53).reshape(1, 53)
    np.testing.assert_allclose(normal_quantile(normal_cdf(z)), z, atol=1e-9)
    assert normal_quantile([0.0, 1.0]).tolist() == [-np.inf, np.inf]
    assert normal_cdf(0.0) == 0.5


@pytest.mark.parametrize("p", [-0.1, 1.1, np.nan])
def test_normal_quantile__no_chance(p: float) -> None:
    with pytest.raises(SizeError, match="SIZ-305"):
        normal_quantile([0.5, p])


@pytest.mark.parametrize("skew", [-0.8, -1e-9, 0.0, 0.5, 1.0])
def test_reference__there_and_back(skew: float) -> None:
    reference = Reference(skew, 1600.0, 0.15)
    chances = np.linspace(0.01, 0.99, 9)
    values = reference.value(chances)
    np.testing.assert_allclose(reference.chance_below(values), chances, rtol=1e-9)
    assert np.all(np.diff(values) > 0)
    np.testing.assert_allclose(values[4], 1600.0, rtol=1e-12)


def test_reference__normal_and_log_normal() -> None:
    np.testing.assert_allclose(Reference(1.0, 100.0, 0.1).z([90.0, 120.0]), [-1.0, 2.0], rtol=1e-12)
    np.testing.assert_allclose(Reference(0.0, 100.0, 0.1).z(100 * np.exp([-0.1, 0.2])), [-1.0, 2.0], rtol=1e-12)


def test_reference__does_not_reach_below_nought() -> None:
    assert np.isnan(Reference(1.0, 100.0, 0.5).value(0.01))


@pytest.mark.parametrize("median,variation", [(0.0, 0.1), (100.0, 0.0), (100.0, np.nan)])
def test_reference__none(median: float, variation: float) -> None:
    with pytest.raises(SizeError, match="SIZ-306"):
        Reference(0.0, median, variation)


def test_place_among__is_the_share_summed_over_the_difference() -> None:
    points = normal_quantile((np.arange(20000) + 0.5) / 20000)
    shares = normal_cdf((0.15 + 0.1 * points) / 0.2)
    found = place_among(0.15, sd=0.1, spread=0.2)
    np.testing.assert_allclose(found.mean, shares.mean(), rtol=1e-6)
    np.testing.assert_allclose([found.low, found.high], np.quantile(shares, [0.05, 0.95]), rtol=1e-4)
    assert found.mean < normal_cdf(0.75)


def test_place_among__a_known_value_has_one_place() -> None:
    found = place_among([0.0, 0.2], sd=0.0, spread=0.2)
    assert found.mean.tolist() == found.low.tolist() == found.high.tolist()


def test_place_among__others_all_alike() -> None:
    with pytest.raises(SizeError, match="SIZ-306"):
        place_among(0.1, sd=0.1, spread=0.0)
