from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from tests.decisions.herd import herd
from tests.decisions.holdbacks.exact import EXACT, by_season, candidate, project, table

from holdback.collection.model import Sex
from holdback.decisions.holdbacks import Candidate, Keeping, as_json, hold_backs
from holdback.decisions.holdbacks.in_stock import with_kept, without_candidates
from holdback.decisions.stock import Stock
from holdback.errors import DecisionError
from holdback.heredity.network import Cancelled
from holdback.species.catalogue import load

CLOWN = ("clown", 2)


def test_hold_backs__greedy_and_swaps_find_what_every_set_gives() -> None:
    """Worth by exact S(k) in one cross; the reference tries every subset and every pair by itself."""
    rng = np.random.default_rng(4)
    for _ in range(12):
        levels = ["-", "50", "66", "het"]
        males = [[str(rng.choice(levels))] for _ in range(4)]
        females = [[str(rng.choice(levels))] for _ in range(4)]
        stock = herd(males=males, females=females, genes=["clown"])
        young = [candidate(stock, one, male_ready=1, female_ready=3) for one in ("m2", "m3", "f1", "f2", "f3")]
        wish = project(CLOWN, by=5)
        best = max(
            _reference(stock, young, kept, wish.targets[0])
            for n in range(3)
            for kept in combinations([one.animal for one in young], n)
        )
        for most_sets in (300, 1):
            found = hold_backs(
                stock, young, [wish], keeping=Keeping(2, most_sets=most_sets), tools=EXACT, catalogue=load()
            )
            assert found.is_best_of_all or most_sets == 1
            total = _reference(stock, young, found.kept, wish.targets[0])
            assert total == pytest.approx(best, abs=1e-9), (males, females, most_sets)
            assert sum(row.score.mean for row in found.hatchlings if row.is_kept) == pytest.approx(
                100 * (best - _reference(stock, young, (), wish.targets[0])), abs=1e-6
            )


def _reference(stock: Stock, young: list[Candidate], kept: tuple[str, ...], target: object) -> float:
    by_id = {one.animal: one for one in young}
    held = with_kept(stock, by_id, {name: by_id[name].sex for name in kept})
    pairs = [(m, f) for m in held.of_sex(Sex.MALE) for f in held.of_sex(Sex.FEMALE)]
    return max([by_season(held, target, m, f, 5) for m, f in pairs], default=0.0)  # type: ignore[arg-type]


def test_hold_backs__second_of_two_like_brothers_adds_nothing() -> None:
    stock = herd(males=[["vis"], ["vis"]], females=[["vis"]], genes=["clown"])
    young = [candidate(stock, one, male_ready=1) for one in ("m0", "m1")]
    found = hold_backs(stock, young, [project(CLOWN, by=5)], keeping=Keeping(2), tools=EXACT, catalogue=load())
    assert found.kept == ("m0",)
    assert found.hatchlings[1].score.mean == pytest.approx(0)
    assert found.hatchlings[1].alone.mean == pytest.approx(found.hatchlings[0].score.mean)
    assert "M0, his brother, is kept already; another like that adds nothing." in found.hatchlings[1].reasons
    assert found.lede[-1] == "One tub is enough: no other adds anything that can be told."


def test_hold_backs__a_son_for_a_daughter() -> None:
    """Two that are worth nothing alone and most together are found, also where not every set is tried."""

    def worth(sexes: dict[str, Sex]) -> float:
        return 0.5 if {"m1", "f1"} <= set(sexes) else 0.1 * sum(one in sexes for one in ("m2", "f2"))

    stock = herd(
        males=[["-"], ["het"], ["50"]],
        females=[["-"], ["66"], ["50"]],
        genes=["clown"],
    )
    young = [candidate(stock, one) for one in ("m1", "m2", "f1", "f2")]
    for most_sets in (300, 1):
        found = hold_backs(
            stock,
            young,
            [project(CLOWN, by=5)],
            keeping=Keeping(2, most_sets=most_sets),
            tools=table(worth),  # type: ignore[arg-type]
            catalogue=load(),
        )
        assert sorted(found.kept) == ["f1", "m1"]
        assert [row.score.mean for row in found.hatchlings[:2]] == pytest.approx([0, 50])
        assert "Worth more beside" in " ".join(found.hatchlings[1].reasons)


def test_hold_backs__equal_sets_keep_both_sexes_of_an_open_step() -> None:
    """Of two sets worth the same the one with both sexes of a line is kept, not the two sons that breed sooner."""
    stock = herd(
        males=[["-"], ["het"], ["het"]],
        females=[["-"], ["het"]],
        genes=["clown"],
        line="Fen",
        shares=[0, 0.5, 0.5, 0, 0.5],
    )
    young = [candidate(stock, one, clutch=clutch) for one, clutch in (("m1", "a"), ("m2", "b"), ("f1", "a"))]
    wish = project(CLOWN, by=5, line="Fen", share=0.5)
    found = hold_backs(stock, young, [wish], keeping=Keeping(2), tools=table(lambda sexes: 0.3), catalogue=load())
    assert {found.hatchlings[k].sex for k in (0, 1)} == {Sex.MALE, Sex.FEMALE}
    assert len(found.kept) == 2
    assert any("line goes on in both sexes" in text for row in found.hatchlings[:2] for text in row.reasons)


def test_hold_backs__a_cross_that_lacks_a_sex() -> None:
    """A cross for whose dam nobody at hand is good enough wants a daughter, even if the numbers cannot tell."""
    stock = herd(males=[["vis"], ["het"]], females=[["-"], ["het"]], genes=["clown"])
    young = [candidate(stock, one) for one in ("m1", "f1")]
    found = hold_backs(stock, young, [project(CLOWN, by=6)], keeping=Keeping(2), tools=EXACT, catalogue=load())
    assert found.kept == ("f1",)
    assert "No other female here will do for a cross of the plan." in found.hatchlings[0].reasons


def test_hold_backs__less_akin_of_two_that_are_worth_the_same() -> None:
    """Beside the son that counts, the daughter of another clutch is ranked before his sister."""
    stock = herd(
        males=[["-"], ["vis"]],
        females=[["vis"], ["-"], ["-"]],
        genes=["clown"],
        kinship={("m1", "f1"): 0.25},
    )
    young = [candidate(stock, "m1"), candidate(stock, "f1"), candidate(stock, "f2", clutch="26-02")]
    found = hold_backs(stock, young, [project(CLOWN, by=6)], keeping=Keeping(1), tools=EXACT, catalogue=load())
    assert [row.animal for row in found.hatchlings] == ["m1", "f2", "f1"]
    assert any(
        text.startswith("Never for M1: their young would be inbred 25 %") for text in found.hatchlings[2].reasons
    )
    assert found.hatchlings[1].equal_to == ("f1",)


def test_hold_backs__the_goal_itself_counts_while_it_lives() -> None:
    from dataclasses import replace

    stock = herd(males=[["-"]], females=[["vis"], ["vis"]], genes=["clown"])
    stock = replace(stock, breeding=replace(stock.breeding, young_lives=0.9))
    young = [candidate(stock, one) for one in ("f0", "f1")]
    found = hold_backs(stock, young, [project(CLOWN, by=3)], keeping=Keeping(2), tools=EXACT, catalogue=load())
    assert found.kept == ("f0", "f1")
    assert [row.score.mean for row in found.hatchlings] == pytest.approx([90, 9])
    assert found.hatchlings[0].reasons[:2] == (
        "She is what Goal asks for.",
        "With her Goal is here by 2030 in 90 of 100 rehearsals, without in 0 (90 more).",
    )


def test_hold_backs__worth_of_unknown_sex_is_the_mean_over_both() -> None:
    stock = herd(males=[["vis"]], females=[["vis"], ["het"]], genes=["clown"])

    def alone(female: float) -> float:
        young = [candidate(stock, "f1", female, male_ready=1, female_ready=4)]
        lone = stock.without(["f0"])
        found = hold_backs(lone, young, [project(CLOWN, by=5)], keeping=Keeping(1), tools=EXACT, catalogue=load())
        return found.hatchlings[0].score.mean

    assert alone(0.5) == pytest.approx((alone(1.0) + alone(0.0)) / 2)
    assert alone(0.0) < alone(1.0) < 100


def test_hold_backs__one_hatchling_that_makes_a_cross_is_worth_the_chance_of_the_cross() -> None:
    """A sixteenth of the young of one clutch that may be laid: 1 - (.3 + .7 G(15/16)) = .206584, summed by hand."""
    stock = herd(males=[["het", "het"]], females=[["het", "het"]], genes=["clown", "piebald"])
    young = [candidate(stock, "f0", female_ready=0)]
    wish = project(CLOWN, ("piebald", 2), by=0)
    found = hold_backs(stock, young, [wish], keeping=Keeping(1), tools=EXACT, catalogue=load())
    assert found.hatchlings[0].score.mean == pytest.approx(20.6584, abs=1e-3)


def test_hold_backs__a_tub_that_costs_more_than_it_brings_stays_empty() -> None:
    stock = herd(males=[["vis"]], females=[["66"]], genes=["clown"])
    young = [candidate(stock, "f0", female_ready=4)]
    wish = project(CLOWN, by=5)
    free = hold_backs(stock, young, [wish], keeping=Keeping(1), tools=EXACT, catalogue=load())
    assert free.kept == ("f0",)
    dear = Keeping(1, year_eggs=free.hatchlings[0].score.mean / 4 + 1)
    found = hold_backs(stock, young, [wish], keeping=dear, tools=EXACT, catalogue=load())
    assert found.kept == ()
    assert found.hatchlings[0].score.mean == pytest.approx(-4)
    assert found.lede == ("Hold back none: each brings less than its tub costs until it breeds.",)
    assert "Brings less than its tub costs until it breeds." in found.hatchlings[0].reasons
    assert "Changes nothing here that can be told." not in found.hatchlings[0].reasons


def test_hold_backs__noise_is_not_told_as_a_gain() -> None:
    """Runs with equal luck that differ by chance only: called equal, and no tub is filled for it."""
    stock = herd(males=[["vis"], ["het"]], females=[["vis"]], genes=["clown"])
    rng = np.random.default_rng(1)
    runs = {True: rng.random((400, 7)) < 0.5, False: rng.random((400, 7)) < 0.5}

    def play(stock: Stock, plan: object, goal: object, number: int) -> np.ndarray:
        return runs["m1" in stock.animals].astype(float)

    tools = type(EXACT)(table(lambda sexes: 0.1 * len(sexes)).search, play, 7)
    found = hold_backs(
        stock, [candidate(stock, "m1")], [project(CLOWN, by=3)], keeping=Keeping(1), tools=tools, catalogue=load()
    )
    assert found.kept == ()
    assert found.runs == 400


def test_hold_backs__two_projects_are_weighed_by_their_worth() -> None:
    stock = herd(males=[["vis", "-"], ["-", "vis"]], females=[["vis", "vis"]], genes=["clown", "piebald"])
    young = [candidate(stock, one, male_ready=1) for one in ("m0", "m1")]
    for small, first in ((10.0, "m0"), (1000.0, "m1")):
        wishes = [project(CLOWN, by=5), project(("piebald", 2), by=5, worth_eggs=small)]
        found = hold_backs(stock, young, wishes, keeping=Keeping(1), tools=EXACT, catalogue=load())
        assert found.kept == (first,)
        assert [gain.is_goal for gain in found.hatchlings[0].gains] == [first == "m0", first == "m1"]


def test_hold_backs__json_has_the_keys_of_the_command() -> None:
    stock = herd(males=[["vis"]], females=[["vis"]], genes=["clown"])
    found = hold_backs(
        stock, [candidate(stock, "f0")], [project(CLOWN, by=5)], keeping=Keeping(1), tools=EXACT, catalogue=load()
    )
    row = as_json(found)["hatchlings"][0]
    assert (row["animal"], row["rank"]) == ("f0", 1)
    assert row["score"] == found.hatchlings[0].score.mean
    assert row["reasons"] == list(found.hatchlings[0].reasons)


def test_hold_backs__faults_are_told_together() -> None:
    stock = herd(males=[["vis"]], females=[["vis"]], genes=["clown"])
    with pytest.raises(DecisionError) as caught:
        hold_backs(stock, [Candidate("gone")], [], keeping=Keeping(-1), tools=EXACT, catalogue=load())
    assert [fault.code for fault in caught.value.faults] == ["DEC-091", "DEC-092", "DEC-093"]
    with pytest.raises(DecisionError, match="DEC-090: There is no hatchling to choose from"):
        hold_backs(stock, [], [project(CLOWN)], keeping=Keeping(1), tools=EXACT, catalogue=load())


def test_hold_backs__stops_when_asked() -> None:
    stock = herd(males=[["vis"]], females=[["vis"]], genes=["clown"])
    with pytest.raises(Cancelled):
        hold_backs(
            stock,
            [candidate(stock, "f0")],
            [project(CLOWN)],
            keeping=Keeping(1),
            tools=EXACT,
            catalogue=load(),
            cancelled=lambda: True,
        )


def test_with_kept__gives_a_sex_what_bred_animals_have() -> None:
    stock = herd(males=[["vis"]], females=[["vis"], ["vis"]], genes=["clown"], lays=0.6)
    young = {one: candidate(stock, one, 0.5, male_ready=1, female_ready=3) for one in ("f0", "f1")}
    held = with_kept(stock, young, {"f1": Sex.MALE})
    place = held.index("f1")
    assert held.animals == ("m0", "f1")
    assert (held.sexes[place], held.ready[place], held.clutches[place]) == (Sex.MALE, 1, 4)
    assert np.isnan(held.lays[place])
    assert held.young[place].mean == 0
    assert without_candidates(stock, list(young.values())).animals == ("m0",)
