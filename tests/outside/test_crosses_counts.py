"""Recombination, map functions and fits to a ratio against counts of the literature.

Sources and marks stand beside the values in ``crosses_published.json``.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

from holdback.heredity.crosses.ratios import exact_ratio_fit, ratio_fit
from holdback.heredity.crosses.recombination import (
    f2_coupling,
    f2_coupling_steps,
    from_test_cross,
    haldane,
    haldane_distance,
    kosambi,
    kosambi_distance,
    phase_after_test_cross,
    three_point,
)

pytestmark = pytest.mark.outside

PUBLISHED: dict[str, Any] = json.loads(Path(__file__).with_name("crosses_published.json").read_text("utf-8"))


def half(places: int) -> float:
    """Half a unit of the last printed place, a shade more."""
    return 0.5001 * 10.0**-places


@pytest.mark.parametrize("row", PUBLISHED["mendel"]["rows"], ids=lambda row: ":".join(map(str, row["counts"])))
def test_ratio_fit__counts_of_the_literature(row: dict[str, Any]) -> None:
    fit = ratio_fit(row["counts"], row["ratio"])
    assert fit.chi_squared == pytest.approx(row["chi_squared"], abs=half(row["places"]))
    if "p" in row:
        assert fit.p == pytest.approx(row["p"], abs=5.1e-4)


@pytest.mark.parametrize("row", PUBLISHED["mendel"]["rows"], ids=lambda row: ":".join(map(str, row["counts"])))
def test_ratio_fit__agrees_with_scipy(row: dict[str, Any]) -> None:
    # scipy.stats.chisquare, a reference library
    fit = ratio_fit(row["counts"], row["ratio"])
    reference = stats.chisquare(row["counts"], fit.expected)
    assert fit.chi_squared == pytest.approx(float(reference.statistic), rel=1e-12)
    assert fit.p == pytest.approx(float(reference.pvalue), rel=1e-10)


@pytest.mark.parametrize("degrees", [1, 2, 3, 4, 5, 8, 11])
def test_ratio_fit__tail_agrees_with_scipy(degrees: int) -> None:
    counts = [5 + 3 * index for index in range(degrees + 1)]
    fit = ratio_fit(counts, [1.0] * (degrees + 1))
    assert fit.p == pytest.approx(float(stats.chi2.sf(fit.chi_squared, degrees)), rel=1e-10)


@pytest.mark.parametrize("seen, n, share", [(8, 8, 0.75), (2, 9, 0.5), (5, 8, 2 / 3), (0, 6, 0.25)])
def test_exact_ratio_fit__agrees_with_scipy_binomial(seen: int, n: int, share: float) -> None:
    # scipy.stats.binomtest, a reference library
    fit = exact_ratio_fit((seen, n - seen), (share, 1.0 - share))
    assert fit.exact
    assert fit.p == pytest.approx(stats.binomtest(seen, n, share).pvalue, rel=1e-9)


@pytest.mark.parametrize("distance, by_haldane, by_kosambi", PUBLISHED["maps"]["rows"])
def test_map_functions__printed_values(distance: float, by_haldane: float, by_kosambi: float) -> None:
    assert haldane(distance) == pytest.approx(by_haldane, abs=half(5))
    assert kosambi(distance) == pytest.approx(by_kosambi, abs=half(5))
    assert haldane_distance(haldane(distance)) == pytest.approx(distance, rel=1e-12)
    assert kosambi_distance(kosambi(distance)) == pytest.approx(distance, rel=1e-12)


@pytest.mark.parametrize("row", PUBLISHED["test_cross"]["rows"], ids=lambda row: str(row["r"]))
def test_from_test_cross__flies(row: dict[str, Any]) -> None:
    estimate = from_test_cross(sum(row["parental"]), sum(row["recombinant"]))
    assert estimate.r == pytest.approx(row["r"], abs=half(6))
    if "se" in row:
        assert estimate.se == pytest.approx(row["se"], abs=half(6))


@pytest.mark.parametrize("row", PUBLISHED["three_point"]["rows"], ids=lambda row: row["name"])
def test_three_point__flies_and_maize(row: dict[str, Any]) -> None:
    found = three_point(*(sum(row[key]) for key in ("parental", "first", "second", "double")))
    assert (found.first, found.second) == pytest.approx(row["r"], abs=half(6))
    assert found.interference == pytest.approx(row["interference"], abs=half(row["places"]))
    assert found.coincidence == pytest.approx(1.0 - row["interference"], abs=half(row["places"]))


@pytest.mark.parametrize("row", PUBLISHED["f2"]["rows"], ids=lambda row: ":".join(map(str, row["counts"])))
def test_f2_coupling__published_counts(row: dict[str, Any]) -> None:
    estimate = f2_coupling(row["counts"])
    assert estimate.r == pytest.approx(row["r"], abs=half(row["places"]))
    if "se" in row:
        assert estimate.se == pytest.approx(row["se"], abs=half(row["se_places"]))


def test_f2_coupling_steps__the_published_path() -> None:
    counts = PUBLISHED["f2"]["rows"][0]["counts"]
    path = f2_coupling_steps(counts, 0.5, 8)
    # one unit of the last printed place: exact fractions give 0.6267773223 where the print has ...323
    assert path == pytest.approx(PUBLISHED["f2"]["em"], abs=1e-9)
    theta = (1.0 - f2_coupling(counts).r) ** 2
    assert theta == pytest.approx(PUBLISHED["f2"]["theta"], abs=half(10))
    assert f2_coupling_steps(counts, 0.5, 60)[-1] == pytest.approx(theta, rel=1e-12)


def test_phase_after_test_cross__three_parental_young() -> None:
    # derived: 0.9^3 / (0.9^3 + 0.1^3)
    assert phase_after_test_cross(0.1, 3, 0) == pytest.approx(0.998630, abs=half(6))
