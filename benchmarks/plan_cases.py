"""F1 and F2: pairs by assignment against HiGHS, and whole season plans with all rules."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator

import measuring
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

from holdback.decisions.season_plan import (
    Crosses,
    MayCarry,
    PlanInput,
    Project,
    WeeklyLoad,
    pair_up,
    plan_season,
    what_if,
)

VERSION = 1
WEEKS = 18
PER_HATCHLING = np.array([0, 0, 1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4])
"""Chance that a young is wanted, by how much the parents carry of it together."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """All cases."""
    yield _assignment()
    yield _seasons("F2", 8, 30, 4, seeds=3 if short else 20, limit=1.0, gap=1e-6)
    yield _seasons("F2w", 30, 200, 8, seeds=1 if short else 20, limit=6.0, gap=1e-4)


def _assignment() -> measuring.Measured:
    """Thirty males, 200 females, whole scores, one pair in eight barred, 4 to 10 clutches a male."""
    rng = np.random.default_rng(np.random.SeedSequence([VERSION, 1]))
    worth = rng.integers(1, 101, (30, 200)).astype(float)
    worth[rng.random(worth.shape) < 0.125] = 0
    caps = rng.integers(4, 11, 30)
    pairs = pair_up(worth, caps)
    if round(worth[pairs[:, 0], pairs[:, 1]].sum()) != round(by_highs(worth, caps)):
        raise measuring.WrongError("F1: assignment and HiGHS differ")
    own, peer = measuring.alternate(lambda: pair_up(worth, caps), lambda: by_highs(worth, caps), rounds=(20, 1))
    return measuring.compared("F1", "30 males, 200 females, caps only: HiGHS", own, peer)


def by_highs(worth: NDArray[np.float64], caps: NDArray[np.int64]) -> float:
    """Largest total worth by scipy's mixed integer solver."""
    sire, dam = np.nonzero(worth)
    n, (males, females) = len(sire), worth.shape
    shape = (males + females, n)
    rows = coo_matrix((np.ones(2 * n), (np.concatenate([sire, males + dam]), np.tile(np.arange(n), 2))), shape=shape)
    limits = LinearConstraint(rows.tocsr(), -np.inf, np.concatenate([caps, np.ones(females)]))
    found = milp(-worth[sire, dam], constraints=limits, integrality=np.ones(n), bounds=Bounds(0, 1))
    return float(-found.fun)


def _seasons(
    case: str, males: int, females: int, projects: int, *, seeds: int, limit: float, gap: float
) -> measuring.Measured:
    """Whole seasons until no plan can be better by more than a share of the worth."""
    seconds, gaps = [], []
    for seed in range(1, seeds + 1):
        inp = season(males, females, projects, seed)
        start = time.perf_counter()
        plan = plan_season(inp, gap=gap, seconds=30)
        seconds.append(time.perf_counter() - start)
        gaps.append(plan.gap)
        if what_if(inp, plan, []).broken or plan.bound < plan.worth:
            raise measuring.WrongError(f"{case}: seed {seed} breaks a limit or its bound")
    what = f"{males} males, {females} females, {projects} projects, all rules, to within {gap:g}"
    return measuring.alone(case, what, seconds, limit=limit, worst_gap=max(gaps), seeds=float(seeds))


def season(males: int, females: int, projects: int, seed: int) -> PlanInput:
    """A season: genes drawn, 15 % of pairs barred, fixed costs, a male kept free, uncertain males, places by week."""
    rng = np.random.default_rng(np.random.SeedSequence([VERSION, 2, seed, males, females]))
    caps = rng.integers(3, 7, males)
    lays, eggs = rng.uniform(0.45, 0.85, females), rng.uniform(4.5, 9, females)
    carried = [rng.choice(4, (n, projects), p=[0.45, 0.3, 0.15, 0.1]) for n in (males, females)]
    level = carried[0][:, None, :] + carried[1][None, :, :] - rng.integers(0, 2, projects)
    barred = rng.random((males, females, 1)) < 0.15
    sire, dam, project = np.nonzero((level >= 2) & ~barred)
    per_hatchling = PER_HATCHLING[level[sire, dam, project]]
    chance = lays[dam] * (1 - (1 - per_hatchling) ** (0.81 * eggs[dam]))
    carries = tuple(MayCarry(f"m{rng.integers(males)}", f"p{one}", 2 / 3) for one in range(2))
    for place, one in enumerate(carries):
        chance[(sire == int(one.sire[1:])) & (project == place)] *= one.chance
    return PlanInput(
        tuple(f"m{one}" for one in range(males)),
        tuple(f"f{one}" for one in range(females)),
        caps,
        tuple(
            Project(f"p{one}", f"Project {one}", float(rng.uniform(40, 120)), least=int(rng.integers(0, 3)))
            for one in range(projects)
        ),
        Crosses(sire, dam, project, np.zeros(len(sire), dtype=np.int64), chance),
        male_costs=rng.uniform(0.3, 1.5, males),
        reserve=1,
        may_carry=carries,
        weeks=tuple(dt.date(2031, 5, 5) + dt.timedelta(days=7 * week) for week in range(WEEKS)),
        loads=(_egg_places(rng, lays, eggs),),
    )


def _egg_places(rng: np.random.Generator, lays: NDArray[np.float64], eggs: NDArray[np.float64]) -> WeeklyLoad:
    """Places for three quarters of what all females together would take in the fullest week."""
    after = np.arange(WEEKS) - rng.normal(8, 2.5, len(lays))[:, None]
    there = np.clip(after + 0.5, 0, 1) * (after < 9)
    mean = (lays * eggs)[:, None] * there
    variance = (lays * (1.9**2 + eggs**2) - (lays * eggs) ** 2)[:, None] * there
    places = np.full(WEEKS, 0.75 * mean.sum(axis=0).max())
    none = np.zeros(WEEKS)
    return WeeklyLoad("egg places", mean, np.sqrt(variance), places, none, none)
