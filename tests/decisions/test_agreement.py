"""Search, rehearsal, season plan and hold-backs against each other and against laws worked out here by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.herd import LAYS, IndependentGenes, herd, laws
from tests.decisions.holdbacks.exact import by_season, candidate, project
from tests.decisions.rehearsal.plans import ANY, TWO_THIRDS, VIS, at_hand, gene, kind, plan, step
from tests.decisions.season_plan.cases import crosses

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, Target
from holdback.decisions.holdbacks import Keeping, hold_backs
from holdback.decisions.holdbacks.played import played
from holdback.decisions.offspring import pair_law
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.rehearsal import Rehearsal, rehearse
from holdback.decisions.route import Wishes, best_route
from holdback.decisions.season_plan import MayCarry, PlanInput, Project, plan_season
from holdback.decisions.steps import Plan
from holdback.decisions.stock import FloatArray, Stock, UnderWay
from holdback.heredity.genotype import WILD_PAIR
from holdback.species.catalogue import load

CLOWN = Target((gene("clown"),))
YOUNG = laws()[1].chances
SEASONS = 14
RUNS = 2000


def none_of(q: float) -> float:
    """Chance that a clutch that is laid has none of those that a young is with chance q."""
    return float(YOUNG @ (1.0 - q) ** np.arange(len(YOUNG)))


def once(q: float) -> float:
    """Chance of at least one in a season of a female that lays seven times in ten."""
    return LAYS * (1.0 - none_of(q))


def through_a_daughter(daughter: float, goal: float, wait: int = 4) -> FloatArray:
    """Chance by season of a goal that is tried each season from `wait` seasons after the first daughter on."""
    season = np.arange(SEASONS)
    had = once(daughter) * (1.0 - once(daughter)) ** season
    found = np.zeros(SEASONS)
    for first, chance in enumerate(had):
        tries = np.maximum(season - first - wait + 1, 0)
        found += chance * (1.0 - (1.0 - once(goal)) ** tries)
    return found


def agrees(found: Rehearsal, exact: FloatArray) -> None:
    """By all seasons within four standard errors; a chance of 0 is never passed."""
    for one, chance in zip(found.reached_by_season, exact, strict=True):
        assert one.mean == pytest.approx(chance, abs=4 * one.se + 1e-12)


def test_two_generations__law_search_and_rehearsal() -> None:
    """A visual male, one female without the gene: her first daughter carries it and goes back to him."""
    stock = herd(males=[("vis",)], females=[("-",)], genes=("clown",))
    exact = through_a_daughter(1 / 2, 1 / 2)
    found = best_route(stock, CLOWN, Wishes(hold_back=1, horizon=SEASONS - 1))
    assert [one.is_goal for one in found.steps] == [False, True]
    assert found.by_season == pytest.approx(exact, abs=1e-9)
    agrees(rehearse(stock, found, runs=10_000, seasons=SEASONS, seed=1), exact)


def test_two_generations__a_possible_het_for_the_last_cross() -> None:
    """Within the limit on inbreeding only the other male will do, who carries two times in three: never past that."""
    stock = herd(males=[("vis",), ("66",)], females=[("-",)], genes=("clown",))
    exact = 2 / 3 * through_a_daughter(1 / 2, 1 / 4)
    found = best_route(stock, CLOWN, Wishes(hold_back=1, horizon=SEASONS - 1, inbreeding_at_most=0.1))
    assert found.steps[-1].sire.animals == ("m1",)
    assert found.by_season == pytest.approx(exact, abs=1e-9)
    agrees(rehearse(stock, found, runs=10_000, seasons=SEASONS, seed=2, inbreeding_at_most=0.1), exact)
    assert exact[-1] < 2 / 3


def test_under_way__two_clutches_by_one_possible_het() -> None:
    """One may also be by a visual male, or by one not on record; later seasons go on with what he is."""
    stock = herd(males=[("66",), ("vis",)], females=[("vis",), ("vis",)], genes=("clown",))
    eggs, young = laws()
    made = (
        UnderWay("f0", (("m0", 0.5), ("m1", 0.3)), eggs, young, clutch="C1"),
        UnderWay("f1", (("m0", 1.0),), eggs, young, clutch="C2"),
    )
    only = plan(CLOWN, step(0, at_hand((TWO_THIRDS,), "m0"), at_hand((VIS,), "f0", "f1"), kind(VIS)))
    found = rehearse(replace(stock, under_way=made), only, runs=20_000, seasons=3, seed=3)
    of_visual = 0.3 * (1.0 - none_of(1.0))
    season = np.arange(3)
    carries = (1 - of_visual - 0.5 * (1 - none_of(0.5))) * none_of(0.5) * (1 - once(0.5)) ** (2 * season)
    agrees(found, np.asarray(1.0 - 2 / 3 * carries - 1 / 3 * (1 - of_visual), np.float64))


def test_season_plan__worth_of_a_part_is_that_of_its_pairs() -> None:
    """Two visual males on females that may carry: each pair by its own law, and the misses multiply."""
    stock = herd(males=[("vis",), ("vis",)], females=[("66",), ("het",), ("50",), ("66",)], genes=("clown",))
    chances = _chances(stock)
    rows = [(sire, dam, 0, 0, chances[sire, dam]) for sire in (0, 1) for dam in range(4)]
    found = plan_season(
        PlanInput(stock.animals[:2], stock.animals[2:], np.full(2, 2), (Project("A", "Alder", 50.0),), crosses(rows))
    )
    assert sorted(one.dam for one in found.pairings) == ["f0", "f1", "f2", "f3"]
    carry = [2 / 3, 1.0, 1 / 2, 2 / 3]
    exact = 1.0 - np.prod([1.0 - chance * once(0.5) for chance in carry])
    assert found.projects[0].chances[0] == pytest.approx(exact, abs=1e-12)
    assert found.projects[0].worth == pytest.approx(50.0 * exact, abs=1e-9)
    only = plan(CLOWN, step(0, at_hand((VIS,), "m0"), at_hand((ANY,), "f0", "f1", "f2", "f3"), kind(VIS)))
    played_out = rehearse(stock, only, runs=10_000, seasons=1, seed=4)
    agrees(played_out, np.array([exact]))


def test_season_plan__clutches_of_one_possible_het_are_one_bet() -> None:
    """Three visual females, one male who carries two times in three: by plan, by law and as rehearsed."""
    stock = herd(males=[("66",)], females=[("vis",)] * 3, genes=("clown",))
    rows = [(0, dam, 0, 0, chance) for (_, dam), chance in _chances(stock).items()]
    found = plan_season(
        PlanInput(
            stock.animals[:1],
            stock.animals[1:],
            np.full(1, 3),
            (Project("A", "Alder", 50.0),),
            crosses(rows),
            may_carry=(MayCarry("m0", "A", 2 / 3),),
        )
    )
    exact = 2 / 3 * (1.0 - (1.0 - once(0.5)) ** 3)
    assert len(found.pairings) == 3
    assert found.projects[0].chances[0] == pytest.approx(exact, abs=1e-9)
    only = plan(CLOWN, step(0, at_hand((TWO_THIRDS,), "m0"), at_hand((VIS,), "f0", "f1", "f2"), kind(VIS)))
    agrees(rehearse(stock, only, runs=10_000, seasons=1, seed=5), np.array([exact]))


def _chances(stock: Stock) -> dict[tuple[int, int], float]:
    """Chance of at least one Clown this season, by places of sire and dam among those of their sex."""
    tables = PairTables(CLOWN, load())
    males, females = (stock.of_sex(sex) for sex in (Sex.MALE, Sex.FEMALE))
    return {
        (one, other): pair_law(stock, stock.animals[sire], stock.animals[dam], tables).tries(1, laws()[1], LAYS)
        for one, sire in enumerate(males)
        for other, dam in enumerate(females)
    }


def test_hold_backs__the_only_candidate_gains_what_rehearsals_differ_by() -> None:
    """A visual daughter, grown in season 3, beside a female that may carry; sons are wanted.

    Six tries at a quarter of the young of one dam, three at half of those of the other.
    """
    stock = herd(males=[("vis",)], females=[("50",), ("vis",)], genes=("clown",))
    wish = replace(project(("clown", 2), by=5), targets=(replace(CLOWN, sex=Sex.MALE),))
    tools = played(load(), ["f1"], runs=RUNS, seasons=9, seed=7)
    young = [candidate(stock, "f1", female_ready=3)]
    found = hold_backs(stock, young, [wish], keeping=Keeping(1), tools=tools, catalogue=load())
    old = best_route(stock.without(["f1"]), wish.targets[0], Wishes(8, 0.125, 3, by=5))
    without = _by_wish(stock.without(["f1"]), old, wish.goal)
    beside = _by_wish(replace(stock, ready=np.array([0, 0, 3])), found.plans[0][1], wish.goal)
    row = found.hatchlings[0]
    assert row.alone.mean == pytest.approx(100 * (beside - without), abs=1e-9)
    assert (row.gains[0].before, row.gains[0].after) == pytest.approx((100 * without, 100 * beside), abs=1e-9)
    none = 1 / 2 + 1 / 2 * (1.0 - once(0.25)) ** 6
    se = np.sqrt(0.25 / RUNS)
    assert without == pytest.approx(1.0 - none, abs=4 * se)
    assert beside == pytest.approx(1.0 - none * (1.0 - once(0.5)) ** 3, abs=4 * se)


def _by_wish(stock: Stock, found: Plan, goal: Goal) -> float:
    return rehearse(stock, found, goal=goal, catalogue=load(), runs=RUNS, seasons=9, seed=7).by_wished.mean


def test_hold_backs__the_best_by_enumeration_is_first_as_rehearsed() -> None:
    """Each hatchling with each mate, all they may be; differences of 5 points and more are found by playing."""
    rng = np.random.default_rng(2)
    for _ in range(4):
        levels = rng.permutation(["-", "50", "66", "het", "vis"])
        stock = herd(males=[("66",)], females=[("50",), *[(one,) for one in levels]], genes=("clown",))
        names = [f"f{number}" for number in range(1, 6)]
        young = [candidate(stock, one, female_ready=3) for one in names]
        wish = project(("clown", 2), by=5)
        ready = replace(stock, ready=np.array([0, 0, 3, 3, 3, 3, 3]))
        exact = {one: _best(ready.without([other for other in names if other != one])) for one in names}
        tools = played(load(), names, runs=RUNS, seasons=9, seed=3)
        found = hold_backs(stock, young, [wish], keeping=Keeping(1), tools=tools, catalogue=load())
        first = max(exact, key=lambda one: exact[one])
        assert levels[names.index(first)] == "vis"
        assert found.hatchlings[0].animal == first
        alone = {one.animal: one.alone.mean for one in found.hatchlings}
        worst = _best(ready.without(names))
        for one in names:
            assert alone[one] >= 100 * (exact[one] - worst) - 5


def _best(stock: Stock) -> float:
    """Chance by season 5 of the best single cross."""
    return max(by_season(stock, CLOWN, 0, dam, 5) for dam in stock.of_sex(Sex.FEMALE))


def test_two_generations__a_visual_that_is_as_good_as_certain() -> None:
    """A look on record may err, one in a thousand: it still counts as a visual, for the search and as rehearsed."""
    stock = herd(males=["Clown"], females=["Normal"])
    genes = stock.genes
    assert isinstance(genes, IndependentGenes)
    sure = genes.beliefs["m0"]
    visual = next(iter(sure.at("clown")))
    doubted = replace(sure, loci={"clown": {visual: 0.999, WILD_PAIR: 0.001}})
    stock = replace(stock, genes=IndependentGenes({**genes.beliefs, "m0": doubted}))
    exact = 0.999 * through_a_daughter(1 / 2, 1 / 2)
    found = best_route(stock, CLOWN, Wishes(hold_back=1, horizon=SEASONS - 1))
    assert found.steps[0].keep.genes == ((1.0, 0.0),)
    assert found.by_season == pytest.approx(exact, abs=2e-3)
    agrees(rehearse(stock, found, runs=10_000, seasons=SEASONS, seed=6), exact)
