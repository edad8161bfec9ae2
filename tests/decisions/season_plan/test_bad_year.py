"""Seasons played: how often a plan for the bad year, and one for the mean, takes more egg places than there are."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm  # type: ignore[import-untyped]
from tests.decisions.season_plan.cases import crosses

from holdback.decisions.season_plan import BAD_YEAR, PlanInput, Project, SeasonPlan, WeeklyLoad, plan_season

EGGS = np.arange(16)
LAW = np.append(0.0, np.diff(norm.cdf(np.arange(0.5, 16), 6.83, 2)))
LAW = (LAW / LAW.sum()).astype(np.float64)
LAYS = 0.7
SEASONS = 20_000


def test_bad_year__is_the_one_in_ten() -> None:
    assert norm.ppf(0.9) == pytest.approx(BAD_YEAR, abs=2e-3)


@pytest.mark.parametrize("seed", range(3))
def test_plan_season__weeks_are_overfull_in_few_seasons(seed: int) -> None:
    """One season in ten at most; where only the mean must fit, far more."""
    inp, weeks_of_eggs = _season(seed)
    caution = _overfull(inp, plan_season(inp, gap=1e-4), weeks_of_eggs)
    mean = _overfull(inp, plan_season(replace(inp, caution=0.0), gap=1e-4), weeks_of_eggs)
    assert caution < 0.1
    assert mean > 0.2


def _season(seed: int) -> tuple[PlanInput, np.ndarray]:
    """Six males, 24 females; eggs of a clutch lie for nine of 16 weeks."""
    rng = np.random.default_rng(seed)
    rows = [
        (sire, dam, which, 0, LAYS * float(rng.uniform(0.1, 0.6)))
        for sire in range(6)
        for dam in range(24)
        for which in range(2)
        if rng.random() < 0.5
    ]
    first = rng.integers(2, 7, 24)
    there = (np.arange(16) >= first[:, None]) & (np.arange(16) < first[:, None] + 9)
    mean = LAYS * float(EGGS @ LAW)
    sd = float(np.sqrt(LAYS * (EGGS**2 @ LAW) - mean**2))
    each = there.astype(np.float64)
    load = WeeklyLoad("egg places", mean * each, sd * each, np.full(16, 70.0), np.zeros(16), np.zeros(16))
    inp = PlanInput(
        tuple(f"m{one}" for one in range(6)),
        tuple(f"f{one}" for one in range(24)),
        np.full(6, 5),
        (Project("A", "Alder", 100.0), Project("B", "Birch", 80.0)),
        crosses(rows),
        weeks=tuple(dt.date(2031, 5, 5) + dt.timedelta(days=7 * week) for week in range(16)),
        loads=(load,),
    )
    return inp, there


def _overfull(inp: PlanInput, plan: SeasonPlan, there: np.ndarray) -> float:
    """Share of seasons in which the week that is overfull most often is."""
    rng = np.random.default_rng(7)
    dams = [inp.females.index(one.dam) for one in plan.pairings]
    eggs = rng.choice(EGGS, (SEASONS, len(dams)), p=LAW) * (rng.random((SEASONS, len(dams))) < LAYS)
    taken = eggs @ there[dams]
    return float((taken > inp.loads[0].places).mean(axis=0).max())
