"""Curves with an asymptote for each animal: the likelihood by its definition, and what the fit gives back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal  # type: ignore[import-untyped]

from holdback.errors import SizeError
from holdback.size.random_asymptote import IndexArray, log_likelihood, random_asymptote
from holdback.size.textbook_curves import ASYMPTOTIC, GOMPERTZ, LOGISTIC, RICHARDS, Curve, FloatArray

GROWN = np.array([1700.0, 3.2, 0.6])


def herd(seed: int, n_animals: int, *, sd: float, error: float = 30.0) -> tuple[FloatArray, FloatArray, IndexArray]:
    """Animals with five to twelve weights each."""
    random = np.random.default_rng(seed)
    counts = random.integers(5, 13, n_animals)
    animal = np.repeat(np.arange(n_animals), counts)
    t = random.uniform(0.0, 8.0, len(animal))
    own = GROWN[0] + sd * random.standard_normal(n_animals)
    unit = GOMPERTZ.value(t, np.array([1.0, *GROWN[1:]]))
    return t, own[animal] * unit + error * random.standard_normal(len(t)), animal


@pytest.mark.parametrize(
    "curve,parameters",
    [
        (GOMPERTZ, (1600.0, 3.0, 0.5)),
        (LOGISTIC, (1600.0, 3.0, 1.5)),
        (RICHARDS, (1600.0, 1.5, 0.6, 2.0)),
        (ASYMPTOTIC, (1600.0, 50.0, -0.5)),
    ],
)
def test_log_likelihood__by_its_definition(curve: Curve, parameters: tuple[float, ...]) -> None:
    t, y, animal = herd(20264, 6, sd=150.0)
    wanted = 0.0
    for one in range(6):
        parts = curve.parts(t[animal == one], np.array(parameters[1:]))
        covariance = 140.0**2 * np.outer(parts.slope, parts.slope) + 35.0**2 * np.eye(len(parts.slope))
        mean = parts.offset + parameters[0] * parts.slope
        wanted += float(multivariate_normal(mean, covariance).logpdf(y[animal == one]))
    found = log_likelihood(curve, t, y, animal, parameters=parameters, sd=(140.0, 35.0))
    np.testing.assert_allclose(found, wanted, rtol=1e-12)


def test_random_asymptote__nothing_near_is_likelier() -> None:
    t, y, animal = herd(20265, 8, sd=150.0)
    found = random_asymptote(GOMPERTZ, t, y, animal)
    at = [*found.parameters, found.sd_asymptote, found.residual_sd]
    for place in range(5):
        for change in (0.999, 1.001):
            other = list(at)
            other[place] *= change
            near = log_likelihood(GOMPERTZ, t, y, animal, parameters=other[:3], sd=(other[3], other[4]))
            assert near < found.log_likelihood


@pytest.mark.slow
def test_random_asymptote__says_how_far_off_it_is() -> None:
    """Of 150 herds' means and 3,000 animals, as many lie within 1.645 standard errors as should."""
    deviations, own = [], []
    for seed in range(150):
        t, y, animal = herd(5000 + seed, 20, sd=150.0)
        found = random_asymptote(GOMPERTZ, t, y, animal)
        deviations.append((found.parameters - GROWN) / found.standard_errors)
        random = np.random.default_rng(5000 + seed)
        random.integers(5, 13, 20)
        random.uniform(0.0, 8.0, len(animal))
        truth = GROWN[0] + 150.0 * random.standard_normal(20)
        own.append((found.asymptotes - truth) / found.sd_of_asymptotes)
    cover = np.mean(np.abs(deviations) < 1.645, axis=0)
    np.testing.assert_allclose(cover[1:], 0.9, atol=4 * (0.09 / 150) ** 0.5)
    assert 0.82 < cover[0] < 0.95
    assert 0.86 < np.mean(np.abs(own) < 1.645) < 0.92


def test_random_asymptote__animals_that_are_alike() -> None:
    t = np.tile(np.linspace(0.0, 8.0, 10), 5)
    y = np.tile(GOMPERTZ.value(t[:10], GROWN) + 20 * np.cos(np.arange(10.0)), 5)
    found = random_asymptote(GOMPERTZ, t, y, np.repeat(np.arange(5), 10))
    assert found.sd_asymptote == 0.0
    np.testing.assert_allclose(found.asymptotes, found.parameters[0], rtol=1e-9)
    assert np.all(found.standard_errors < 0.05 * found.parameters)


def test_random_asymptote__one_animal_tells_nothing_of_the_spread() -> None:
    t, y, _ = herd(20266, 1, sd=0.0)
    for animal in (np.zeros(len(t), dtype=np.int64), np.arange(len(t))):
        with pytest.raises(SizeError, match="SIZ-304"):
            random_asymptote(GOMPERTZ, t, y, animal)


def test_random_asymptote__no_end_in_sight() -> None:
    t = np.tile(np.linspace(0.0, 3.0, 6), 3)
    y = np.repeat([50.0, 60.0, 70.0], 6) * np.exp(0.5 * t)
    with pytest.raises(SizeError, match="SIZ-302"):
        random_asymptote(GOMPERTZ, t, y, np.repeat(np.arange(3), 6))
