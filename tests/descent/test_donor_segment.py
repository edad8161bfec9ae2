"""The stretch of a donor around a carried gene.

Published: 32 cM on a chromosome of 100 cM after six backcrosses (abstract of Frisch & Melchinger 2001). The tables are
closed forms after Stam & Zeven (1981), confirmed by simulation of 8,000 chromosomes, worked out apart from this code.
"""

from __future__ import annotations

import numpy as np
import pytest

from holdback.descent.donor_segment import DonorSegment

T = (1, 2, 3, 4, 5, 6, 10)


@pytest.mark.parametrize(
    "length, position, expected",
    [
        (1.0, 0.5, (78.69, 63.21, 51.79, 43.23, 36.72, 31.67, 19.87)),
        (1.0, 0.0, (63.21, 43.23, 31.67, 24.54, 19.87, 16.63, 10.00)),
        (0.5, 0.25, (44.24, 39.35, 35.18, 31.61, 28.54, 25.90, 18.36)),
        (1.5, 0.75, (105.53, 77.69, 59.64, 47.51, 39.06, 32.96, 19.99)),
    ],
)
def test_mean__by_length_and_position(length: float, position: float, expected: tuple[float, ...]) -> None:
    found = [100 * DonorSegment.at(t, morgan=length, position=position).mean for t in T]
    assert found == pytest.approx(expected, abs=0.006)


def test_mean__six_backcrosses_as_published() -> None:
    """Frisch & Melchinger (2001), abstract: 32 cM."""
    assert round(100 * DonorSegment(6, 0.5, 0.5).mean) == 32


def test_sd_and_chromosome_share__in_the_middle_of_100_cm() -> None:
    segments = [DonorSegment(t, 0.5, 0.5) for t in range(1, 7)]
    assert [100 * one.sd for one in segments] == pytest.approx((22.62, 25.39, 24.98, 23.46, 21.59, 19.70), abs=0.006)
    shares = [100 * one.chromosome_share for one in segments]
    assert shares == pytest.approx((81.61, 67.41, 56.38, 47.72, 40.87, 35.39), abs=0.006)


@pytest.mark.parametrize("t, left, right", [(1, 0.5, 0.5), (3, 0.2, 1.1), (6, 0.0, 0.7)])
def test_up_to__equals_simulated_stretches(t: int, left: float, right: float) -> None:
    rng = np.random.default_rng(t)
    drawn = sum(np.minimum(rng.exponential(1 / t, 40_000), side) for side in (left, right))
    segment = DonorSegment(t, left, right)
    assert segment.mean == pytest.approx(float(np.mean(drawn)), abs=0.01)
    for length in (0.05, left, 0.45, right, 0.9, left + right):
        assert segment.up_to(length) == pytest.approx(float(np.mean(drawn <= length + 1e-12)), abs=0.01)
    assert segment.up_to(-0.1) == 0.0
    assert 1 - segment.up_to(left + right - 1e-9) == pytest.approx(segment.whole, abs=1e-6)
    for q in (0.05, 0.5, 0.8):
        assert segment.up_to(segment.quantile(q)) >= q - 1e-12
        assert segment.up_to(segment.quantile(q) - 1e-9) < q


@pytest.mark.parametrize(
    "t, left, right, message",
    [(0, 0.5, 0.5, "leave the whole chromosome"), (2, -0.1, 0.5, "lies on no chromosome"), (2, 0, 0, "no chromosome")],
)
def test_donor_segment__what_is_none(t: int, left: float, right: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        DonorSegment(t, left, right)
