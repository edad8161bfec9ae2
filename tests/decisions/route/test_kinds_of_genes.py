"""Goals of all kinds: one hidden copy, two shown ones, compounds, refused and lethal genes; crosses under way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.decisions.herd import IndependentGenes, laws
from tests.decisions.route.goals import A, B, D, best, hidden, shown, stock_for, target

from holdback.collection.model import Sex
from holdback.decisions.route import Watch, Wishes, best_route, dead_end, relaxed, route
from holdback.decisions.stock import NEVER, UnderWay
from holdback.errors import DecisionError
from holdback.heredity.genotype import GenotypeBelief

ONE = Wishes(hold_back=1)


def _season(q: float, lays: float = 0.7) -> float:
    """Chance of one or more of a paired dam in a season, worked out apart from the clutch law."""
    return lays * (1 - sum(float(chance) * (1 - q) ** n for n, chance in enumerate(laws()[1].chances)))


@pytest.mark.parametrize(
    "q, chance",
    [(1 / 2, 0.6659), (1 / 4, 0.5350), (1 / 8, 0.3548), (1 / 16, 0.2066), (1 / 64, 0.0582), (1 / 256, 0.0150)],
)
def test_season__figures(q: float, chance: float) -> None:
    """The yardstick of this module against figures of a program written apart."""
    assert _season(q) == pytest.approx(chance, abs=5e-5)


def test_best_route__one_hidden_copy_is_certain_from_a_visual_parent() -> None:
    plan = best((hidden("clown", copies=1),), [("vis",)], [("-",)])
    assert plan.steps[-1].per_hatchling == 1
    assert plan.steps[-1].per_season == pytest.approx(_season(1), abs=1e-9)


def test_best_route__an_animal_said_to_have_two_copies_that_kill_counts_with_one() -> None:
    plan = best((shown("spider", two_die=True),), [("2",)], [("0",)])
    assert plan.steps[-1].per_hatchling == 0.5
    assert plan.steps[-1].per_season == pytest.approx(_season(1 / 2), abs=1e-9)


def test_best_route__a_possible_carrier_is_dropped_when_only_she_can_be_at_fault() -> None:
    """After two empty clutches she carries with 2/3 G(1/2)^2 / (1/3 + 2/3 G(1/2)^2), G(1/2) = .048693: below 1/20."""
    said = best((A,), [("vis",)], [("66",)], by=1).notes
    assert said[0] == "F0 may carry clown (2 in 3): if 2 clutches bring none, drop her."
    both = best((A,), [("66",)], [("66",)], by=1).notes
    assert both[1:3] == ("M0 may carry clown (2 in 3).", "F0 may carry clown (2 in 3).")
    assert best((D,), [("1",)], [("66",)]).notes[0] == "F0 may carry enchi (2 in 3)."


def test_best_route__one_hidden_copy_of_a_carrier_has_to_be_made_certain() -> None:
    """Young of het x normal are possible hets; of het x het only visual ones are known to carry it."""
    plan = best((hidden("clown", copies=1),), [("het",)], [("het",)])
    assert plan.steps[-1].per_hatchling == pytest.approx(1 / 4)


def test_best_route__two_shown_copies() -> None:
    assert best((shown("enchi", copies=2),), [(1,)], [(1,)]).steps[-1].per_hatchling == pytest.approx(1 / 4)


def test_best_route__two_copies_that_look_like_one_need_two_sure_parents() -> None:
    gene = shown("enchi", copies=2, tells_two=False)
    assert best((gene,), [(2,)], [(2,)]).steps[-1].per_hatchling == 1
    with pytest.raises(DecisionError, match="DEC-051"):
        best((gene,), [(1,)], [(1,)])


def test_best_route__compound_of_two_shown_alleles() -> None:
    """Mojave x lesser: a quarter of the young have both."""
    plan = best((shown("mojave"), shown("lesser")), [(1, 0)], [(0, 1)])
    assert plan.steps[-1].per_hatchling == pytest.approx(1 / 4)
    assert plan.seasons == pytest.approx(1 / _season(1 / 4) - 1, abs=1e-6)


def test_best_route__compound_of_two_hidden_alleles() -> None:
    genes = hidden("albino", copies=1), hidden("candy", copies=1)
    assert best(genes, [("vis", "-")], [("-", "vis")]).steps[-1].per_hatchling == 1
    assert best(genes, [("het", "-")], [("-", "het")]).steps[-1].per_hatchling == pytest.approx(1 / 4)


def test_best_route__refused_gene_that_shows() -> None:
    plan = best((D, shown("pastel", copies=0)), [(1, 1)], [(0, 0)])
    assert plan.steps[-1].per_hatchling == pytest.approx(1 / 4)
    assert plan.steps[-1].keep.genes == ((1.0, 0.0), (1.0, 0.0))


def test_best_route__lethal_two_copies_are_never_paired() -> None:
    gene = shown("pastel", two_die=True)
    plan = best((D, gene), [(1, 1)], [(0, 0), (1, 1)])
    assert all(step.dam.animals == ("f0",) for step in plan.steps)
    with pytest.raises(DecisionError, match="DEC-051"):
        best((D, gene), [(0, 1)], [(1, 1)])


def test_best_route__a_wanted_sex_halves_the_chance() -> None:
    stock = stock_for((D,), [(1,)], [(0,)])
    assert best_route(stock, target(D, sex=Sex.FEMALE), ONE).steps[-1].per_hatchling == pytest.approx(1 / 4)


def test_best_route__chances_at_hand_are_not_rounded() -> None:
    """A dam that carries it with chance .6 counts as 50 % in the plan's words, and as .6 in its chances."""
    stock = stock_for((A,), [("vis",)], [("66",)])
    beliefs = {
        "m0": GenotypeBelief(loci={A.locus: {("clown", "clown"): 1.0}}),
        "f0": GenotypeBelief(loci={A.locus: {("+", "+"): 0.4, ("+", "clown"): 0.6}}),
    }
    plan = best_route(replace(stock, genes=IndependentGenes(beliefs)), target(A), replace(ONE, by=0))
    assert plan.steps[0].dam.kind.genes == ((0.5, 0.0),)
    assert plan.by_season[0] == pytest.approx(0.6 * _season(1 / 2), abs=1e-9)
    assert plan.by_season[1] == pytest.approx(0.6 * (1 - (1 - _season(1 / 2)) ** 2), abs=1e-9)
    assert "F0 may carry clown (60 in 100)" in plan.notes[0]


def test_best_route__a_cross_under_way_is_the_first_try() -> None:
    """In the boxes: three young come for sure, his with chance .8; next season she is paired with him again."""
    stock = stock_for((A,), [("vis",), ("-",)], [("het",)])
    law = type(laws()[1])(laws()[1].chances * 0)
    law.chances[3] = 1.0
    made = UnderWay("f0", (("m0", 0.8), ("m1", 0.2)), law, law)
    plan = best_route(replace(stock, under_way=(made,)), target(A), ONE)
    first = 0.8 * (1 - 0.5**3)
    assert plan.by_season[0] == pytest.approx(first, abs=1e-9)
    assert plan.by_season[1] == pytest.approx(1 - (1 - first) * (1 - _season(1 / 2)), abs=1e-9)


def test_best_route__a_banned_pair_is_not_used() -> None:
    stock = stock_for((D,), [(2,), (1,)], [(0,)])
    assert best_route(stock, target(D), ONE).steps[-1].sire.animals == ("m0",)
    assert best_route(stock, target(D), replace(ONE, banned=(("m0", "f0"),))).steps[-1].sire.animals == ("m1",)


def test_best_route__a_male_serves_no_more_than_he_may() -> None:
    stock = stock_for((D,), [(2,)], [(0,)] * 5, clutches=2)
    plan = best_route(stock, target(D), ONE)
    assert len(plan.steps[-1].dam.animals) == 2
    assert plan.by_season[0] == pytest.approx(1 - (1 - _season(1)) ** 2, abs=1e-9)


def test_dead_end__says_what_is_lacking() -> None:
    stock = stock_for((A, D), [("vis", 0)], [("het", 0)])
    assert dead_end(stock, target(A, B)) == "No animal here carries piebald: buy or borrow one first."
    assert dead_end(stock, target(A)) == ""
    assert dead_end(replace(stock, ready=stock.ready + NEVER), target(A)) == "No male here can breed: add one first."
    near = stock_for((A,), [("vis",)], [("het",)], kinship={("m0", "f0"): 0.25})
    assert dead_end(near, target(A), inbreeding_at_most=0.125).startswith("Every male here is too near kin")
    line = stock_for((A,), [("vis",)], [("het",)], line="Ember", shares=(0.5, 0.25))
    assert "more than 50% of the line Ember" in dead_end(line, target(A, share=0.75))
    with pytest.raises(DecisionError, match=r"DEC-050.*piebald"):
        route(stock, target(A, B))


def test_best_route__out_of_reach_names_the_wish_that_helps() -> None:
    """Sire and dam are sibs: within the limit there is no young at all; without it there is."""
    stock = stock_for((A,), [("vis",), ("-",)], [("het",)], kinship={("m0", "f0"): 0.25, ("m1", "f0"): 0.0})
    with pytest.raises(DecisionError, match=r"DEC-051.*Without so strict a limit.*it is 0\.\d seasons"):
        best_route(stock, target(A), Wishes(horizon=1, inbreeding_at_most=0.0))
    assert relaxed(stock, target(A), Wishes(horizon=1, inbreeding_at_most=0.0))[0].inbreeding_at_most == 0.25


def test_best_route__ended_early() -> None:
    stock = stock_for((A, B), [("vis", "-")], [("-", "vis")])
    with pytest.raises(DecisionError, match="DEC-052"):
        best_route(stock, target(A, B), ONE, watch=Watch(cancelled=lambda: True))
    told: list[float] = []
    looks = iter(range(10))
    plan = best_route(stock, target(A, B), ONE, watch=Watch(told.append, lambda: next(looks) > 4))
    assert not plan.is_best
    assert any("best found so far" in note for note in plan.notes)
    assert told[-1] == 1.0
