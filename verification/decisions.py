"""Whether a route brings its goal as often as its rehearsal says.

Herds of which everything is known are written down; from the records alone a stock is made, a route found and
rehearsed. Then the route is followed with the true animals, by another program. Each herd is followed once: what it
says for several seasons rests on the same records.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np
from verification.calibration import Said, bias, bins
from verification.plan_herds import YEAR, catalogue, plan_herd
from verification.plan_keepers import PlanKeeper, can_be_played

from holdback.answers import Answers
from holdback.decisions.goal import Goal
from holdback.errors import DecisionError

SHORT, FULL = 24, 200
"""Herds."""
RUNS, FULL_RUNS = 500, 1000
SEASONS = (0, 1, 2, 4, 6, 8)
"""Seasons by which a chance is said."""
WANTS = ("Pied", "Pied Enchi", "female Pied Enchi")
BOUND = 3.0
"""Standard errors."""
_PLAYED = 9


def drawn(herds: int, seed: int, *, runs: int = RUNS) -> list[Said]:
    """Everything that is said of some herds' routes.

    Parameters
    ----------
    herds : int
        How many.
    seed : int
        Of all random numbers.
    runs : int
        Of each rehearsal.
    """
    said: list[Said] = []
    for number, each in enumerate(np.random.SeedSequence(seed).spawn(herds)):
        said += told(np.random.default_rng(each), f"herd {number}", WANTS[number % len(WANTS)], runs)
    return said


def told(rng: np.random.Generator, name: str, want: str, runs: int) -> Iterator[Said]:
    """What is said of one herd's route, and whether it is so; nothing where there is no route that can be followed."""
    herd, goal = plan_herd(rng), Goal("Goal", want, by=YEAR + 6, inbreeding_at_most=0.25)
    decisions = Answers(herd.collection, catalogue()).decisions(dt.date(YEAR, 1, 10), goals={"goal": goal})
    try:
        plan = decisions.route("goal")
    except DecisionError:
        return
    if not can_be_played(plan):
        return
    chances = decisions.rehearsal("goal", runs=runs, seed=int(rng.integers(2**31))).reached_by_season
    came = PlanKeeper(decisions.stock, plan, herd.genotypes, goal.inbreeding_at_most, rng).season_of_goal(_PLAYED)
    crosses = "one cross" if len(plan.steps) == 1 else "two crosses"
    for season in SEASONS:
        yield Said("the goal is there", chances[season].mean, came <= season, name, (crosses, want))


def faults(said: Sequence[Said]) -> list[str]:
    """Tenths of chances that are off beyond chance, and chances that are off as a whole; one line each."""
    found = [
        f"{one.kind}, {one.low:.0%} to {one.high:.0%}: said {one.said:.3f}, true {one.true:.3f}, {one.z:+.1f} errors"
        for one in bins(said)
        if one.is_judged and abs(one.z) > BOUND
    ]
    if abs(bias(said)) > BOUND:
        found.append(f"the goal is there: {bias(said):+.1f} errors more often than said")
    return found
