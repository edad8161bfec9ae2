"""The search against every tree of crosses, and what must hold for any stock."""

from __future__ import annotations

import numpy as np
import pytest
from tests.decisions.herd import Row
from tests.decisions.route.derivations import Animal, arrival, at_hand, mean, soonest
from tests.decisions.route.goals import A, B, D, E, F, best, hidden, shown, stock_for, target

from holdback.decisions.goal import GoalGene
from holdback.decisions.route import Wishes, best_route
from holdback.errors import DecisionError

Herd = tuple[list[Row], list[Row]]
CASES: list[tuple[tuple[GoalGene, ...], list[Row], list[tuple[int, Row]], float, int]] = [
    ((A, B), [("vis", "-")], [(1, ("-", "vis"))], 8.340662, 3),
    ((A, B), [("vis", "-")], [(2, ("66", "vis")), (1, ("het", "-"))], 5.681074, 3),
    ((A, D), [("het", 1)], [(3, ("66", 0)), (2, ("-", 0))], 1.718618, 2),
    ((A, D, E), [("vis", 0, 0)], [(1, ("-", 1, 0)), (1, ("-", 0, 1))], 8.787633, 3),
    ((D, E, F), [(1, 0, 0)], [(1, (0, 1, 0)), (1, (0, 0, 1))], 5.635312, 2),
]
LEVELS: dict[bool, tuple[str | int, ...]] = {True: ("-", "-", "50", "66", "het", "vis"), False: (0, 0, 1, 2)}


@pytest.mark.parametrize("genes, males, females, seasons, generations", CASES)
def test_best_route__is_the_best_of_all_trees(
    genes: tuple[GoalGene, ...], males: list[Row], females: list[tuple[int, Row]], seasons: float, generations: int
) -> None:
    """Every tree listed one by one, and figures of a program written apart."""
    found = best(genes, males, [row for count, row in females for _ in range(count)])
    assert found.seasons == pytest.approx(seasons, abs=1e-6)
    animals = [at_hand("m", tuple(row)) for row in males] + [at_hand("f", tuple(row), count) for count, row in females]
    goal = tuple("vis" if gene.copies == 2 else 1 for gene in genes)
    assert found.seasons == pytest.approx(soonest(animals, goal, generations=generations), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_best_route__is_no_worse_than_any_tree(seed: int) -> None:
    """Trees of two generations of animals drawn at random."""
    genes, (males, females) = _drawn(seed)
    animals = [at_hand("m", tuple(row)) for row in males] + [at_hand("f", tuple(row)) for row in females]
    goal = tuple("vis" if gene.copies == 2 else 1 for gene in genes)
    assert _seasons(genes, (males, females)) <= soonest(animals, goal, generations=2) + 1e-6


@pytest.mark.parametrize("seed", range(12))
def test_best_route__more_never_takes_longer(seed: int) -> None:
    """An animal more, sooner grown young, more laying, a looser limit of inbreeding."""
    genes, (males, females) = _drawn(seed)
    rng = np.random.default_rng(1000 + seed)
    base = _seasons(genes, (males, females))
    assert _seasons(genes, (males, [*females, _row(genes, rng)])) <= base + 1e-9
    assert _seasons(genes, ([*males, _row(genes, rng)], females)) <= base + 1e-9
    assert _seasons(genes, (males, females), matures=(1, 3)) <= base + 1e-9
    assert _seasons(genes, (males, females), lays=0.9) <= base + 1e-9
    strict = _seasons(genes, (males, females), inbreeding_at_most=0.0)
    loose = _seasons(genes, (males, females), inbreeding_at_most=0.125)
    assert base - 1e-9 <= loose <= strict + 1e-9


@pytest.mark.parametrize("seed", range(3))
def test_best_route__order_of_animals_changes_nothing(seed: int) -> None:
    genes, (males, females) = _drawn(seed)
    assert _seasons(genes, (males[::-1], females[::-1])) == pytest.approx(_seasons(genes, (males, females)), abs=1e-12)


def test_best_route__a_tree_beats_a_cascade() -> None:
    """Four shown genes from animals of one each: 10.0 seasons as a tree, 13.1 if sons carry it from dam to dam."""
    genes = (D, E, F, shown("spotnose"))
    rows = [tuple(int(one == gene) for one in range(4)) for gene in range(4)]
    tree = best(genes, [rows[0], rows[2]], [rows[1], rows[3]])
    assert tree.seasons == pytest.approx(10.0, abs=0.05)
    assert [(step.sire.step, step.dam.step) for step in tree.steps] == [(None, None), (None, None), (0, 1)]
    son, *dams = [at_hand("m", rows[0]), *(at_hand("f", row) for row in rows[1:])]
    for dam in dams[:-1]:
        both = tuple(max(pair) for pair in zip(son.levels, dam.levels, strict=True))
        ready = (0.0, 0.0, *arrival(son, dam, both, 0.5)[:-2])
        son = Animal("m", both, 1, ready)
    assert mean(arrival(son, dams[-1], (1, 1, 1, 1), 1.0)) == pytest.approx(13.1, abs=0.05)


@pytest.mark.parametrize("k, mixed, with_visual", [(2, 4.84, 1.87), (3, 17.2, 2.82), (4, 66.7, 4.84)])
def test_best_route__a_visual_parent_first(k: int, mixed: float, with_visual: float) -> None:
    """Mean tries of the last cross with one dam, by a program written apart: carriers, or one side visual."""
    genes = (A, B, hidden("ghost"), hidden("genetic-stripe"))[:k]
    het, visual = ("het",) * k, ("vis",) * k
    assert 1 / best(genes, [het], [het]).steps[-1].per_season == pytest.approx(mixed, rel=3e-3)
    assert 1 / best(genes, [visual], [het]).steps[-1].per_season == pytest.approx(with_visual, rel=3e-3)


def _drawn(seed: int) -> tuple[tuple[GoalGene, ...], Herd]:
    """A goal, and two males and two females that lead to it."""
    rng = np.random.default_rng(seed)
    genes = ((A, B), (A, D), (A, B, D), (D, E))[seed % 4]
    while True:
        herd = [_row(genes, rng) for _ in range(2)], [_row(genes, rng) for _ in range(2)]
        try:
            best(genes, *herd)
        except DecisionError:
            continue
        return genes, herd


def _row(genes: tuple[GoalGene, ...], rng: np.random.Generator) -> Row:
    return tuple(LEVELS[gene.is_hidden][int(rng.integers(len(LEVELS[gene.is_hidden])))] for gene in genes)


def _seasons(
    genes: tuple[GoalGene, ...],
    herd: Herd,
    *,
    inbreeding_at_most: float = 1.0,
    matures: tuple[int, int] = (2, 4),
    lays: float = 0.7,
) -> float:
    stock = stock_for(genes, *herd, matures=matures, lays=lays)
    wishes = Wishes(hold_back=1, inbreeding_at_most=inbreeding_at_most)
    try:
        return best_route(stock, target(*genes), wishes).seasons
    except DecisionError:
        return float(wishes.horizon)
