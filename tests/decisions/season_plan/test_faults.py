"""What stands in the way of a plan, and the limit to relax."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.season_plan.cases import crosses

from holdback.decisions.season_plan import (
    Ban,
    Lock,
    MayCarry,
    Move,
    PlanInput,
    Project,
    WeeklyLoad,
    plan_season,
    using,
    what_if,
)
from holdback.errors import DecisionError

INP = PlanInput(
    ("m0", "m1"),
    ("f0", "f1", "f2"),
    np.array([1, 2]),
    (Project("A", "Alder", 100.0), Project("B", "Birch", 50.0)),
    crosses([(0, 0, 0, 0, 0.5), (0, 1, 0, 0, 0.5), (1, 1, 1, 0, 0.4), (1, 2, 1, 0, 0.4)]),
    names={"m0": "Rowan", "f0": "Sloe"},
)


@pytest.mark.parametrize(
    "inp, message",
    [
        (replace(INP, not_ready=dict.fromkeys(INP.males, "He rests.")), "DEC-030: No male can breed.*He rests"),
        (replace(INP, not_ready=dict.fromkeys(INP.females, "Too young.")), "DEC-031: No female can breed.*Too young"),
        (
            replace(INP, bans=tuple(Ban(m, f, "Too near kin.") for m in INP.males for f in INP.females)),
            "DEC-032: No pair is left.*Too near kin",
        ),
        (replace(INP, caps=np.array([-1, 2])), "DEC-033 field number of clutches of a male"),
        (replace(INP, crosses=replace(INP.crosses, chance=np.array([0.5, np.nan, 0.4, 0.4]))), "DEC-033"),
        (
            replace(INP, locks=(Lock("m0", "f0"),), bans=(Ban("m0", "f0", "Too near kin."),)),
            "DEC-034 animal f0: The fixed pair Rowan and Sloe breaks a limit: Too near kin",
        ),
        (replace(INP, locks=(Lock("m0", "f0"),), not_ready={"f0": "Too thin."}), "DEC-034.*Too thin"),
        (replace(INP, locks=(Lock("m0", "f0"), Lock("m1", "f0"))), "DEC-034 animal f0: Sloe is fixed 2 times"),
        (replace(INP, locks=(Lock("m0", "f0"), Lock("m0", "f1"))), "DEC-034 animal m0: Rowan is fixed to 2 females"),
        (replace(INP, may_carry=(MayCarry("m0", "A", 0.3),)), "DEC-036 animal m0"),
        (replace(INP, locks=(Lock("m9", "f0"),)), "DEC-037 animal m9"),
        (replace(INP, may_carry=(MayCarry("m9", "A", 0.3),)), "DEC-037 animal m9"),
    ],
)
def test_plan_season__wrong_input(inp: PlanInput, message: str) -> None:
    with pytest.raises(DecisionError, match=message):
        plan_season(inp)


def test_plan_season__too_many_pairings_asked_for() -> None:
    alder = replace(INP.projects[0], least=2)
    with pytest.raises(DecisionError) as raised:
        plan_season(replace(INP, projects=(alder, INP.projects[1])))
    (fault,) = raised.value.faults
    assert fault.code == "DEC-035"
    assert "Alder has 1 pairing, and is to have at least 2" in fault.what or "Rowan has 2 clutches, of 1" in fault.what
    assert "one pairing less asked for Alder" in fault.hint or "one more clutch from Rowan" in fault.hint


def test_plan_season__reserve_against_fixed_pairs() -> None:
    inp = replace(INP, locks=(Lock("m0", "f0"), Lock("m1", "f2")), reserve=1)
    with pytest.raises(DecisionError, match=r"DEC-035: .*0 males are kept free, of 1.* one male less kept free"):
        plan_season(inp)


def test_plan_season__fixed_pair_that_serves_nothing_stays() -> None:
    plan = plan_season(replace(INP, locks=(Lock("m1", "f0"),)))
    pair = next(one for one in plan.pairings if one.dam == "f0")
    assert (pair.sire, pair.project, pair.locked, pair.chance) == ("m1", "", True, 0.0)
    assert pair.reasons == ("You fixed this pair. No project gains from it this season.",)


def test_what_if__tells_every_broken_limit() -> None:
    projects = (replace(INP.projects[0], most=1), replace(INP.projects[1], least=2))
    inp = replace(
        INP, projects=projects, bans=(Ban("m1", "f0", "Too near kin."),), locks=(Lock("m1", "f2"),), reserve=0
    )
    plan = plan_season(inp)
    moved = what_if(inp, plan, [Move("f1", "m0"), Move("f2")])
    assert {one.limit for one in moved.broken} == {"male:m0", "most:A", "least:B", "fixed:m1:f2"}
    assert moved.change == pytest.approx(moved.worth - plan.worth)
    to_kin = what_if(inp, plan, [Move("f0", "m1", "B")])
    assert {one.limit for one in to_kin.broken} == {"pair:m1:f0", "male:m1"}
    assert "Too near kin." in {one.sentence for one in to_kin.broken}


def test_what_if__no_move_changes_nothing() -> None:
    plan = plan_season(INP)
    same = what_if(INP, plan, [])
    assert same.change == pytest.approx(0)
    assert not same.broken
    assert set(same.pairings) == set(plan.pairings)


def test_what_if__not_ready() -> None:
    inp = replace(INP, not_ready={"f0": "Too thin."})
    moved = what_if(inp, plan_season(inp), [Move("f0", "m1")])
    assert [(one.limit, one.sentence) for one in moved.broken] == [("ready:f0", "Too thin.")]


def test_what_if__unknown_animal() -> None:
    with pytest.raises(DecisionError, match="DEC-037 animal f9"):
        what_if(INP, plan_season(INP), [Move("f9", "m0")])


def test_using__says_who_gives_way() -> None:
    inp = replace(INP, crosses=crosses([(0, 0, 0, 0, 0.5), (0, 1, 0, 0, 0.4), (1, 2, 1, 0, 0.4)]))
    plan = plan_season(inp)
    assert [one.dam for one in plan.left_out] == ["f1"]
    assert plan.left_out[0].reason == "Best with Rowan: Rowan has his 1 clutch."
    found = using(inp, plan, "f1")
    assert found.change == pytest.approx(-10)
    assert found.sentence == "With Rowan, for 10.0 less in worth; Sloe would be left out instead."


def test_using__only_if_a_limit_gives_way() -> None:
    inp = replace(INP, crosses=crosses([(0, 0, 0, 0, 0.5), (0, 1, 0, 0, 0.4)]), locks=(Lock("m0", "f0"),))
    found = using(inp, plan_season(inp), "f1")
    assert found.plan is None
    assert np.isnan(found.change)
    assert found.sentence.startswith("f1 can be used only if a limit gives way. What would do: ")


def test_using__not_ready_or_unknown() -> None:
    inp = replace(INP, not_ready={"f0": "Too thin."})
    plan = plan_season(inp)
    assert using(inp, plan, "f0").sentence == "Sloe cannot be used this season: Too thin."
    with pytest.raises(DecisionError, match="DEC-037 animal f9"):
        using(inp, plan, "f9")


def test_plan_season__weeks_that_are_full_already() -> None:
    weeks = (dt.date(2031, 7, 7), dt.date(2031, 7, 14))
    mean = np.array([[6.0, 0.0], [0.0, 6.0], [0.0, 6.0]])
    load = WeeklyLoad("tubs", mean, 0 * mean, np.array([10.0, 20.0]), np.array([12.0, 0.0]), np.zeros(2))
    plan = plan_season(replace(INP, weeks=weeks, loads=(load,)))
    assert {one.dam for one in plan.pairings} == {"f1", "f2"}
    assert plan.notes == ("From the week of 7 July there are too few tubs already; no clutch is added to such weeks.",)
    moved = what_if(replace(INP, weeks=weeks, loads=(load,)), plan, [Move("f0", "m0")])
    assert "tubs:2031-07-07" in {one.limit for one in moved.broken}
