"""Clutch counts against direct sums."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.errors import CrossError
from holdback.heredity.crosses import EggCount, eggs_needed
from holdback.heredity.crosses.clutch import binomial_at_least, each_sex, first_reaching

CHANCES = st.sampled_from((0.0, 1e-9, 1 / 64, 0.25, 0.5, 0.9, 1.0))


def reference_at_least(m: int, n: int, q: float) -> float:
    return math.fsum(math.comb(n, k) * q**k * (1 - q) ** (n - k) for k in range(m, n + 1))


@given(st.integers(0, 6), st.integers(0, 12), CHANCES)
def test_binomial_at_least__equals_the_sum(m: int, n: int, q: float) -> None:
    assert binomial_at_least(m, n, q) == pytest.approx(reference_at_least(m, n, q), rel=1e-9, abs=1e-14)


@given(CHANCES, st.sampled_from((0.0, 0.2)))
def test_at_least_each__equals_one_by_one(q: float, failure: float) -> None:
    eggs = EggCount(((3, 0.25), (8, 0.75)), ((0.5, 0.5), (1.0, 0.5)), failure)
    single = [eggs.at_least(m, q) for m in range(1, 6)]
    assert eggs.at_least_each(5, q) == pytest.approx(single, abs=1e-12)
    assert eggs.at_least(0, q) == 1.0
    assert single[0] == pytest.approx(eggs.at_least_one(q), abs=1e-12)
    assert eggs.none_of(q) == pytest.approx(1.0 - single[0], abs=1e-12)


def test_one_of_each_sex__by_listing_eight_outcomes() -> None:
    listed = sum(1 for eggs in ((a, b, c) for a in "mfx" for b in "mfx" for c in "mfx") if "m" in eggs and "f" in eggs)
    assert each_sex(3, 1 / 3, 1 / 3) == pytest.approx(listed / 27)
    assert EggCount.fixed(3).one_of_each_sex(2 / 3) == pytest.approx(listed / 27)
    assert EggCount.fixed(9).one_of_each_sex(0.5, males=1.0) == 0.0


def test_at_least_one__tiny_chance_keeps_its_figures() -> None:
    assert EggCount.fixed(10).at_least_one(1e-18) == pytest.approx(1e-17, rel=1e-12)


def test_at_least_one__falls_with_spread_of_size() -> None:
    """Jensen: the same mean with more spread gives less."""
    fixed, spread = EggCount.fixed(6), EggCount.normal(6.0, 2.0, least=1, most=11)
    assert spread.mean == pytest.approx(6.0)
    assert spread.at_least_one(0.25) < fixed.at_least_one(0.25)


def test_from_species__size_and_hatch_rate(small: Any) -> None:
    eggs = EggCount.from_species(small)
    assert math.fsum(chance for _, chance in eggs.sizes) == pytest.approx(1.0)
    assert eggs.mean == pytest.approx(6.8, abs=0.02)
    assert eggs.hatch_rate == pytest.approx(0.8)
    assert len(eggs.hatch) == 9
    assert 0.65 < eggs.hatch[0][0] < 0.72 < 0.88 < eggs.hatch[-1][0] < 0.92  # means of the outer ninths
    assert eggs.expected_hatchlings == pytest.approx(eggs.mean * 0.8)
    assert "mean 6.8 eggs" in eggs.ground


def test_normal__without_spread_is_fixed() -> None:
    assert EggCount.normal(7.2, 0.0, least=1, most=15).sizes == ((7, 1.0),)


def test_fixed__says_all_that_is_wrong() -> None:
    with pytest.raises(CrossError, match="-1 is no number of eggs") as raised:
        EggCount.fixed(-1, 1.5)
    assert [fault.code for fault in raised.value.faults] == ["CRS-006", "CRS-007"]


def test_eggs_needed__edges() -> None:
    assert eggs_needed(0.0, 0.5) is None
    assert eggs_needed(1.0, 0.99) == 1
    assert eggs_needed(0.5, 0.5) == 1
    assert eggs_needed(1.0, 0.9, at_least=4) == 4
    assert first_reaching(0.5, lambda n: 0.4) is None
