"""Routes within a limit of inbreeding and with a share of a line."""

from __future__ import annotations

from itertools import combinations

import pytest
from tests.decisions.herd import Row, herd
from tests.decisions.route.goals import A, B, D, stock_for, target

from holdback.collection.model import Sex
from holdback.decisions.route import Wishes, best_route, relaxed, routes
from holdback.decisions.steps import Plan, Side
from holdback.decisions.stock import Stock
from holdback.descent.kinship import relationship
from holdback.descent.pedigree import Pedigree

MALES: list[tuple[Row, float]] = [
    (("vis", "-", 1), 0), (("-", "vis", 0), 0), (("-", "-", 0), 1), (("-", "-", 1), 0.5), (("het", "66", 0), 0.25),
]  # fmt: skip
FEMALES: list[tuple[int, Row, float]] = [
    (8, ("-", "-", 0), 1), (4, ("66", "-", 1), 0.5), (1, ("-", "het", 0), 0.5), (2, ("-", "het", 0), 0),
    (2, ("-", "vis", 0), 0), (2, ("het", "-", 0), 0), (1, ("-", "-", 1), 0),
]  # fmt: skip


def collection() -> Stock:
    rows = [(row, share) for count, row, share in FEMALES for _ in range(count)]
    return herd(
        males=[row for row, _ in MALES],
        females=[row for row, _ in rows],
        genes=("clown", "piebald", "enchi"),
        line="Ember",
        shares=[share for _, share in (*MALES, *rows)],
        clutches=20,
    )


@pytest.mark.parametrize(
    "limit, share, seasons",
    [(0.999, 0, 7.08), (0.125, 0, 7.08), (0.0625, 0, 10.76), (0.0, 0, 10.76)]
    + [pytest.param(limit, 0.25, best, marks=pytest.mark.slow) for limit, best in ((0.125, 12.45), (0.0, 17.29))],
)
def test_best_route__no_worse_than_known(limit: float, share: float, seasons: float) -> None:
    """Best figures of a program written apart, not proven to be the best there are; the limit kept exactly."""
    wishes = Wishes(horizon=30, inbreeding_at_most=limit)
    plan = best_route(collection(), target(A, B, D, share=share), wishes)
    assert plan.seasons <= seasons + 0.005
    assert plan.largest_inbreeding <= limit + 1e-12
    assert plan.largest_inbreeding == pytest.approx(max(_inbreeding(plan)), abs=1e-12)
    assert plan.inbreeding == pytest.approx(_inbreeding(plan)[-1], abs=1e-12)


@pytest.mark.parametrize("share, seasons", [(0, 6.57), (0.25, 10.84), (0.375, 12.61), (0.5, 14.85)])
def test_best_route__price_of_a_share(share: float, seasons: float) -> None:
    """Figures of a program written apart, without a limit of inbreeding."""
    plan = best_route(collection(), target(A, B, D, share=share), Wishes(horizon=30))
    assert plan.seasons == pytest.approx(seasons, abs=0.006)
    assert plan.share >= share


def test_routes__a_front() -> None:
    found = routes(collection(), target(A, B), Wishes(hold_back=1))
    assert len(found) >= 2
    assert [plan.seasons for plan in found] == sorted(plan.seasons for plan in found)
    for one, other in combinations(found, 2):
        assert one.largest_inbreeding > other.largest_inbreeding


def test_routes__best_by_chance_beside_best_by_mean() -> None:
    found = routes(stock_for((A,), [("vis",)], [("66",)]), target(A), Wishes(hold_back=1, by=0))
    assert {round(plan.by_season[0], 4) for plan in found} == {0.0, 0.4439}
    assert {len(plan.steps) for plan in found} == {1, 2}


def test_relaxed__the_wish_that_buys_most_first() -> None:
    found = relaxed(collection(), target(A, B, share=0.125), Wishes(hold_back=1, inbreeding_at_most=0.125, labels=2))
    assert [one.plan.seasons for one in found] == sorted(one.plan.seasons for one in found)
    gains = {one.without: one for one in found}
    assert set(gains) >= {"clown", "piebald", "the share of Ember", "a limit of inbreeding", "the second copy of clown"}
    assert gains["the share of Ember"].sentence.startswith("Without the share of Ember it is ")
    assert gains["piebald"].target.genes == (A,)


def _inbreeding(plan: Plan) -> list[float]:
    """Inbreeding of the young of each step, from a pedigree of the plan by the tabular method of `descent.kinship`."""
    parents: dict[str, tuple[str | None, str | None]] = {}

    def who(side: Side, sex: Sex) -> str:
        if side.step is not None:
            return f"{side.step} {sex}"
        parents.setdefault(side.animals[0], (None, None))
        return side.animals[0]

    for step in plan.steps:
        both = who(step.sire, Sex.MALE), who(step.dam, Sex.FEMALE)
        for sex in Sex:
            parents[f"{step.number} {sex}"] = both
    pedigree = Pedigree.from_parents(parents)
    table = relationship(pedigree)
    rows = [pedigree.index[f"{step.number} {Sex.UNKNOWN}"] for step in plan.steps]
    return [float(table[row, row]) - 1 for row in rows]
