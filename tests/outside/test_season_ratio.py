"""Tests of ratios beside scipy (1.11 or later): binomial tests, large samples, powers."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from holdback.season.ratio import Part, pooled_test, ratio_test, young_needed

pytestmark = pytest.mark.outside


@pytest.mark.parametrize("chance", [0.03, 0.25, 0.5, 2 / 3, 0.9])
@pytest.mark.parametrize("n", [1, 6, 11, 60])
def test_ratio_test__equals_scipy_binomtest(n: int, chance: float) -> None:
    for k in range(n + 1):
        found = ratio_test({"a": chance, "b": 1 - chance}, {"a": k, "b": n - k})
        assert found.p_value == pytest.approx(stats.binomtest(k, n, chance).pvalue, abs=1e-10)


def test_ratio_test__comes_near_chi_square_in_a_large_sample() -> None:
    """Three looks, 300 young: the asymptotic test of scipy.stats.chisquare, within a hundredth."""
    chances = {"normal": 0.25, "one copy": 0.5, "two copies": 0.25}
    for came in ([75, 150, 75], [85, 150, 65], [95, 150, 55], [60, 160, 80]):
        found = ratio_test(chances, dict(zip(chances, came, strict=True)))
        assert found.is_exact
        expected = stats.chisquare(came, [75, 150, 75]).pvalue
        assert found.p_value == pytest.approx(expected, abs=0.015)


def test_ratio_test__is_a_valid_test_of_multinomial_draws() -> None:
    """Under the foretold odds a p value of at most a level comes no more often than the level (exactly, by its law)."""
    chances = {"a": 0.5, "b": 0.25, "c": 0.25}
    law = stats.multinomial(7, list(chances.values()))
    results = [(i, j, 7 - i - j) for i in range(8) for j in range(8 - i)]
    for level in (0.01, 0.05, 0.2):
        rejected = [
            one for one in results if ratio_test(chances, dict(zip(chances, one, strict=True))).p_value <= level
        ]
        assert sum(law.pmf(one) for one in rejected) <= level + 1e-12


def test_pooled_test__equals_scipy_poisson_binomial() -> None:
    """scipy.stats.poisson_binom (1.15 or later) on single young, by its probabilities."""
    chances = [0.5] * 4 + [0.25] * 5 + [0.75] * 3
    law = stats.poisson_binom(np.array(chances)).pmf(np.arange(len(chances) + 1))
    for k in (0, 2, 5, 9, 12):
        parts = [Part.sure(1, int(place < k), chance) for place, chance in enumerate(chances)]
        expected = law[law <= law[k] * (1 + 1e-7)].sum()
        assert pooled_test(parts).p_value == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize("chance", [0.5, 0.25])
def test_young_needed__by_scipy(chance: float) -> None:
    def power(n: int) -> float:
        noticed = [k for k in range(int(n * chance) + 1) if stats.binomtest(k, n, chance).pvalue <= 0.05]
        return float(stats.binom.pmf(noticed, n, chance / 2).sum())

    n = young_needed(chance)
    assert power(n) >= 0.8
    assert power(n - 1) < 0.8
