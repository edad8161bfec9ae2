"""Search and rehearsal for the tests of hold-backs: a table of worths, and one cross worked out exactly."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import product

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, GoalGene, Target
from holdback.decisions.holdbacks import Candidate, Project, Tools
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.decisions.stock import FloatArray, Stock
from holdback.species.catalogue import load

SEASONS = 7


def gene(key: str, copies: int) -> GoalGene:
    allele = load().alleles[key]
    return GoalGene(allele.locus, frozenset({key}), copies, allele.name, copies == 2, tells_two=True)


def project(*genes: tuple[str, int], by: int = 0, line: str = "", share: float = 0.0, **goal: object) -> Project:
    """A project that counts its chance by a season alone: worth 100 eggs, so that points are eggs."""
    counted = {"worth_eggs": 100.0, "year_worth_eggs": 0.0} | goal
    wanted = Goal("Goal", "", by=2027 + by, **counted)  # type: ignore[arg-type]
    return Project(wanted, (Target(tuple(gene(*each) for each in genes), line=line, share=share),))


def candidate(stock: Stock, animal: str, female: float | None = None, **more: object) -> Candidate:
    """A hatchling that stands in the stock; its sex is that of its row where none is given."""
    if female is None:
        female = float(stock.sexes[stock.index(animal)] is Sex.FEMALE)
    belief = stock.genes.beliefs[animal]  # type: ignore[attr-defined]
    return Candidate(animal, female=female, **{"clutch": "26-01", "belief": belief, **more})


def told(stock: Stock, plan: Plan, goal: Goal, number: int) -> FloatArray:
    """One exact run: what the plan says."""
    assert number == 1
    return np.array([plan.by_season])


def table(worth: Callable[[Mapping[str, Sex]], float]) -> Tools:
    """Tools by which the animals at hand give a chance, from the first season on."""

    def search(stock: Stock, target: Target, goal: Goal) -> Plan:
        chance = worth(dict(zip(stock.animals, stock.sexes, strict=True)))
        nobody = Kind(((1.1, 1.1),) * len(target.genes))
        males, females = ([stock.animals[place] for place in stock.of_sex(sex)] for sex in (Sex.MALE, Sex.FEMALE))
        all_of_them = Step(
            0, Side(nobody, tuple(males)), Side(nobody, tuple(females)), nobody, 1, 0, 0.0, 0.0, is_goal=True
        )
        return Plan(target, (all_of_them,), (chance,) * SEASONS, 0.0, 0.0, 0.0, 0.0)

    return Tools(search, told, SEASONS)


def one_cross(stock: Stock, target: Target, goal: Goal) -> Plan | None:
    """The best single cross by the wished season: each season a try, exact over what both parents may be."""
    best: Plan | None = None
    for sire, dam in product(stock.of_sex(Sex.MALE), stock.of_sex(Sex.FEMALE)):
        if stock.kinship[sire, dam] > goal.inbreeding_at_most:
            continue
        chances = tuple(by_season(stock, target, sire, dam, season) for season in range(SEASONS))
        wished = goal.by - stock.year
        if chances[wished] > (best.by_season[wished] if best else 0.0):
            kinds = [Kind(tuple(_levels(stock, place, one) for one in target.genes)) for place in (sire, dam)]
            one, other = (Side(kind, (stock.animals[k],)) for kind, k in zip(kinds, (sire, dam), strict=True))
            first = int(max(stock.ready[sire], stock.ready[dam]))
            step = Step(0, one, other, Kind(((1.0, 1.0),) * len(target.genes)), 1, first, 0.0, 0.0, is_goal=True)
            best = Plan(target, (step,), chances, 0.0, 0.0, 0.0, 0.0)
    return best


def by_season(stock: Stock, target: Target, sire: int, dam: int, season: int) -> float:
    """Chance of success within the seasons there are: all tries of a pair share what the parents may be."""
    tries = max(season - int(max(stock.ready[sire], stock.ready[dam])) + 1, 0)
    law, lays = stock.young[dam].chances, float(stock.lays[dam])
    total = 0.0
    for weight, q in _states(stock, target, sire, dam):
        none = float(law @ (1 - q) ** np.arange(len(law)))
        total += weight * (1 - (1 - lays + lays * none) ** tries)
    return total


def _states(stock: Stock, target: Target, sire: int, dam: int) -> list[tuple[float, float]]:
    """What the parents may be, with the chance that a young is the target: Mendel, gene by gene."""
    states = [(1.0, 1.0)]
    for one in target.genes:
        more = []
        for (weight, q), (a, mine), (b, hers) in product(states, *(_copies(stock, k, one) for k in (sire, dam))):
            both, neither = a * b / 4, (1 - a / 2) * (1 - b / 2)
            more.append((weight * mine * hers, q * (both if one.copies == 2 else 1 - neither)))
        states = more
    return states


def _copies(stock: Stock, place: int, one: GoalGene) -> list[tuple[int, float]]:
    odds = stock.genes.at(stock.animals[place], one.locus)
    found = dict.fromkeys(range(3), 0.0)
    for pair, chance in odds.items():
        found[sum(key in one.alleles for key in pair)] += chance
    return [(n, chance) for n, chance in found.items() if chance > 0]


def _levels(stock: Stock, place: int, one: GoalGene) -> tuple[float, float]:
    odds = dict(_copies(stock, place, one))
    return odds.get(1, 0.0) + odds.get(2, 0.0), odds.get(2, 0.0)


EXACT = Tools(one_cross, told, SEASONS)
