"""Hold-backs by routes and rehearsals as they are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.herd import herd
from tests.decisions.holdbacks.exact import EXACT, candidate, one_cross, project

from holdback.collection.model import Sex
from holdback.decisions.holdbacks import Keeping, hold_backs
from holdback.decisions.holdbacks.meeting import with_animal
from holdback.decisions.holdbacks.played import best_at_hand, played
from holdback.species.catalogue import load

CLOWN = ("clown", 2)
RUNS = 1000


def test_played__one_cross_is_worth_what_the_closed_form_says() -> None:
    """Rehearsed gain of a dam without whom there is no cross, against the exact chance within her seasons."""
    stock = herd(males=[["vis"]], females=[["66"]], genes=["clown"])
    young = [candidate(stock, "f0", female_ready=4)]
    wish = project(CLOWN, by=5)
    exact = hold_backs(stock, young, [wish], keeping=Keeping(1), tools=EXACT, catalogue=load())
    tools = played(load(), ["f0"], runs=RUNS, seasons=7)
    found = hold_backs(stock, young, [wish], keeping=Keeping(1), tools=tools, catalogue=load())
    chance = exact.hatchlings[0].score.mean / 100
    error = 100 * np.sqrt(chance * (1 - chance) / RUNS)
    assert found.hatchlings[0].score.mean == pytest.approx(100 * chance, abs=4 * error)
    assert found.kept == ("f0",)
    assert found.runs == RUNS


def test_played__a_son_for_a_daughter_and_like_brothers() -> None:
    """Two goals' genes in sib hatchlings: son and daughter together make the cross; the second son adds nothing."""
    stock = herd(
        males=[["-", "-"], ["het", "het"], ["het", "het"]],
        females=[["-", "-"], ["het", "het"]],
        genes=["clown", "piebald"],
    )
    young = [candidate(stock, one, clutch=clutch) for one, clutch in (("m1", "a"), ("m2", "a"), ("f1", "b"))]
    tools = played(load(), [one.animal for one in young], runs=RUNS, seasons=9)
    wish = project(CLOWN, ("piebald", 2), by=8)
    found = hold_backs(stock, young, [wish], keeping=Keeping(3), tools=tools, catalogue=load())
    assert set(found.kept) == {"f1", "m1"}
    assert found.hatchlings[2].animal == "m2"
    assert found.hatchlings[2].score.low <= 0 <= found.hatchlings[2].score.high
    assert "M1, his brother, is kept already; another like that adds nothing." in found.hatchlings[2].reasons
    assert found.is_best_of_all


def test_played__same_seed_same_answer() -> None:
    stock = herd(males=[["vis"]], females=[["66"], ["50"]], genes=["clown"])
    young = [candidate(stock, "f1", female_ready=2)]

    def score() -> float:
        tools = played(load(), ["f1"], runs=250, seasons=6)
        return (
            hold_backs(stock, young, [project(CLOWN, by=4)], keeping=Keeping(1), tools=tools, catalogue=load())
            .hatchlings[0]
            .score.mean
        )

    assert score() == score() > 0


def test_with_animal__stands_beside_those_at_hand_and_in_for_those_bred() -> None:
    stock = herd(males=[["vis"], ["50"]], females=[["het"], ["66"], ["-"]], genes=["clown"])
    wish = project(CLOWN, by=5)
    plan = one_cross(stock.without(["m1", "f1", "f2"]), wish.targets[0], wish.goal)
    assert plan is not None
    assert with_animal(stock, plan, "f1", sex=Sex.FEMALE).steps[0].dam.animals == ("f0", "f1")
    assert with_animal(stock, plan, "m1", sex=Sex.MALE).steps[0].sire.animals == ("m0", "m1")
    assert with_animal(stock, plan, "f2", sex=Sex.FEMALE) == plan
    bred = replace(plan, steps=(replace(plan.steps[0], dam=replace(plan.steps[0].dam, animals=(), step=0)),))
    assert with_animal(stock, bred, "f1", sex=Sex.FEMALE) == bred


def test_best_at_hand__brings_most() -> None:
    stock = herd(
        males=[["-", "-"], ["het", "-"], ["vis", "66"]],
        females=[["-", "vis"], ["50", "-"]],
        genes=["clown", "piebald"],
    )
    target = project(CLOWN, ("piebald", 2)).targets[0]
    assert best_at_hand(stock, target, 1) == ("m2", "f0")
