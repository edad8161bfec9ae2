"""Change by selection: expected, realised, and how many animals show it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.errors import SizeError
from holdback.size.intensity import intensity, intensity_variance, truncation_intensity, variance_kept
from holdback.size.response import Chosen, cohort_means, expected_change, realised_change
from holdback.size.seeing import animals_needed, power_to_see

MALES, FEMALES = Chosen(8, 1, 0.36, 2.0), Chosen(10, 4, 0.49, 4.0)


@given(st.integers(2, 60), st.data())
def test_intensity__the_rest_balance_the_best(n: int, data: st.DataObject) -> None:
    kept = data.draw(st.integers(1, n - 1))
    assert kept * intensity(n, kept) == pytest.approx((n - kept) * intensity(n, n - kept), abs=1e-9)
    assert intensity(n + 1, kept) > intensity(n, kept) > 0


def test_intensity__closed_forms() -> None:
    """The best of two 1 / sqrt(pi), of three 3 / (2 sqrt(pi))."""
    assert intensity(1, 1) == intensity(7, 7) == 0.0
    assert intensity(2, 1) == pytest.approx(1 / math.sqrt(math.pi), abs=1e-12)
    assert intensity(3, 1) == pytest.approx(1.5 / math.sqrt(math.pi), abs=1e-12)


@pytest.mark.parametrize("n, kept", [(5, 0), (5, 6), (0, 0)])
def test_intensity__cannot_keep_so_many(n: int, kept: int) -> None:
    with pytest.raises(SizeError, match=f"SIZ-411: The best {kept} of {n} cannot be kept"):
        intensity(n, kept)


@pytest.mark.parametrize("part", [0.0, 1.0])
def test_truncation_intensity__part_out_of_bounds(part: float) -> None:
    with pytest.raises(SizeError, match=r"SIZ-411: A part of \d cannot be kept"):
        truncation_intensity(part)


def test_expected_change__by_hand() -> None:
    found = expected_change(MALES, FEMALES, genetic_sd=[0.1], n_young=10)
    mean = 0.1 * (0.6 * intensity(8, 1) + 0.7 * intensity(10, 4)) / 2
    assert found.per_generation.mean == pytest.approx(100 * math.expm1(mean))
    assert found.per_year.mean == pytest.approx(100 * math.expm1(mean / 3.0))
    assert found.interval_years == 3.0
    males = 0.36 * intensity_variance(8, 1) + 0.64
    females = 0.49 * intensity_variance(10, 4) + 0.51 / 4
    assert found.by_chance == pytest.approx(0.1 * math.sqrt((males + females) / 4 + 0.05))
    high = mean + 1.6448536 * found.by_chance
    assert found.per_generation.high == pytest.approx(100 * math.expm1(high), rel=1e-6)
    assert 0.5 < found.chance_larger < 1


def test_expected_change__doubt_about_the_genetic_sd_is_mixed() -> None:
    """Two values, each half: wider above than the middle one alone, the mean the same."""
    sure, unsure = (expected_change(MALES, FEMALES, genetic_sd=one, n_young=50) for one in ([0.1], [0.04, 0.16]))
    assert unsure.per_generation.mean == pytest.approx(sure.per_generation.mean)
    assert unsure.per_generation.high > sure.per_generation.high
    one_sided = expected_change(MALES, FEMALES, genetic_sd=[0.04, 0.16], weights=[1.0, 0.0], n_young=50)
    assert one_sided.per_generation.mean < sure.per_generation.mean


def test_expected_change__no_choice_changes_nothing() -> None:
    found = expected_change(Chosen(3, 3, 0.5, 2.0), Chosen(4, 4, 0.5, 2.0), genetic_sd=[0.1], n_young=8)
    assert (found.per_generation.mean, found.chance_larger) == (0.0, 0.5)


@pytest.mark.parametrize(
    "males, genetic_sd, n_young",
    [
        (Chosen(8, 1, 1.2, 2.0), [0.1], 5),
        (Chosen(8, 1, 0.5, 0.0), [0.1], 5),
        (MALES, [0.0], 5),
        (MALES, [], 5),
        (MALES, [0.1], 0),
    ],
)
def test_expected_change__numbers_that_cannot_be(males: Chosen, genetic_sd: list[float], n_young: int) -> None:
    with pytest.raises(SizeError, match="SIZ-413: A change cannot be worked out"):
        expected_change(males, FEMALES, genetic_sd=genetic_sd, n_young=n_young)


def test_realised_change__by_hand() -> None:
    """Two years: the difference, and the variance of a difference of means that err together."""
    covariance = np.array([[0.0004, 0.0001], [0.0001, 0.0009]])
    found = realised_change([2020, 2022], [0.01, 0.05], covariance)
    assert found.slope == pytest.approx(0.02)
    assert found.slope_sd == pytest.approx(math.sqrt(0.0004 + 0.0009 - 0.0002) / 2)
    assert found.per_year.mean == pytest.approx(100 * math.expm1(0.02))
    assert found.said.startswith("No change can be told from chance")
    assert "2020 to 2022" in found.per_year.ground


def test_realised_change__a_common_error_is_no_error_of_a_slope() -> None:
    found = realised_change([1, 2, 3], [0.0, 0.1, 0.2], np.full((3, 3), 0.04))
    assert found.slope_sd == pytest.approx(0.0, abs=1e-9)
    assert found.said.startswith("Breeding values rose from year to year")
    assert realised_change([1, 2], [0.1, 0.0], np.zeros((2, 2))).chance_larger == 0.0
    assert realised_change([1, 2], [0.1, 0.0], np.zeros((2, 2))).said.startswith("Breeding values fell")


@given(st.permutations(range(4)), st.floats(-5, 5))
def test_realised_change__order_and_level_change_nothing(order: list[int], level: float) -> None:
    years, means = np.array([2018.0, 2019, 2021, 2022]), np.array([0.0, 0.04, 0.02, 0.1])
    covariance = np.diag([0.01, 0.02, 0.03, 0.01]) + 0.002
    n_animals = np.array([3, 9, 4, 1])
    plain = realised_change(years, means, covariance, n_animals=n_animals.tolist())
    other = realised_change(
        years[order], means[order] + level, covariance[np.ix_(order, order)], n_animals=n_animals[order].tolist()
    )
    assert (other.slope, other.slope_sd) == pytest.approx((plain.slope, plain.slope_sd), abs=1e-9)


def test_realised_change__one_year_only() -> None:
    with pytest.raises(SizeError, match="SIZ-412: A change over years needs animals of two years"):
        realised_change([2020, 2020], [0.0, 0.1], np.eye(2))


def test_cohort_means__by_hand() -> None:
    errors = np.array([[0.04, 0.01, 0.0], [0.01, 0.04, 0.0], [0.0, 0.0, 0.09]])
    years, means, covariance = cohort_means([0.1, 0.3, 0.5], errors, [2021, 2021, 2020])
    assert years.tolist() == [2020, 2021]
    assert means.tolist() == pytest.approx([0.5, 0.2])
    np.testing.assert_allclose(covariance, [[0.09, 0.0], [0.0, 0.025]])


@given(st.floats(0.01, 0.5), st.floats(0.05, 0.3), st.floats(0.1, 0.95), st.integers(2, 6))
def test_animals_needed__one_less_is_too_few(change: float, sd: float, power: float, n_years: int) -> None:
    years = list(range(n_years))
    found = animals_needed(change, years=years, sd=sd, power=power)
    assert found.n_animals is not None
    assert found.power >= power - 1e-9
    if found.n_animals > 1:
        assert power_to_see(change, found.n_animals - 1, years=years, sd=sd) < power


def test_animals_needed__clutch_mates_count_less() -> None:
    strangers = animals_needed(0.1, sd=0.16).n_animals
    mates = animals_needed(0.1, sd=0.16, clutch_size=6, likeness=0.3).n_animals
    assert strangers == 41
    assert mates == math.ceil(2.5 * 40.1847)


def test_animals_needed__years_that_differ_may_hide_it_for_ever() -> None:
    found = animals_needed(0.05, sd=0.16, year_sd=0.1)
    assert found.n_animals is None
    assert found.power == pytest.approx(power_to_see(0.05, 1e12, years=(0, 1), sd=0.16, year_sd=0.1), abs=1e-6)
    assert "No number of animals shows 5 % a year" in found.said
    assert animals_needed(0.05, years=range(12), sd=0.16, year_sd=0.1).n_animals is not None
    assert power_to_see(0.05, math.inf, years=(0, 1), sd=0.16) == 1.0


@pytest.mark.parametrize(
    "change, sd, clutch_size, power",
    [(0.0, 0.1, 1.0, 0.8), (0.1, 0.0, 1.0, 0.8), (0.1, 0.1, 0.5, 0.8), (0.1, 0.1, 1, 0)],
)
def test_animals_needed__numbers_that_cannot_be(change: float, sd: float, clutch_size: float, power: float) -> None:
    with pytest.raises(SizeError, match="SIZ-413: No plan can rest on these numbers"):
        animals_needed(change, sd=sd, clutch_size=clutch_size, power=power)


@pytest.mark.parametrize("years", [[], [3.0], [3.0, 3.0]])
def test_power_to_see__one_year_only(years: list[float]) -> None:
    with pytest.raises(SizeError, match="SIZ-412: A change over years needs two years"):
        power_to_see(0.1, 10, years=years, sd=0.1)


def test_variance_kept__more_choice_leaves_less() -> None:
    assert variance_kept(0.05, 0.8) < variance_kept(0.5, 0.8) < variance_kept(0.5, 0.2) < 1
