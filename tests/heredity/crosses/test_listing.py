"""The lazy listing against building everything."""

from __future__ import annotations

import math
from itertools import islice, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.heredity.crosses.listing import in_order, likeliest

FACTORS = st.lists(
    st.lists(st.sampled_from((0.0, 0.1, 0.125, 0.25, 0.3, 0.5, 1.0)), min_size=1, max_size=4), min_size=1, max_size=5
)


def reference_all(factors: list[list[float]]) -> list[float]:
    return sorted((chance for chance in map(math.prod, product(*factors)) if chance > 0.0), reverse=True)


@given(FACTORS)
def test_in_order__every_combination_once_likeliest_first(factors: list[list[float]]) -> None:
    found = list(in_order(factors))
    assert [chance for chance, _ in found] == pytest.approx(reference_all(factors), rel=1e-12)
    assert len({choice for _, choice in found}) == len(found)
    for chance, choice in found:
        assert chance == pytest.approx(math.prod(f[c] for f, c in zip(factors, choice, strict=True)), rel=1e-12)


@given(FACTORS, st.integers(1, 9))
def test_likeliest__is_the_head_of_everything(factors: list[list[float]], top: int) -> None:
    assert [chance for chance, _ in likeliest(factors, top)] == pytest.approx(reference_all(factors)[:top], rel=1e-12)


def test_likeliest__many_loci_are_not_built() -> None:
    factors = [[0.75, 0.25] for _ in range(60)]
    found = likeliest(factors, 62)
    expected = [0.75**60] + [0.75**59 * 0.25] * 60 + [0.75**58 * 0.25**2]
    assert [chance for chance, _ in found] == pytest.approx(expected, rel=1e-12)


def test_in_order__nothing_possible() -> None:
    assert list(islice(in_order([[0.5, 0.5], [0.0]]), 3)) == []
