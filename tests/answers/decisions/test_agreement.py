"""Plans over the demo against the odds of its pairs, against exact chances, and against each other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from holdback.answers import Answers
from holdback.answers.decisions import Decisions
from holdback.answers.decisions.season_input import Wish
from holdback.answers.decisions.serving import parts_of
from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, GoalGene, Target
from holdback.decisions.kinds import kind_of
from holdback.decisions.rehearsal import rehearse
from holdback.decisions.season_plan import Pairing, PlanInput
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.decisions.stock import Stock, UnderWay
from holdback.decisions.wanting import targets_of
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.genotype import ParentsJoint
from holdback.season.outlook import CountLaw
from holdback.species.model import Pair

COUPLES = [
    ("22-05", "22-11", "female Clown Enchi"),
    ("16-01", "17-02", "Clown Enchi"),
    ("21-20", "17-02", "Clown Pied"),
    ("25-01-6", "17-06", "Clown Pied"),
]
"""Pairs that the plans of the demo name, and a pair of kin."""


@pytest.mark.parametrize("sire, dam, want", COUPLES)
def test_rehearsal__one_cross_is_the_odds_of_the_pair(
    demo: Answers, plans: Decisions, sire: str, dam: str, want: str
) -> None:
    """The first try by the page of the pair with her own clutch law; k tries by Mendel over what the two may be."""
    stock = _at_work(plans.stock)
    place = stock.index(dam)
    lays, young = float(stock.lays[place]), stock.young[place]
    (target,) = targets_of(Goal("", want), plans.catalogue, this_season=stock.year)
    pair = demo.odds(sire, dam, want=want)
    sizes = tuple((n, float(chance)) for n, chance in enumerate(young.chances) if chance > 0)
    on_page = pair.with_eggs(EggCount(sizes), plans.catalogue).want
    assert on_page is not None
    exact = [_tried(pair.scenarios, target, k, young, lays) for k in (1, 2, 3, 4)]
    assert exact[0] == pytest.approx(lays * on_page.at_least_one, abs=1e-9)
    found = rehearse(stock, _cross(stock, sire, dam, target), runs=10_000, seasons=4, catalogue=plans.catalogue)
    for one, chance in zip(found.reached_by_season, exact, strict=True):
        assert one.mean == pytest.approx(chance, abs=4 * one.se)


def _at_work(stock: Stock) -> Stock:
    """All ready, nothing made yet, nobody dies."""
    lives = replace(stock.breeding, young_lives=1.0, adult_lives=1.0)
    return replace(stock, breeding=lives, ready=np.zeros_like(stock.ready), under_way=())


def _cross(stock: Stock, sire: str, dam: str, target: Target) -> Plan:
    male, female = (Side(Kind(kind_of(stock, one, target.genes)), (one,)) for one in (sire, dam))
    wanted = Kind(tuple((float(gene.copies > 0), float(gene.copies == 2)) for gene in target.genes), target.sex)
    return Plan(target, (Step(0, male, female, wanted, 1, 0, 0.0, 0.0, is_goal=True),), (), 0.0, 0.0, 0.0, 0.0)


def _tried(scenarios: tuple[ParentsJoint, ...], target: Target, k: int, young: CountLaw, lays: float) -> float:
    """Chance of at least one in k clutches: what the parents may be is shared by all."""
    total = 0.0
    for weight, q in _given(scenarios, target):
        none = float(young.chances @ (1.0 - q) ** np.arange(len(young.chances)))
        total += weight * (1.0 - (1.0 - lays + lays * none) ** k)
    return total


def _given(scenarios: tuple[ParentsJoint, ...], target: Target) -> Iterator[tuple[float, float]]:
    """Everything that two parents may be, with the chance that a young is the target."""
    of_sex = 1.0 if target.sex is Sex.UNKNOWN else 0.5
    for scenario in scenarios:
        for states in product(*(scenario.at(gene.locus).items() for gene in target.genes)):
            weight, q = scenario.weight, of_sex
            for gene, ((his, hers), chance) in zip(target.genes, states, strict=True):
                weight, q = weight * chance, q * mendel(his, hers, gene)
            yield weight, q


def mendel(his: Pair, hers: Pair, gene: GoalGene) -> float:
    """Chance that a young of two genotypes at an autosomal locus has what a target asks there."""
    hits = [sum(one in gene.alleles for one in each) for each in product(his, hers)]
    return sum(found >= gene.copies for found in hits) / 4


@pytest.mark.parametrize("key", ["big-clown", "clown-pied"])
def test_rehearsal__crosses_under_way_are_the_goal_as_often_as_their_genes_say(plans: Decisions, key: str) -> None:
    """What the parents carry drawn jointly; given that, the chance of no goal in any clutch is exact."""
    stock, goal = plans.stock_for(key), plans.goals[key]
    target = plans.route(key).target
    names = sorted({one for made in stock.under_way for one in (made.dam, *(sire for sire, _ in made.sires))})
    rng, n = np.random.default_rng(1), 20_000
    drawn = {gene.locus: stock.genes.draw(names, gene.locus, n, rng) for gene in target.genes}
    none = np.ones(n)
    for made in stock.under_way:
        none *= 1.0 - _clutch(stock, made, target, names, drawn)
    exact, se = 1.0 - none.mean(), none.std() / math.sqrt(n)
    found = plans.rehearsal(key, runs=2000).reached_by_season[0]
    assert 0.05 < exact < 0.95
    assert found.mean == pytest.approx(exact, abs=4 * math.hypot(found.se, se))
    assert goal.number == 1


def _clutch(
    stock: Stock,
    made: UnderWay,
    target: Target,
    names: list[str],
    drawn: Mapping[str, tuple[list[Pair], np.ndarray]],
) -> np.ndarray:
    """Chance of a goal in a clutch, by run: over the sires it may have; a share of the line turns on the parents."""
    laws, hit = made.young.chances, np.zeros(len(next(iter(drawn.values()))[1]))
    for sire, chance in made.sires:
        if target.share and _share(stock, sire, made.dam, target) < target.share - 1e-9:
            continue
        q = np.full(len(hit), 1.0 if target.sex is Sex.UNKNOWN else 0.5)
        for gene in target.genes:
            pairs, at = drawn[gene.locus]
            table = np.array([[mendel(his, hers, gene) for hers in pairs] for his in pairs])
            q *= table[at[:, names.index(sire)], at[:, names.index(made.dam)]]
        hit += chance * (1.0 - (1.0 - q)[:, None] ** np.arange(len(laws)) @ laws)
    return hit


def _share(stock: Stock, sire: str, dam: str, target: Target) -> float:
    values = stock.shares[target.line]
    return float(values[stock.index(sire)] + values[stock.index(dam)]) / 2


def test_chances__are_those_of_the_rehearsal(plans: Decisions) -> None:
    key = "big-clown"
    found = plans.rehearsed(key) or plans.rehearsal(key, runs=2000)
    assert plans.chances(key) == tuple(one.mean for one in found.reached_by_season)


def test_season_plan__a_pair_for_this_season_has_the_odds_of_the_pair(demo: Answers, plans: Decisions) -> None:
    """A goal wished for by the season planned: nothing but the clutch itself counts, and her own laying."""
    year, want = plans.open_year, "Clown Enchi"
    now = plans.with_goals({"now": Goal("Now", want, by=year, worth_eggs=1000.0)})
    found, stock = now.season_plan(year), now.stock
    served = [one for one in found.pairings if one.project and not one.locked]
    assert len(served) > 1
    for one in served:
        place = stock.index(one.dam)
        sizes = tuple((n, float(chance)) for n, chance in enumerate(stock.young[place].chances) if chance > 0)
        on_page = demo.odds(one.sire, one.dam, want=want).with_eggs(EggCount(sizes), now.catalogue).want
        assert on_page is not None
        assert one.chance == pytest.approx(float(stock.lays[place]) * on_page.at_least_one, abs=1e-6)


def test_season_plan__worth_is_that_of_the_chances_of_its_pairs(plans: Decisions) -> None:
    """1 - exp(-sum of lambda); the clutches of a male who may not carry count as one bet; eggs are what it costs."""
    inp, found = plans.season_input(plans.open_year, Wish()), plans.season_plan()
    total = 0.0
    for outlook, project in zip(found.projects, inp.projects, strict=True):
        pairs = [one for one in found.pairings if one.project == outlook.project]
        exact = [_of_part(inp, [one for one in pairs if one.part == part]) for part in range(len(project.parts))]
        assert outlook.chances == pytest.approx(exact, abs=1e-9)
        worth = sum(project.worth * part.share * chance for part, chance in zip(project.parts, exact, strict=True))
        assert outlook.worth == pytest.approx(worth, abs=1e-6)
        total += worth
    stock = plans.stock
    at = [stock.index(one.dam) for one in found.pairings]
    eggs = sum(float(stock.lays[place]) * stock.eggs[place].mean for place in at)
    assert found.worth == pytest.approx(total - eggs, abs=1e-6)


def _of_part(inp: PlanInput, pairs: list[Pairing]) -> float:
    """Chance that some pair of a part brings what it needs."""
    miss = 1.0
    for sire in {one.sire for one in pairs}:
        his = [one for one in pairs if one.sire == sire]
        carries = 1.0
        for may in inp.may_carry:
            if (may.sire, may.project, may.part) == (sire, his[0].project, his[0].part):
                carries = may.chance
        miss *= 1.0 - carries + carries * math.prod(1.0 - one.chance / carries for one in his)
    return 1.0 - miss


def test_season_plan__serves_the_goal_or_a_step_of_the_route_or_says_why_not(plans: Decisions) -> None:
    found, season = plans.season_plan(), plans.open_year - plans.stock.year
    for one in found.pairings:
        if one.project and not one.locked:
            route = plans.route(one.project)
            part = parts_of(plans, one.project, route, season)[one.part]
            assert part.kind is None or part.kind in [step.keep for step in route.steps if not step.is_goal]
    spoken = {one.dam for one in found.pairings} | {one.dam for one in found.left_out if one.reason}
    for key in plans.goals:
        plan = plans.route_or_none(key)
        assert plan is not None or plans.without_route[key]
        for step in plan.steps if plan else ():
            assert step.first_season > season or set(step.dam.animals) <= spoken
