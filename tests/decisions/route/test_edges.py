"""Searches that are ended, shortened or narrowed, and stocks with gaps."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.decisions.herd import IndependentGenes, laws
from tests.decisions.route.goals import A, B, D, E, shown, stock_for, target

from holdback.collection.model import Sex
from holdback.decisions.route import Watch, Wishes, best_route, relaxed, routes, search
from holdback.decisions.stock import NEVER, UnderWay
from holdback.errors import DecisionError
from holdback.heredity.genotype import GenotypeBelief

ONE = Wishes(hold_back=1)


def test_best_route__too_few_rounds_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(search, "ROUNDS", 2)
    assert not best_route(stock_for((A, B), [("vis", "-")], [("-", "vis")]), target(A, B), ONE).is_best


def test_best_route__time_that_is_up() -> None:
    stock = stock_for((A,), [("vis",)], [("het",)])
    assert best_route(stock, target(A), ONE, watch=Watch(seconds=1e9)).is_best
    with pytest.raises(DecisionError, match="DEC-052"):
        best_route(stock, target(A), ONE, watch=Watch(seconds=-1.0))


@pytest.mark.parametrize("size", [1, 7])
def test_best_route__size_of_blocks_changes_nothing(monkeypatch: pytest.MonkeyPatch, size: int) -> None:
    """One female can breed only when the search ends."""
    females = [("-", "vis", 0), ("-", "-", 1), ("-", "vis", 0)]
    stock = stock_for((A, B, D), [("vis", "-", 0), ("-", "66", 1)], females, ready={"f2": 24})
    whole = best_route(stock, target(A, B, D), ONE)
    monkeypatch.setattr(search, "_BLOCK", size)
    assert best_route(stock, target(A, B, D), ONE) == whole


def test_best_route__young_that_grow_up_past_the_horizon_are_no_use() -> None:
    stock = stock_for((A, D), [("vis", 0)], [("het", 1)])
    assert len(best_route(stock, target(A, D), replace(ONE, horizon=2)).steps) == 1


def test_best_route__a_dam_that_will_not_breed_again_still_has_her_clutch() -> None:
    """A male and a dam that are not at hand any more are left out."""
    stock = stock_for((A,), [("vis",)], [("het",), ("-",)], ready={"f0": NEVER})
    law = laws()[1]
    made = UnderWay("f0", (("m0", 0.5), ("gone", 0.5)), law, law), UnderWay("away", (("m0", 1.0),), law, law)
    plan = best_route(replace(stock, under_way=made), target(A), replace(ONE, by=0))
    missed = sum(float(chance) * 0.5**n for n, chance in enumerate(law.chances))
    assert plan.steps[0].dam.animals == ("f0",)
    assert plan.by_season[0] == pytest.approx(0.5 * (1 - missed), abs=1e-9)
    assert plan.by_season[-1] == plan.by_season[0]


def test_best_route__a_state_that_does_not_live_is_left_out_of_a_belief() -> None:
    gene = shown("pastel", two_die=True)
    beliefs = {
        "m0": GenotypeBelief(loci={gene.locus: {("+", "pastel"): 0.5, ("pastel", "pastel"): 0.5}}),
        "f0": GenotypeBelief(),
    }
    stock = replace(stock_for((gene,), [(1,)], [(0,)]), genes=IndependentGenes(beliefs))
    assert best_route(stock, target(gene), ONE).steps[0].per_hatchling == pytest.approx(1 / 2)


def test_routes__shares_beside_the_wished_one_and_nothing_out_of_reach() -> None:
    """Sire and dam are half sibs, and neither has more than half the line."""
    stock = stock_for(
        (D,), [(1,)], [(0,)], line="Ember", shares=(0.5, 0.5), kinship={("m0", "f0"): 0.125}, matures=(2, 4)
    )
    found = routes(stock, target(D, share=0.5), ONE)
    assert [plan.share for plan in found] == [0.5]
    assert {plan.target.share for plan in routes(stock, target(D, share=0.25), ONE)} <= {0.125, 0.25, 0.375}
    assert routes(stock_for((A,), [("het",)], [("-",)]), target(A), replace(ONE, horizon=3)) == ()
    assert routes(stock, target(D), ONE, watch=Watch(cancelled=lambda: True)) == ()


def test_relaxed__all_kinds_of_wishes() -> None:
    stock = stock_for((A, D, E), [("vis", 1, 1)], [("het", 0, 0)], line="Ember", shares=(0.5, 0.25))
    wanted = target(A, D, shown("pastel", copies=0), sex=Sex.FEMALE, share=0.25)
    found = relaxed(stock, wanted, replace(ONE, by=1))
    assert {one.without for one in found} >= {
        "clown", "the second copy of clown", "enchi", "the wish to be free of pastel", "the wish for a sex",
        "an eighth of the line (12.5% is enough)", "the share of Ember",
    }  # fmt: skip
    assert all(one.sentence.endswith("in 100 by the wished season.") for one in found)
    assert relaxed(stock, wanted, ONE, watch=Watch(cancelled=lambda: True)) == ()


def test_relaxed__what_would_not_help_is_left_out() -> None:
    """Without one of two genes that nobody carries the other is still lacking."""
    stock = stock_for((D,), [(0,)], [(0,)])
    assert relaxed(stock, target(A, B), ONE) == ()
