"""The curve of free shape: what it is at the ends, its derivatives, and that it stays a number."""

from __future__ import annotations

from decimal import Decimal, localcontext

import numpy as np
import pytest

from holdback.size.curves import FloatArray, free_shape
from holdback.size.textbook_curves import ASYMPTOTIC, BERTALANFFY, GOMPERTZ, LOGISTIC, RICHARDS, Curve

SHAPES = (-2.0, -1.0, -0.3, -0.02, -1e-5, 0.0, 1e-9, 0.01, 0.029, 0.031, 1 / 3, 1.0, 2.0)


def parameters(shape: float, n: int = 200) -> list[FloatArray]:
    random = np.random.default_rng(20261)
    return [
        random.uniform(0.3, 6.0, n),
        random.uniform(2.0, 9.0, n),
        random.uniform(2.0, 9.0, n),
        random.normal(0.0, 0.5, n),
        np.full(n, shape),
    ]


def exact(row: list[Decimal]) -> Decimal:
    """The formula of the module, with as many digits as the context has."""
    t, alpha, eta, log_rate, shape = row
    left = (-(log_rate.exp() * t)).exp()
    if shape == 0:
        return alpha - (alpha - eta) * left
    return alpha + (1 - (1 - (-shape * (alpha - eta)).exp()) * left).ln() / shape


def rows(given: list[FloatArray]) -> list[list[Decimal]]:
    return [[Decimal(one) for one in row] for row in zip(*(one.tolist() for one in given), strict=True)]


def exact_slope(row: list[Decimal], place: int) -> Decimal:
    """Central difference in one parameter; a step this small needs the digits."""
    step = Decimal("1e-12")
    up, down = list(row), list(row)
    up[place] += step
    down[place] -= step
    return (exact(up) - exact(down)) / (2 * step)


@pytest.mark.parametrize("shape", SHAPES)
def test_free_shape__sixty_digits(shape: float) -> None:
    given = parameters(shape)
    with localcontext() as context:
        context.prec = 60
        wanted = [float(exact(row)) for row in rows(given)]
    np.testing.assert_allclose(free_shape(*given).value, wanted, rtol=2e-12)


@pytest.mark.parametrize("shape", SHAPES)
def test_free_shape__derivatives_are_the_slopes_of_the_exact_formula(shape: float) -> None:
    given = parameters(shape, 40)
    curve = free_shape(*given)
    for place, found in enumerate((curve.t, curve.alpha, curve.eta, curve.log_rate, curve.shape)):
        with localcontext() as context:
            context.prec = 60
            wanted = [float(exact_slope(row, place)) for row in rows(given)]
        np.testing.assert_allclose(found, wanted, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("shape", SHAPES)
def test_free_shape__begins_at_eta_and_ends_at_alpha(shape: float) -> None:
    _, alpha, eta, log_rate, q = parameters(shape)
    first = free_shape(0.0, alpha, eta, log_rate, q)
    np.testing.assert_allclose(first.value, eta, rtol=1e-14)
    np.testing.assert_allclose(first.alpha, 0.0, atol=1e-15)
    last = free_shape(1e4, alpha, eta, log_rate, q)
    np.testing.assert_allclose(last.value, alpha, rtol=1e-14)
    np.testing.assert_allclose([last.eta, last.t, last.shape], 0.0, atol=1e-12)


def test_free_shape__level_where_hatchling_and_adult_are_alike() -> None:
    curve = free_shape(np.linspace(0.0, 9.0, 10), 5.0, 5.0, 0.1, 0.4)
    np.testing.assert_allclose(curve.value, 5.0, rtol=1e-15)
    np.testing.assert_allclose([curve.t, curve.shape], 0.0, atol=1e-15)


@pytest.mark.parametrize("shape", [-2.0, 2.0])
@pytest.mark.parametrize("gap", [-300.0, 300.0])
def test_free_shape__is_a_number_however_far_apart(shape: float, gap: float) -> None:
    curve = free_shape(np.array([0.0, 1e-9, 0.5, 3.0, 200.0]), 5.0 + gap, 5.0, 0.5, shape)
    assert np.all(np.isfinite(np.stack(curve)))


def test_free_shape__parameters_of_animals_against_ages_in_a_row() -> None:
    t, alpha = np.linspace(0.0, 3.0, 4), np.array([[7.0], [7.5]])
    curve = free_shape(t, alpha, 4.0, 0.2, 0.3)
    assert {one.shape for one in curve} == {(2, 4)}
    np.testing.assert_allclose(curve.value[1], free_shape(t, 7.5, 4.0, 0.2, 0.3).value, rtol=0)


ALPHA, ETA, RATE = 7.3, 4.1, 0.9
A, W0 = float(np.exp(ALPHA)), float(np.exp(ETA))
AGES = np.linspace(0.0, 8.0, 33)


@pytest.mark.parametrize(
    "shape,curve,others",
    [
        (0.0, GOMPERTZ, (ALPHA - ETA, RATE)),
        (1 / 3, BERTALANFFY, (1 - np.cbrt(W0 / A), RATE)),
        (-1.0, LOGISTIC, (np.log(A / W0 - 1) / RATE, 1 / RATE)),
        (1.0, ASYMPTOTIC, (W0, np.log(RATE))),
        (-0.7, RICHARDS, (1.7, RATE, np.log(((A / W0) ** 0.7 - 1) / 0.7) / RATE)),
        (0.4, RICHARDS, (0.6, RATE, np.log((1 - (A / W0) ** -0.4) / 0.4) / RATE)),
        (0.0, RICHARDS, (1.0, RATE, np.log(ALPHA - ETA) / RATE)),
    ],
)
def test_free_shape__has_the_textbook_curves_in_it(shape: float, curve: Curve, others: tuple[float, ...]) -> None:
    free = free_shape(AGES, ALPHA, ETA, np.log(RATE), shape)
    np.testing.assert_allclose(np.exp(free.value), curve.value(AGES, np.array([A, *others])), rtol=1e-12)
