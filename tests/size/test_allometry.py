"""Lines of logarithms: standard errors are what fits scatter by, units do not matter, refusals."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.errors import SizeError
from holdback.size.allometry import (
    FloatArray,
    log_line,
    log_line_by_group,
    major_axis,
    major_axis_by_group,
    scaled_mass,
)


def heads(random: np.random.Generator, n: int = 40) -> tuple[FloatArray, FloatArray]:
    """Lengths in cm and head widths in mm; both true sizes follow a power of 0.8."""
    log_length = random.normal(4.5, 0.25, n)
    return np.exp(log_length), np.exp(-0.6 + 0.8 * log_length + 0.05 * random.standard_normal(n))


def test_standard_errors__are_the_spread_of_fits() -> None:
    """500 draws: a standard deviation is then good to 3 %, and three times that is allowed."""
    random = np.random.default_rng(20267)
    draws = [heads(random) for _ in range(500)]
    lines, axes = [log_line(*one) for one in draws], [major_axis(*one) for one in draws]
    said = np.mean([one.standard_errors**2 for one in lines], axis=0) ** 0.5
    np.testing.assert_allclose(said, np.std([[one.intercept, *one.slopes] for one in lines], axis=0), rtol=0.1)
    np.testing.assert_allclose(np.mean([one.slopes for one in lines]), 0.8, atol=0.006)
    np.testing.assert_allclose(np.mean([one.residual_sd for one in lines]), 0.05, rtol=0.02)
    axis_said = np.mean([one.standard_error**2 for one in axes]) ** 0.5
    np.testing.assert_allclose(axis_said, np.std([one.slope for one in axes]), rtol=0.1)


def test_major_axis__turned_round_is_the_inverse() -> None:
    x, y = heads(np.random.default_rng(20268))
    np.testing.assert_allclose(major_axis(x, y).slope * major_axis(y, x).slope, 1.0, rtol=1e-12)
    assert abs(log_line(x, y).slopes[0]) < abs(major_axis(x, y).slope)
    falling = major_axis(x, 1.0 / y)
    assert (falling.slope, falling.correlation) == pytest.approx(
        (-major_axis(x, y).slope, -major_axis(x, y).correlation)
    )


def test_residuals__sum_to_nothing_and_know_no_unit() -> None:
    x, y = heads(np.random.default_rng(20269))
    line = log_line(x, y)
    np.testing.assert_allclose(line.residuals(x, y).sum(), 0.0, atol=1e-10)
    np.testing.assert_allclose(line.residuals(x, 1.1 * y) - line.residuals(x, y), np.log(1.1), rtol=1e-9)
    other = log_line(10 * x, y / 25.4)
    np.testing.assert_allclose(other.residuals(10 * x, y / 25.4), line.residuals(x, y), atol=1e-10)


def test_by_group__each_by_itself() -> None:
    x, y = heads(np.random.default_rng(20270))
    sex = ["female" if place % 3 else "male" for place in range(len(x))]
    males = np.array(sex) == "male"
    assert list(log_line_by_group(x, y, sex)) == list(major_axis_by_group(x, y, sex)) == ["male", "female"]
    np.testing.assert_array_equal(log_line_by_group(x, y, sex)["male"].slopes, log_line(x[males], y[males]).slopes)
    assert major_axis_by_group(x, y, sex)["male"] == major_axis(x[males], y[males])


def test_scaled_mass__same_build_same_value() -> None:
    length = np.array([60.0, 90.0, 120.0])
    mass = 1600 * (length / 110) ** 3
    np.testing.assert_allclose(scaled_mass(mass, length, exponent=3.0, at_length_cm=110.0), 1600.0, rtol=1e-12)
    np.testing.assert_allclose(scaled_mass(1.2 * mass, length, exponent=3.0, at_length_cm=110.0), 1920.0, rtol=1e-12)


def test_log_line__refusals() -> None:
    x, y = heads(np.random.default_rng(20271))
    for bad_x, bad_y in ((x[:2], y[:2]), (np.full(5, 90.0), y[:5])):
        with pytest.raises(SizeError, match="SIZ-311"):
            log_line(bad_x, bad_y)
        with pytest.raises(SizeError, match="SIZ-311"):
            major_axis(bad_x, bad_y)
    with pytest.raises(SizeError, match="SIZ-312"):
        log_line(np.append(x, 0.0), np.append(y, 10.0))
