"""Eggs needed, clutches of random size and possible hets against tables worked out by hand.

Sources and marks stand beside the values in ``crosses_published.json``.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

from holdback.heredity.crosses import EggCount, eggs_needed
from holdback.heredity.crosses.possible_hets import (
    het_after_normals,
    het_if_normal,
    het_in_population,
    normals_needed,
)

pytestmark = pytest.mark.outside

PUBLISHED: dict[str, Any] = json.loads(Path(__file__).with_name("crosses_published.json").read_text("utf-8"))
NEEDED, HETS = PUBLISHED["needed"], PUBLISHED["possible_hets"]


@pytest.mark.parametrize("over, under, numbers", NEEDED["rows"])
def test_eggs_needed__table(over: int, under: int, numbers: list[int]) -> None:
    assert [eggs_needed(over / under, level / 100.0) for level in NEEDED["levels"]] == numbers


@pytest.mark.parametrize("under, targets, at_95, at_99", NEEDED["at_least"])
def test_eggs_needed__at_least_m(under: int, targets: int, at_95: int, at_99: int) -> None:
    q = 1.0 / under
    assert [eggs_needed(q, level, at_least=targets) for level in (0.95, 0.99)] == [at_95, at_99]
    # scipy.stats.binom, a reference library
    assert stats.binom.sf(targets - 1, at_95, q) >= 0.95 > stats.binom.sf(targets - 1, at_95 - 1, q)


@pytest.mark.parametrize("under, numbers", NEEDED["each_sex"])
def test_eggs_needed__one_of_each_sex(under: int, numbers: list[int]) -> None:
    found = [eggs_needed(1.0 / under, level / 100.0, both_sexes=True) for level in NEEDED["each_sex_levels"]]
    assert found == numbers


@pytest.mark.parametrize("row", PUBLISHED["clutch"]["rows"], ids=lambda row: f"q={row['q']}")
def test_at_least_one__clutches_of_random_size(row: dict[str, float]) -> None:
    q = row["q"]
    for found, wanted in (
        (EggCount.fixed(7), row["fixed"]),
        (EggCount.poisson(7.0), row["poisson"]),
        (EggCount.negative_binomial(7.0, 20.0), row["negative_binomial"]),
        (EggCount.negative_binomial(7.0, 20.0, failure=0.15), row["failing"]),
    ):
        assert found.at_least_one(q) == pytest.approx(wanted, abs=5.1e-7)


@pytest.mark.parametrize("q", [0.25, 0.0625])
def test_at_least_one__hatch_rate_thins_the_clutch(q: float) -> None:
    # derived: 1 - exp(-mu q h) for a Poisson clutch
    found = EggCount.poisson(7.0, hatch_rate=0.8).at_least_one(q)
    assert found == pytest.approx(float(stats.poisson.sf(0, 7.0 * q * 0.8)), rel=1e-12)


@pytest.mark.parametrize("sire, dam, over, under", HETS["normal_child"])
def test_het_if_normal__table(sire: float, dam: float, over: int, under: int) -> None:
    assert het_if_normal(sire, dam) == pytest.approx(over / under, rel=1e-12)


@pytest.mark.parametrize("over, under, one_in", HETS["after_visual"])
def test_het_after_normals__visual_mate(over: int, under: int, one_in: list[int]) -> None:
    found = [het_after_normals(over / under, k) for k in HETS["normals"]]
    assert found == pytest.approx([1.0 / n for n in one_in], rel=1e-12)


@pytest.mark.parametrize("over, under, chances", HETS["after_het"])
def test_het_after_normals__het_mate(over: int, under: int, chances: list[float]) -> None:
    found = [het_after_normals(over / under, k, mate_het=1.0) for k in HETS["normals"]]
    assert found == pytest.approx(chances, abs=5.1e-5)


def test_het_after_normals__mate_in_doubt_is_shared_by_all_young() -> None:
    # derived by enumeration of both parents; a mate drawn anew for each young would give .539672
    assert het_after_normals(2 / 3, 4, mate_het=0.5) == pytest.approx(0.568297, abs=5.1e-7)


@pytest.mark.parametrize("over, under, visual, het", HETS["normals_needed"])
def test_normals_needed__table(over: int, under: int, visual: list[int], het: list[int]) -> None:
    bounds = (0.05, 0.01, 0.001)
    assert [normals_needed(over / under, bound, mate_shows=True) for bound in bounds] == visual
    assert [normals_needed(over / under, bound, mate_shows=False) for bound in bounds] == het


@pytest.mark.parametrize("frequency, chance", HETS["population"])
def test_het_in_population__hardy_weinberg(frequency: float, chance: float) -> None:
    assert het_in_population(frequency) == pytest.approx(chance, abs=5.1e-7)
