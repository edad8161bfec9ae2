"""Routes over several generations: figures worked out apart for the check cases, and the plan as steps."""

from __future__ import annotations

import pytest
from tests.decisions.route.goals import A, B, D, E, F, best, stock_for, target

from holdback.collection.model import Sex
from holdback.decisions.route import Wishes, best_route, route

MALES = [("vis", "-", 1, 0, 0), ("-", "vis", 0, 0, 0), ("-", "-", 0, 0, 0), ("-", "-", 0, 1, 0), ("het", "66", 0, 0, 1)]
FEMALES = [
    *[("-", "-", 0, 0, 0)] * 8,
    *[("66", "-", 1, 0, 0)] * 4,
    *[("-", "het", 0, 0, 0)] * 3,
    *[("-", "-", 0, 1, 1)] * 3,
    *[("-", "vis", 0, 0, 0)] * 2,
    *[("het", "-", 0, 1, 0)] * 2,
    ("-", "-", 0, 2, 0),
    ("-", "-", 1, 0, 1),
]


def test_route__two_recessives_of_one_pair() -> None:
    """Figures of a program written apart: mean 8.340662 seasons, .132 by season 4, .635 by 8, .909 by 14."""
    plan = best((A, B), [("vis", "-")], [("-", "vis")])
    assert plan.seasons == pytest.approx(8.340662, abs=5e-7)
    assert [round(plan.by_season[season], 3) for season in (4, 6, 8, 10, 14)] == [0.132, 0.425, 0.635, 0.770, 0.909]
    first, goal = plan.steps
    assert first.sire.animals == ("m0",)
    assert first.dam.animals == ("f0",)
    assert first.keep.genes == ((1.0, 0.0), (1.0, 0.0))
    assert first.per_season == pytest.approx(0.632732, abs=5e-7)
    assert (goal.sire.step, goal.dam.step, goal.is_goal) == (0, 0, True)
    assert goal.per_hatchling == pytest.approx(1 / 16)
    assert goal.per_season == pytest.approx(0.206584, abs=5e-7)
    assert plan.inbreeding == 0.25


@pytest.mark.parametrize(
    "hold_back, n_genes, seasons",
    [
        (1, 2, 7.929), (1, 3, 9.329), (1, 4, 14.890),
        (2, 2, 5.826), (2, 3, 6.951), (2, 4, 11.813),
        (3, 2, 5.168), (3, 3, 6.564), (3, 4, 11.418),
    ],
)  # fmt: skip
def test_route__collection_of_many(hold_back: int, n_genes: int, seasons: float) -> None:
    """Figures of a program written apart, for these two kinds of genes only."""
    plan = best(
        (A, B, D, E, F)[:n_genes], [m[:n_genes] for m in MALES], [f[:n_genes] for f in FEMALES], hold_back=hold_back
    )
    assert plan.seasons == pytest.approx(seasons, abs=6e-4)
    assert plan.is_best


def test_route__by_products_that_the_plan_can_use() -> None:
    """A visual on a possible het: certain het daughters are kept, and the goal, a visual, may come of it too."""
    first, goal = best((A,), [("vis",)], [("66",)]).steps
    assert first.keep.genes == ((1.0, 0.0),)
    assert first.keep.sex is Sex.FEMALE
    assert first.also == (goal.keep,)
    assert goal.also == ()


def test_route__gives_what_best_route_gives() -> None:
    stock = stock_for((A, B), [("vis", "-")], [("-", "vis")])
    told: list[float] = []
    plan = route(stock, target(A, B), horizon=20, inbreeding_at_most=0.25, hold_back=2, labels=2, progress=told.append)
    assert plan == best_route(stock, target(A, B), Wishes(20, 0.25, 2, 2))
    assert told[-1] == 1.0
    assert len(plan.by_season) == 21
