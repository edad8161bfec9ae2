"""Whether last year's plan stands."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.settled import moved
from holdback.decisions.plan_values import plan_from, plan_values
from holdback.decisions.steps import Plan
from holdback.errors import DecisionError


@pytest.fixture(scope="module")
def plan(plans: Decisions) -> Plan:
    return plans.route("big-clown")


def test_plan_values__there_and_back_through_json(plan: Plan) -> None:
    assert plan_from(json.loads(json.dumps(plan_values(plan)))) == plan


@pytest.mark.parametrize("broken", [{}, {"format": 0}, {"format": 1, "target": {}}])
def test_plan_from__values_of_no_plan(broken: dict[str, object]) -> None:
    with pytest.raises(DecisionError, match="DEC-147"):
        plan_from(broken)


def test_settled__the_same_plan_stands(plans: Decisions, plan: Plan) -> None:
    found = plans.settled("big-clown", plan, plans.stock.year)
    assert found.is_kept
    assert found.gain_points == 0


def test_settled__a_much_worse_plan_goes_with_the_gain_told(plans: Decisions, plan: Plan) -> None:
    """Tried ten years later it cannot bring the goal by the year wished for."""
    goal = plan.steps[-1]
    dam = replace(goal.dam, animals=("22-11",))
    worse = replace(plan, steps=(replace(goal, number=0, dam=dam, first_season=10),))
    found = plans.settled("big-clown", worse, plans.stock.year)
    assert not found.is_kept
    assert found.gain_points > 5
    assert any(sentence.startswith("Before:") for sentence in found.why)


def test_settled__a_lost_animal_ends_it(plans: Decisions, plan: Plan) -> None:
    goal = plan.steps[-1]
    lost = replace(plan, steps=(replace(goal, number=0, sire=replace(goal.sire, animals=("sold-1",), step=None)),))
    found = plans.settled("big-clown", lost, plans.stock.year)
    assert not found.is_kept
    assert found.why[0] == "sold-1 is no longer among the animals at hand."


def test_moved__seasons_count_from_a_later_year(plan: Plan) -> None:
    later = moved(plan, 1)
    assert later.steps[-1].first_season == max(plan.steps[-1].first_season - 1, 0)
    assert later.by_season == plan.by_season[1:]
