"""Plans that would be silly, and the rule that keeps each away."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.season_plan.cases import crosses

from holdback.decisions.season_plan import Ban, MayCarry, PlanInput, Project, WeeklyLoad, plan_season

ALDER, BIRCH = Project("A", "Alder", 100.0), Project("B", "Birch", 30.0)


def herd(n_males: int, n_females: int, rows: list[tuple[int, int, int, int, float]], *projects: Project) -> PlanInput:
    males, females = (tuple(f"{sex}{one}" for one in range(n)) for sex, n in (("m", n_males), ("f", n_females)))
    return PlanInput(males, females, np.full(n_males, 5), projects, crosses(rows))


def test_the_best_female_for_everything__she_is_paired_once() -> None:
    rows = [(sire, dam, which, 0, 0.9 if dam == 0 else 0.3) for sire in (0, 1) for dam in (0, 1) for which in (0, 1)]
    plan = plan_season(herd(2, 2, rows, ALDER, BIRCH))
    assert [one.dam for one in plan.pairings].count("f0") == 1


def test_every_clutch_for_the_dearest_project__a_further_try_adds_less() -> None:
    rows = [(0, dam, which, 0, 0.8) for dam in range(4) for which in (0, 1)]
    plan = plan_season(herd(1, 4, rows, ALDER, BIRCH))
    assert {one.project: one.pairings for one in plan.projects} == {"A": 2, "B": 2}


def test_one_male_twelve_times__his_cap_and_a_male_in_reserve() -> None:
    rows = [(sire, dam, 0, 0, 0.3 if sire == 0 else 0.2) for sire in range(3) for dam in range(12)]
    inp = replace(herd(3, 12, rows, ALDER), caps=np.array([4, 4, 4]), reserve=1)
    plan = plan_season(inp)
    sires = [one.sire for one in plan.pairings]
    assert max(sires.count(one) for one in inp.males) == 4
    assert len(plan.spare) == 1


def test_an_uncertain_male_for_all__his_clutches_are_one_bet() -> None:
    rows = [(0, dam, 0, 0, 0.444) for dam in range(4)] + [(1, dam, 0, 0, 0.4) for dam in range(4)]
    inp = replace(herd(2, 4, rows, ALDER), may_carry=(MayCarry("m0", "A", 2 / 3),))
    sires = [one.sire for one in plan_season(inp).pairings]
    assert sires.count("m1") > 0
    alone = plan_season(replace(inp, not_ready={"m1": "He rests."}))
    assert alone.projects[0].chances[0] < 2 / 3


def test_every_female_lays__the_year_planned_for_is_a_bad_one() -> None:
    """Two clutches of six just fit the mean; the year that one in ten passes leaves room for one."""
    inp = _in_one_week(herd(1, 2, [(0, dam, 0, 0, 0.5) for dam in (0, 1)], ALDER), places=12.0)
    assert len(plan_season(replace(inp, caution=0.0)).pairings) == 2
    assert len(plan_season(inp).pairings) == 1


def test_a_season_sooner_at_close_kinship__the_limit_comes_first() -> None:
    ban = Ban("m0", "f0", "Their young would be inbred 25 %.")
    inp = replace(herd(1, 1, [(0, 0, 0, 0, 0.9), (0, 0, 1, 0, 0.2)], ALDER, BIRCH), bans=(replace(ban, project="A"),))
    assert [one.project for one in plan_season(inp).pairings] == ["B"]


def test_forty_eggs_in_july__no_week_is_passed() -> None:
    inp = _in_one_week(herd(2, 8, [(one % 2, one, 0, 0, 0.2) for one in range(8)], ALDER), places=30.0)
    plan = plan_season(inp)
    assert all(one.planned_for <= one.places for one in plan.load)
    assert any("egg places are left in the week of 7 July" in one.reason for one in plan.left_out)
    assert all("more egg places in the week of 7 July" in one.takes for one in plan.left_out)


def test_a_thin_female__not_ready_is_a_ban_not_a_cost() -> None:
    inp = herd(1, 2, [(0, 0, 0, 0, 0.9), (0, 1, 0, 0, 0.05)], ALDER)
    plan = plan_season(replace(inp, not_ready={"f0": "Not back to weight until May."}))
    assert [one.dam for one in plan.pairings] == ["f1"]
    assert [(one.dam, one.reason) for one in plan.left_out] == [("f0", "Not back to weight until May.")]


def test_second_try__says_what_it_adds() -> None:
    plan = plan_season(herd(1, 2, [(0, dam, 0, 0, 0.535) for dam in (0, 1)], ALDER))
    told = [one.reasons[0] for one in plan.pairings]
    assert told == ["First try at Alder: 54 in 100.", "Second try at the same goal: 54 becomes 78 in 100."]
    assert plan.pairings[0].value == pytest.approx(100 * (0.783775 - 0.535))


def _in_one_week(inp: PlanInput, *, places: float) -> PlanInput:
    n = len(inp.females)
    load = WeeklyLoad(
        "egg places", np.full((n, 1), 6.0), np.full((n, 1), 2.0), np.array([places]), np.zeros(1), np.zeros(1)
    )
    return replace(inp, weeks=(dt.date(2031, 7, 7),), loads=(load,))
