"""The suite on routes finds chances that are too bold, and its keeper comes to a goal as often as the law says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.herd import LAYS, herd, laws
from tests.decisions.rehearsal.plans import ANY, HET, VIS, at_hand, bred, gene, kind, plan, step
from verification.calibration import Said
from verification.decisions import SEASONS, drawn, faults
from verification.plan_herds import Genotype, plan_herd
from verification.plan_keepers import PlanKeeper, can_be_played

from holdback.collection.model import Sex
from holdback.decisions.goal import Target
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock

NONE, ONE, TWO = (0, 0), (0, 1), (1, 1)
PIED = Target((gene("piebald"),))
RUNS = 1500


def once(q: float) -> float:
    young = laws()[1].chances
    return LAYS * (1.0 - float(young @ (1.0 - q) ** np.arange(len(young))))


def played(stock: Stock, found: Plan, genotypes: dict[str, Genotype], seasons: int) -> np.ndarray:
    """Share of keepers that have the goal by each season."""
    rng = np.random.default_rng(4)
    came = [PlanKeeper(stock, found, genotypes, 1.0, rng).season_of_goal(seasons) for _ in range(RUNS)]
    return np.asarray((np.array(came)[:, None] <= np.arange(seasons)).mean(axis=0))


@pytest.mark.parametrize("bolder, is_found", [(1.0, False), (1.5, True)])
def test_faults__chances_of_a_goal(bolder: float, is_found: bool) -> None:
    rng = np.random.default_rng(2)
    said = [
        Said(
            "goal", float(np.clip(0.5 + bolder * (chance - 0.5), 0.01, 0.99)), bool(rng.random() < chance), f"{number}"
        )
        for number, chance in enumerate(rng.uniform(0.05, 0.95, 4000))
    ]
    assert bool(faults(said)) is is_found


def test_plan_keeper__one_cross_by_law() -> None:
    stock = herd(males=[("het",)], females=[("het",)], genes=("piebald",))
    only = plan(PIED, step(0, at_hand((HET,), "m0"), at_hand((HET,), "f0"), kind(VIS)))
    found = played(stock, only, {"m0": (ONE, NONE), "f0": (ONE, NONE)}, 4)
    exact = 1.0 - (1.0 - once(0.25)) ** np.arange(1, 5)
    assert np.abs(found - exact).max() < 4 * np.sqrt(0.25 / RUNS)
    dies = replace(stock, breeding=replace(stock.breeding, adult_lives=0.0))
    assert played(dies, only, {"m0": (ONE, NONE), "f0": (ONE, NONE)}, 3)[2] == pytest.approx(found[0], abs=0.06)


def test_plan_keeper__through_a_daughter_by_law() -> None:
    """A daughter of a visual carries for sure, and goes back to him four seasons later."""
    stock = herd(males=[("vis",)], females=[("-",)], genes=("piebald",))
    first = step(0, at_hand((VIS,), "m0"), at_hand((ANY,), "f0"), kind(HET, sex=Sex.FEMALE))
    both = plan(PIED, first, step(1, at_hand((VIS,), "m0"), bred((HET,), 0), kind(VIS), first_season=4))
    assert can_be_played(both)
    found = played(stock, both, {"m0": (TWO, NONE), "f0": (NONE, NONE)}, 8)
    had = once(0.5) * (1.0 - once(0.5)) ** np.arange(8)
    exact = [
        sum(had[t] * (1.0 - (1.0 - once(0.5)) ** (season - t - 3)) for t in range(max(season - 3, 0)))
        for season in range(8)
    ]
    assert np.abs(found - exact).max() < 4 * np.sqrt(0.25 / RUNS)
    assert not can_be_played(replace(both, steps=(*both.steps, both.steps[-1])))


def test_plan_herd__is_written_as_it_is() -> None:
    one = plan_herd(np.random.default_rng(1))
    rows = {row["id"]: row["genes"] for row in one.animals}
    shown = [("Piebald" in rows[name], sum(genes[0]) == 2) for name, genes in one.genotypes.items() if rows[name]]
    assert 15 < len(shown) < len(rows)
    assert sum(said != true for said, true in shown) <= 1
    assert len(one.collection.animals) == len(rows)


@pytest.mark.slow
def test_drawn__says_a_chance_for_each_season_looked_at() -> None:
    said = drawn(4, 5, runs=250)
    assert len(said) in range(len(SEASONS), 4 * len(SEASONS) + 1, len(SEASONS))
    for first in range(0, len(said), len(SEASONS)):
        chances = [one.chance for one in said[first : first + len(SEASONS)]]
        assert chances == sorted(chances)
