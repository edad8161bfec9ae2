"""Faults and edges of the ratio tests; published counts stand in tests/outside."""

from __future__ import annotations

import pytest

from holdback.errors import CrossError
from holdback.heredity.crosses.ratios import exact_ratio_fit, ratio_fit


def test_ratio_fit__says_all_that_is_wrong() -> None:
    with pytest.raises(CrossError, match="3 counts stand against a ratio of 2 classes") as raised:
        ratio_fit((1, -1, 0), (3, 0))
    assert [fault.code for fault in raised.value.faults] == ["CRS-010", "CRS-011", "CRS-012"]


def test_ratio_fit__perfect() -> None:
    fit = ratio_fit((9, 3, 3, 1), (9, 3, 3, 1))
    assert (fit.chi_squared, fit.p, fit.degrees) == (0.0, 1.0, 3)


def test_exact_ratio_fit__too_many_young_to_list_falls_back() -> None:
    fit = exact_ratio_fit((3150, 1010, 1080, 320), (9, 3, 3, 1))
    assert not fit.exact
    assert fit.p == ratio_fit((3150, 1010, 1080, 320), (9, 3, 3, 1)).p
