"""What limits cost."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.season_plan.cases import best_of_all, crosses, small

from holdback.decisions.season_plan import PlanInput, Price, Project, plan_season, prices


@pytest.mark.parametrize("seed", range(5))
def test_prices__equal_the_best_of_all_plans_with_one_more(seed: int) -> None:
    inp = replace(small(seed), clutches_at_most=3)
    plan = plan_season(inp)
    found = prices(inp, plan)
    assert found
    assert [one.gain for one in found] == sorted((one.gain for one in found), reverse=True)
    for one in found:
        assert one.proven
        assert one.gain == pytest.approx(_gain(inp, one), abs=1e-4)


def test_prices__in_words() -> None:
    rows = [(0, 0, 0, 0, 0.5), (0, 1, 0, 0, 0.4), (1, 2, 1, 0, 0.3)]
    projects = (Project("A", "Alder", 100.0), Project("B", "Birch", 50.0))
    inp = PlanInput(("m0", "m1"), ("f0", "f1", "f2"), np.array([1, 1]), projects, crosses(rows))
    found = prices(inp, plan_season(inp))
    assert [one.gain for one in found] == pytest.approx([20, 0])
    assert [one.sentence for one in found] == [
        "One more clutch from m0 would be worth 20.0: more than one more clutch from m1.",
        "One more clutch from m1 would change nothing.",
    ]


def test_prices__stopped() -> None:
    inp = replace(small(1), clutches_at_most=3)
    assert prices(inp, plan_season(inp), cancelled=lambda: True) == ()


def _gain(inp: PlanInput, one: Price) -> float:
    kind, _, about = one.limit.partition(":")
    if kind == "clutches":
        looser = replace(inp, clutches_at_most=(inp.clutches_at_most or 0) + 1)
    else:
        assert kind == "male"
        looser = replace(inp, caps=inp.caps + (np.array(inp.males) == about))
    return best_of_all(looser) - best_of_all(inp)
