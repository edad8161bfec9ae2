"""Rehearsals against exact chances of small plans, and against themselves under other divisions of the runs."""

from __future__ import annotations

import numpy as np
import pytest
from tests.decisions.herd import HATCH, LAYS, laws
from tests.decisions.rehearsal.plans import double_visual, one_cross

from holdback.decisions.rehearsal import compare, rehearse


def at_least_one(per_hatchling: float) -> float:
    """Chance that a season with one paired female gives at least one."""
    young = laws()[1].chances
    return LAYS * (1.0 - float(young @ (1.0 - per_hatchling) ** np.arange(len(young))))


def test_rehearse__double_visual_from_two_visuals() -> None:
    """Season of the goal worked out by dynamic programming (horizon 24): mean 8.340662; chances by 4, 6, 8, 10, 14."""
    found = rehearse(*double_visual(), runs=10_000, seasons=24, seed=1)
    assert found.seasons.mean == pytest.approx(8.340662, abs=4 * found.seasons.se)
    for season, exact in ((4, 0.132), (6, 0.425), (8, 0.635), (10, 0.770), (14, 0.909)):
        one = found.reached_by_season[season]
        assert one.mean == pytest.approx(exact, abs=4 * one.se + 0.0005)


def test_rehearse__two_dams_at_the_start() -> None:
    found = rehearse(*double_visual(dams=2), runs=10_000, seasons=24, seed=2)
    assert found.seasons.mean == pytest.approx(7.929, abs=4 * found.seasons.se)


@pytest.mark.parametrize("sire, dams, per_hatchling", [("het", ["het"], 0.25), ("vis", ["het"], 0.5)])
def test_rehearse__one_generation_is_repeated_trying(sire: str, dams: list[str], per_hatchling: float) -> None:
    """S(k) = 1 - (1 - p)^(k + 1) for parents that are known."""
    found = rehearse(*one_cross(sire, dams), runs=10_000, seasons=8, seed=3)
    fails = 1.0 - at_least_one(per_hatchling)
    for season, one in enumerate(found.reached_by_season):
        assert one.mean == pytest.approx(1.0 - fails ** (season + 1), abs=4 * one.se)


@pytest.mark.parametrize("n_dams", [1, 2])
def test_rehearse__possible_hets_level_off(n_dams: int) -> None:
    """S(k) = 1 - [1/3 + 2/3 (1 - p)^k]^n for n dams that are carriers two times in three; never past 1 - (1/3)^n."""
    found = rehearse(*one_cross("vis", ["66"] * n_dams), runs=10_000, seasons=8, seed=4)
    fails = 1.0 - at_least_one(0.5)
    for season, one in enumerate(found.reached_by_season):
        exact = 1.0 - (1 / 3 + 2 / 3 * fails ** (season + 1)) ** n_dams
        assert one.mean == pytest.approx(exact, abs=4 * one.se)


def test_rehearse__one_possible_het_sire_on_two_dams() -> None:
    """The sire is the same for both: 2/3 times the chance that one of two clutches hits, not two chances."""
    found = rehearse(*one_cross("66", ["vis", "vis"]), runs=10_000, seasons=2, seed=5)
    hit = at_least_one(0.5)
    assert found.reached_by_season[0].mean == pytest.approx(2 / 3 * (1 - (1 - hit) ** 2), abs=0.02)


def test_rehearse__same_seed_same_runs_in_any_division() -> None:
    stock, plan = double_visual()
    whole = rehearse(stock, plan, runs=1000, seed=7).season_of_run
    assert np.array_equal(whole[:500], rehearse(stock, plan, runs=500, seed=7).season_of_run)
    assert not np.array_equal(whole, rehearse(stock, plan, runs=1000, seed=8).season_of_run)


def test_rehearse__eggs_of_one_cross() -> None:
    """One season with a chance of laying of .7 and 6.834795 eggs on the mean (by the clutch law)."""
    found = rehearse(*one_cross("vis", ["66"]), runs=10_000, seasons=1, seed=9)
    assert found.eggs.mean == pytest.approx(LAYS * 6.834795, abs=4 * found.eggs.se)
    assert found.history[0].clutches == pytest.approx(LAYS, abs=0.02)
    assert pytest.approx(laws()[1].mean, abs=1e-5) == HATCH * 6.834795


def test_compare__two_daughters_or_one_on_the_same_luck() -> None:
    (stock, two), (_, one) = double_visual(count=2), double_visual(count=1)
    found = compare([stock], [one, two], runs=2500, seasons=12, seed=3)
    difference = found.differences[0].seasons
    apart = np.hypot(found.rehearsals[0].seasons.se, found.rehearsals[1].seasons.se)
    assert difference.mean < -4 * difference.se
    assert (apart / difference.se) ** 2 > 4.0


def test_rehearsal_as_json__what_others_read() -> None:
    stock, plan = double_visual()
    json = rehearse(stock, plan, runs=250, seasons=6, seed=11).as_json()
    assert (json["runs"], json["seed"], json["by"]) == (250, 11, stock.year + 5)
    by_year = json["reached_by_year"]
    assert isinstance(by_year, dict)
    assert list(by_year) == [str(stock.year + season) for season in range(6)]
    assert set(by_year["2030"]) == {"mean", "se"}
    assert by_year["2030"]["se"] > 0.0  # none came to it in 250 runs, which does not make it certain
    assert {"goal_animals_by_year", "eggs", "kept", "failures", "steps", "history", "notes"} <= set(json)


def test_rehearse__goal_animals_as_a_fan() -> None:
    """Quantiles rise from 5 to 95 in 100, and no year takes back what an earlier one gave."""
    fan = rehearse(*double_visual(), runs=2500, seasons=20, seed=1).fan
    assert fan.shape == (20, 5)
    assert (np.diff(fan, axis=1) >= 0.0).all()
    assert (np.diff(fan, axis=0) >= 0.0).all()
    assert fan[-1, -1] >= 2.0
