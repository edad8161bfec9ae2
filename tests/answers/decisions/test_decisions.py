"""Goals and plans over the demo: what stands against a project, where it stands, and what is kept."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.goals import goals_of, kept_for_others
from holdback.answers.decisions.worths import worth_of_goal
from holdback.decisions.goal import Goal
from holdback.errors import DecisionError


def only(plans: Decisions, key: str, **changes: object) -> Decisions:
    """Plans for one project alone, changed."""
    return plans.with_goals({key: replace(plans.goals[key], **changes)})  # type: ignore[arg-type]


def test_goals_of__open_projects_in_their_order(plans: Decisions) -> None:
    assert list(plans.goals) == [one.id for one in plans.answers.collection.records.projects]
    goal = goals_of(plans.answers.collection)["big-clown"]
    assert (goal.want, goal.line, goal.share_at_least, goal.by) == ("female Clown Enchi", "Marrowfen", 0.5, 2030)


def test_key_of__by_name_whatever_the_case(plans: Decisions) -> None:
    assert plans.key_of(" big CLOWN ") == plans.key_of("big-clown") == "big-clown"
    with pytest.raises(DecisionError, match="DEC-140"):
        plans.key_of("small clown")


def test_route__waits_for_a_word_of_the_keeper(plans: Decisions) -> None:
    """Off by default: carriers of Hidden Gene Woma have balance trouble (common practice, no source)."""
    with pytest.raises(DecisionError, match="DEC-142"):
        plans.route("banded-giants")
    assert plans.route_or_none("banded-giants") is None
    assert "spoken for" in plans.without_route["banded-giants"]
    (code,) = [one.code for one in plans.unspoken("banded-giants")]
    spoken = only(plans, "banded-giants", accepted=frozenset({code}))
    assert not spoken.unspoken("banded-giants")


def test_kept_for_others__animals_of_one_project_only() -> None:
    goals = {"a": Goal("A", "Clown", animals=("x", "y")), "b": Goal("B", "Pied", animals=("y",))}
    assert kept_for_others(goals, "a") == frozenset()
    assert kept_for_others(goals, "b") == {"x"}


def test_stock_for__leaves_out_what_another_project_keeps(plans: Decisions) -> None:
    keeper = plans.with_goals(
        {"big-clown": plans.goals["big-clown"], "mine": Goal("Mine", "Clown", animals=("22-05",))}
    )
    assert "22-05" in keeper.stock_for("mine").animals
    assert "22-05" not in keeper.stock_for("big-clown").animals


def test_standing__those_of_the_route_first_and_what_each_is(plans: Decisions) -> None:
    found = plans.standing("big-clown")
    named = {one for step in plans.route("big-clown").steps for one in (*step.sire.animals, *step.dam.animals)}
    first = [one.animal for one in found.carriers if one.steps]
    assert set(first) <= named
    assert [bool(one.steps) for one in found.carriers] == sorted(
        (bool(one.steps) for one in found.carriers), reverse=True
    )
    by_id = {one.animal: one for one in found.carriers}
    umber = by_id["22-11"]
    assert umber.share == pytest.approx(0.75)
    assert umber.part == "Shows Enchi; Clown to be proven; brings Marrowfen."
    assert sum(umber.copies[0]) == pytest.approx(1.0)


def test_chances__grow_with_the_years(plans: Decisions) -> None:
    chances = plans.chances("big-clown")
    assert all(0 <= before <= after <= 1 for before, after in pairwise(chances))
    assert chances[0] > 0.1  # crosses of this season are under way


def test_worth_of_goal__is_the_year_for_one_that_is_certain() -> None:
    """Certain by H - 1 however it comes, a year sooner is all there is to gain; never to be had, all of it is."""
    goal = Goal("A", "Clown", by=2030, worth_eggs=80, year_worth_eggs=12)
    assert worth_of_goal(goal, [1.0] * 8, 2026) == pytest.approx(12)
    assert worth_of_goal(goal, [0.0] * 8, 2026) == pytest.approx(92)
    assert worth_of_goal(goal, [0.0, 0.2, 0.3, 0.5, 0.9], 2026) == pytest.approx(80 * 0.5 + 12)


def test_season_plan__only_ready_animals_and_no_female_under_a_ban(plans: Decisions) -> None:
    plan = plans.season_plan()
    stock, season = plans.stock, plans.open_year - plans.stock.year
    for one in plan.pairings:
        for animal in (one.sire, one.dam):
            assert stock.ready[stock.index(animal)] <= season
        if one.project and not one.locked:
            limit = plans.goals[one.project].inbreeding_at_most
            assert stock.kinship[stock.index(one.sire), stock.index(one.dam)] <= limit + 1e-9
    males = [one.sire for one in plan.pairings]
    assert all(males.count(male) <= stock.clutches[stock.index(male)] for male in males)
    assert plans.season_plan() is plan


def test_season_plan__a_pair_serves_its_project_with_the_score_of_its_mates(plans: Decisions) -> None:
    plan = plans.season_plan()
    one = next(pair for pair in plan.pairings if pair.project and pair.part == 0)
    score = {each.mate: each.score for each in plans.mates(one.dam, key=one.project)}
    assert one.chance == pytest.approx(score[one.sire], abs=1e-9)
