from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from tests.decisions.herd import herd
from tests.decisions.holdbacks.exact import EXACT, candidate, project, table

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal
from holdback.decisions.holdbacks import HoldBacks, Keeping, Tools, Waiting, hold_backs
from holdback.decisions.holdbacks.sized import biggest_of
from holdback.decisions.stock import Stock
from holdback.species.catalogue import load

CLOWN = ("clown", 2)


def test_waiting__sex_worth_two_of_ten_where_one_of_two_states_changes_the_choice() -> None:
    """By hand: worth 10 as a female, 0 as a male, beside one worth 6: now 6, told (10 + 6) / 2 = 8."""

    def worth(sexes: Mapping[str, Sex]) -> float:
        return max(0.1 * (sexes.get("f1") is Sex.FEMALE), 0.06 * ("f2" in sexes))

    stock = herd(males=[["-"]], females=[["-"], ["het"], ["66"]], genes=["clown"])
    young = [candidate(stock, "f1", 0.5), candidate(stock, "f2")]
    found = hold_backs(stock, young, [project(CLOWN)], keeping=Keeping(1), tools=table(worth), catalogue=load())
    assert found.kept == ("f2",)
    told = found.waiting[0]
    assert (told.what, told.animals) == ("sex", ("f1",))
    assert told.changes == pytest.approx(0.5)
    assert told.gain.mean == pytest.approx(2.0)
    assert told.text == (
        "Waiting until the first shed tells the sex of F1. It would change the choice in 50 of 100 cases. "
        "It costs one tub for two weeks or so."
    )


def test_waiting__sex_of_like_sibs() -> None:
    """By hand: two alike, a female worth 8, a male 2, one tub: now 5; told 8 in three of four cases, else 2: 6.5.

    The one that would be kept now is the worse in one of four cases.
    """

    def worth(sexes: Mapping[str, Sex]) -> float:
        kept = [sex for name, sex in sexes.items() if name in ("f1", "f2")]
        return max((0.08 if sex is Sex.FEMALE else 0.02 for sex in kept), default=0.0)

    stock = herd(males=[["-"]], females=[["-"], ["het"], ["het"]], genes=["clown"])
    young = [candidate(stock, one, 0.5) for one in ("f1", "f2")]
    found = hold_backs(stock, young, [project(CLOWN)], keeping=Keeping(1), tools=table(worth), catalogue=load())
    assert found.hatchlings[0].score.mean == pytest.approx(5)
    assert found.waiting[0].changes == pytest.approx(0.25)
    assert found.waiting[0].gain.mean == pytest.approx(1.5)


def test_waiting__sex_that_changes_nothing_is_said_to() -> None:
    stock = herd(males=[["-"]], females=[["-"], ["het"]], genes=["clown"])
    tools = table(lambda sexes: 0.1 * ("f1" in sexes))
    found = hold_backs(
        stock, [candidate(stock, "f1", 0.4)], [project(CLOWN)], keeping=Keeping(1), tools=tools, catalogue=load()
    )
    assert found.waiting[0].gain.mean == 0
    assert "It would not change the choice." in found.waiting[0].text


def _two_dams() -> HoldBacks:
    stock = herd(males=[["vis"]], females=[["66"], ["50"]], genes=["clown"])
    young = [candidate(stock, one, female_ready=4) for one in ("f0", "f1")]
    return hold_backs(stock, young, [project(CLOWN, by=4)], keeping=Keeping(1), tools=EXACT, catalogue=load())


def test_waiting__a_possible_carrier() -> None:
    """By hand: one try; a het gives s, so now 2/3 s. If the 50 % het were a het she is better by s/3, half the time.

    If the 66 % het were told none (1/3), the other brings s/2: the gain is s/6.
    """
    found = _two_dams()
    assert found.kept == ("f0",)
    s = found.hatchlings[0].score.mean * 1.5
    told = {one.animals[0]: one for one in found.waiting}
    assert told["f1"].changes == pytest.approx(1 / 2)
    assert told["f1"].gain.mean == pytest.approx(s / 6)
    assert told["f0"].changes == pytest.approx(1 / 3)
    assert told["f0"].gain.mean == pytest.approx(s / 6)
    assert told["f1"].text.startswith("Only its own young tell whether F1 carries Clown, not before 2031.")


def test_waiting__noise_alone_makes_no_change() -> None:
    """Runs that are luck and nothing else: no set is told from another, so waiting is worth nothing."""
    stock = herd(males=[["-"]], females=[["-"], ["het"], ["66"]], genes=["clown"])
    rng = np.random.default_rng(7)
    lucks: dict[object, np.ndarray] = {}

    def play(stock: Stock, plan: object, goal: Goal, number: int) -> np.ndarray:
        return lucks.setdefault((stock.animals, stock.sexes), (rng.random((900, 7)) < 0.5).astype(float))

    tools = Tools(table(lambda sexes: len(sexes) / 10 + 0.01 * ("f1" in sexes)).search, play, 7)
    young = [candidate(stock, "f1", 0.5), candidate(stock, "f2")]
    found = hold_backs(stock, young, [project(CLOWN)], keeping=Keeping(1), tools=tools, catalogue=load())
    assert [(one.what, one.changes) for one in found.waiting] == [("sex", 0.0)]


def test_biggest_of__two_alike() -> None:
    """Two independent standard normals: each the biggest half the time, and the mean of the larger is 1/sqrt(pi).

    Source of the second: David & Nagaraja (2003), Order Statistics, section 3.2, the largest of two.
    """
    chance, gain = biggest_of([(0.0, 1.0), (0.0, 1.0)])
    assert chance == pytest.approx(0.5, abs=1e-4)
    assert gain == pytest.approx(1 / np.sqrt(np.pi), abs=1e-4)


def test_biggest_of__against_draws() -> None:
    sizes = [(4.0, 5.0), (2.0, 6.0), (1.0, 4.0)]
    rng = np.random.default_rng(3)
    drawn = rng.normal([mean for mean, _ in sizes], [sd for _, sd in sizes], (400_000, 3))
    chance, gain = biggest_of(sizes)
    assert chance == pytest.approx(np.mean(drawn.argmax(axis=1) != 0), abs=0.004)
    assert gain == pytest.approx(np.mean(drawn.max(axis=1) - drawn[:, 0]), abs=0.04)


def test_biggest_of__known_sizes() -> None:
    assert biggest_of([(4.0, 0.0), (6.0, 0.0)]) == (1.0, 2.0)


def test_waiting__is_ordered_by_gain() -> None:
    gains = [one.gain.mean for one in _two_dams().waiting]
    assert gains == sorted(gains, reverse=True)
    assert all(isinstance(one, Waiting) for one in _two_dams().waiting)
