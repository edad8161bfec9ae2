"""The season's pairings, held against every plan of small seasons."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.decisions.season_plan.cases import Pairs, every_plan, small

from holdback.decisions.season_plan import PlanInput, plan_season


def worth(inp: PlanInput, pairs: Pairs) -> float:
    """Worth of pairs, written out: chances of misses multiplied, dear males once."""
    chance = {row[:4]: row[4] for row in zip(*(getattr(inp.crosses, one).tolist() for one in FIELDS), strict=True)}
    total = 0.0
    for which, project in enumerate(inp.projects):
        miss = math.prod(1 - chance[pair] for pair in pairs if pair[2] == which)
        total += project.worth * (1 - miss)
    costs = np.zeros(len(inp.males)) if inp.male_costs is None else inp.male_costs
    return total - float(sum(costs[sire] for sire in {pair[0] for pair in pairs}))


FIELDS = ("sire", "dam", "project", "part", "chance")


def keeps_caps(inp: PlanInput, pairs: Pairs) -> bool:
    return all(sum(pair[0] == male for pair in pairs) <= cap for male, cap in enumerate(inp.caps.tolist()))


@pytest.mark.parametrize("seed", range(12))
def test_plan_season__three_males_five_females_two_projects(seed: int) -> None:
    inp = small(seed)
    best = max(worth(inp, pairs) for pairs in every_plan(inp) if keeps_caps(inp, pairs))
    plan = plan_season(inp)
    assert plan.optimal
    assert plan.worth == pytest.approx(best, rel=1e-6)
    assert plan.worth <= plan.bound <= plan.worth * (1 + 1e-6)
