"""Deaths, kin, tubs, budgets and females that do not lay: what they do to a plan, and what is told of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from tests.decisions.herd import herd
from tests.decisions.rehearsal.plans import HET, VIS, at_hand, double_visual, gene, kind, one_cross, plan, step

from holdback.collection.model import Sex
from holdback.decisions.goal import Budget, Goal, Target
from holdback.decisions.rehearsal import Costs, Failure, Rehearsal, rehearse
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock, UnderWay
from holdback.errors import DecisionError
from holdback.species.catalogue import load


def _with(stock: Stock, **more: Any) -> Stock:
    return replace(stock, breeding=replace(stock.breeding, **more))


def _main_failure(found: Rehearsal) -> Failure:
    return next(iter(found.failures))


def test_rehearse__deaths_of_parents() -> None:
    """One try in the first season, and in each later one if both parents still live: .9 squared a year."""
    stock, one = one_cross("vis", ["het"])
    found = rehearse(_with(stock, adult_lives=0.9), one, runs=10_000, seasons=3, seed=1)
    alive = rehearse(stock, one, runs=10_000, seasons=1, seed=1).reached_by_season[0].mean
    exact = alive + (1 - alive) * 0.81 * alive + (1 - alive) ** 2 * 0.81**2 * alive
    assert found.by_wished.mean == pytest.approx(exact, abs=0.02)


def test_rehearse__young_that_die_are_bred_anew() -> None:
    stock, two = double_visual()
    lives = rehearse(stock, two, runs=2500, seasons=10, seed=1)
    dies = rehearse(_with(stock, young_lives=0.5), two, runs=2500, seasons=10, seed=1)
    assert dies.by_wished.mean < lives.by_wished.mean - 0.1
    assert dies.kept.mean > 1.5 * lives.kept.mean


def test_rehearse__sibs_over_the_limit_are_not_paired() -> None:
    stock, two = double_visual()
    found = rehearse(stock, two, runs=500, seasons=8, seed=1, inbreeding_at_most=0.2)
    assert found.by_wished.mean == 0.0
    assert _main_failure(found) is Failure.TOO_CLOSE
    allowed = rehearse(stock, two, runs=500, seasons=8, seed=1, inbreeding_at_most=0.25)
    assert allowed.inbreeding is not None
    assert allowed.inbreeding.low == allowed.inbreeding.high == pytest.approx(0.25)
    of_goal = rehearse(stock, two, goal=Goal("", "", inbreeding_at_most=0.2), runs=500, seasons=8, seed=1)
    assert of_goal.by_wished.mean == 0.0


def test_rehearse__tubs() -> None:
    stock, two = double_visual()
    found = rehearse(stock, two, runs=500, seasons=8, seed=1, tubs=1)
    assert max(season.tubs_high for season in found.history) <= 1.0
    assert rehearse(stock, two, runs=500, seasons=8, seed=1, tubs=0).by_wished.mean == 0.0
    assert _main_failure(rehearse(stock, two, runs=500, seasons=8, seed=1, tubs=0)) is Failure.NO_TUB


def test_rehearse__a_budget_ends_it() -> None:
    stock, two = double_visual()
    found = rehearse(stock, two, runs=500, seasons=12, seed=1, budget=Budget(eggs=5), costs=Costs(1.0, 2.0, 10.0))
    assert _main_failure(found) is Failure.SPENT
    assert found.eggs.high < 16
    assert found.money is not None
    money = found.steps[0].pairings + found.steps[1].pairings + 2 * found.eggs.mean
    assert found.money.mean == pytest.approx(money + 10 * sum(season.tubs for season in found.history))


@pytest.mark.parametrize(
    "sire, dam, reason", [("vis", "66", Failure.NO_CARRIER), ("het", "het", Failure.NO_KIND)], ids=["none", "no luck"]
)
def test_rehearse__how_it_fails(sire: str, dam: str, reason: Failure) -> None:
    found = rehearse(*one_cross(sire, [dam]), runs=1000, seasons=8, seed=2)
    assert _main_failure(found) is reason
    assert sum(found.failures.values()) == pytest.approx(1.0 - found.by_wished.mean)


def test_rehearse__a_female_that_never_lays() -> None:
    stock, one = one_cross("vis", ["het"])
    found = rehearse(replace(stock, lays=0.0 * stock.lays), one, runs=250, seasons=3)
    assert found.failures == {Failure.NO_LAYER: 1.0}
    assert found.eggs.mean == 0.0


def test_rehearse__sex_wanted_halves_the_chance() -> None:
    """Of one young a clutch half are daughters: a goal of .7 x .5 x .5 a season."""
    stock, one = _single_young("vis", "het")
    daughter = replace(one, target=replace(one.target, sex=Sex.FEMALE))
    found = rehearse(stock, daughter, runs=10_000, seasons=1, seed=3)
    assert found.by_wished.mean == pytest.approx(0.7 * 0.25, abs=4 * found.by_wished.se)
    assert set(found.failures) == {Failure.NO_LAYER, Failure.NO_KIND, Failure.NO_SEX}


def _single_young(sire: str, dam: str, **more: Any) -> tuple[Stock, Plan]:
    """Clutches of exactly one young."""
    stock, one = one_cross(sire, [dam])
    law = replace(stock.young[1], chances=stock.young[1].chances * 0.0)
    law.chances[1] = 1.0
    return replace(stock, young=(law, law), eggs=(law, law), **more), one


def test_rehearse__two_copies_that_kill() -> None:
    """Carriers are not put to each other; lethal by the species file, such young do not hatch."""
    stock = herd(males=[("1",)], females=[("1",)], genes=("spider",))
    spider = gene("spider", 1, is_hidden=False)
    only = step(0, at_hand((HET,), "m0"), at_hand((HET,), "f0"), kind(HET))
    never = rehearse(stock, plan(Target((replace(spider, two_die=True),)), only), runs=250, seasons=2)
    assert never.steps[0].pairings == 0.0
    single, _ = _single_young("het", "het")
    single = replace(single, genes=stock.genes)
    found = rehearse(single, plan(Target((spider,)), only), catalogue=load(), runs=10_000, seasons=1, seed=4)
    assert found.by_wished.mean == pytest.approx(0.7 * 0.5, abs=4 * found.by_wished.se)


def test_rehearse__a_male_maker_gives_his_sons() -> None:
    """A gene on the sex-limited chromosome of the sire: daughters only by recombination, r of the species file."""
    single, _ = _single_young("het", "-")
    stock = herd(males=["Banana MM"], females=["Normal"])
    banana = gene("banana", 1, is_hidden=False)
    only = step(0, at_hand((HET,), "m0"), at_hand(((0.0, 0.0),), "f0"), kind(HET))
    linkage = load().loci["banana"].sex_linkage
    assert linkage is not None
    for sex, chance in ((Sex.MALE, 1 - linkage.r.value), (Sex.FEMALE, linkage.r.value)):
        target = Target((banana,), sex=sex)
        found = rehearse(
            replace(single, genes=_Phased(stock)), plan(target, only), catalogue=load(), runs=10_000, seasons=1, seed=5
        )
        assert found.by_wished.mean == pytest.approx(0.7 * 0.5 * chance, abs=4 * found.by_wished.se)


class _Phased:
    """Genes of a stock, the gene of the male for sure on his sex-limited chromosome."""

    def __init__(self, stock: Stock) -> None:
        self.at, self.couple, self.draw = stock.genes.at, stock.genes.couple, stock.genes.draw

    def phase(self, animal: str, locus: str) -> float:
        return 1.0 if (animal, locus) == ("m0", "banana") else 0.5


def test_rehearse__a_cross_that_is_made_counts_for_the_plan() -> None:
    """The clutch in the boxes is by the sire of the plan or by one not on record; its dam is not paired again."""
    stock, one = one_cross("vis", ["het"])
    made = UnderWay("f0", (("m0", 0.5),), stock.eggs[1], stock.young[1], clutch="C1")
    found = rehearse(replace(stock, under_way=(made,)), one, runs=10_000, seasons=1, seed=6)
    exact = 0.5 * (1.0 - float(stock.young[1].chances @ 0.5 ** np.arange(16)))
    assert found.by_wished.mean == pytest.approx(exact, abs=4 * found.by_wished.se)
    assert found.steps[0].pairings == 0.0
    assert found.eggs.mean == pytest.approx(6.834795, abs=4 * found.eggs.se)


def test_rehearse__plans_that_cannot_be_played() -> None:
    stock, one = one_cross("vis", ["het"])
    with pytest.raises(DecisionError, match=r"DEC-070.*no step"):
        rehearse(stock, replace(one, steps=(replace(one.steps[0], is_goal=False),)))
    with pytest.raises(DecisionError, match=r"DEC-071.*f9"):
        rehearse(stock, replace(one, steps=(replace(one.steps[0], dam=at_hand((VIS,), "f9")),)))
