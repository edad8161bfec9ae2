"""Chances of a target from a pair, against the odds of crosses and against listing every outcome."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from tests.decisions.herd import IndependentGenes, herd, laws

from holdback.collection.model import Sex
from holdback.decisions.accepted import wish_of
from holdback.decisions.goal import Goal, Target
from holdback.decisions.offspring import PairLaw, PairState, pair_law, pair_laws, several
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.stock import Stock
from holdback.decisions.wanting import targets_of
from holdback.heredity.crosses import EggCount, eggs_needed, odds_joint
from holdback.heredity.genotype import GenotypeBelief
from holdback.season.outlook import CountLaw
from holdback.species.catalogue import load

EGGS, YOUNG = laws()
GENES = ("clown", "piebald", "enchi", "pastel", "fire")


def target(want: str) -> Target:
    (found,) = targets_of(Goal("Harbour", want), load())
    return found


def law(stock: Stock, want: str, sire: str = "m0", dam: str = "f0") -> PairLaw:
    return pair_law(stock, sire, dam, PairTables(target(want), load()))


def certain(q: float) -> PairLaw:
    """Law of a cross of certain parents that gives a target with chance 2^-k."""
    k = round(-np.log2(q))
    stock = herd(males=[(1,) * k], females=[(0,) * k], genes=("enchi", "pastel", "fire", "pinstripe", "spotnose")[:k])
    return law(stock, " ".join(("Enchi", "Pastel", "Fire", "Pinstripe", "Spotnose")[:k]))


def test_at_least_one__clutch_that_is_laid() -> None:
    """C1: worked out apart."""
    assert certain(1 / 4).at_least_one(YOUNG) == pytest.approx(0.764353, abs=5e-7)


@pytest.mark.parametrize(
    "q,chance,tries",
    [(1 / 2, 0.6659, 3), (1 / 4, 0.5350, 4), (1 / 8, 0.3548, 6), (1 / 16, 0.2066, 10), (1 / 32, 0.1118, 20)],
)
def test_tries__chance_of_a_season(q: float, chance: float, tries: int) -> None:
    """C2: chance of a season at laying .7, and seasons until nine in ten."""
    found = certain(q)
    assert found.tries(1, YOUNG, 0.7) == pytest.approx(chance, abs=5e-5)
    assert found.tries(tries, YOUNG, 0.7) >= 0.9 > found.tries(tries - 1, YOUNG, 0.7)


@pytest.mark.parametrize(
    "q,chance,tries,with_three",
    [(3 / 16, 0.4604, 4, 2), (1 / 64, 0.0582, 39, 13), (1 / 256, 0.0150, 153, 51)],
)
def test_tries__one_dam_and_three(q: float, chance: float, tries: int, with_three: int) -> None:
    """C2, the rarer young: three like dams are three tries a season."""
    found = PairLaw((PairState(1.0, q / 2, q / 2),))
    assert found.tries(1, YOUNG, 0.7) == pytest.approx(chance, abs=5e-5)
    for n, seasons in ((1, tries), (3, with_three)):
        assert found.tries(n * seasons, YOUNG, 0.7) >= 0.9 > found.tries(n * (seasons - 1), YOUNG, 0.7)


@pytest.mark.parametrize("q,mean", [(1 / 2, 2.236), (1 / 4, 3.767), (1 / 16, 13.056)])
def test_both_sexes__mean_tries(q: float, mean: float) -> None:
    """C3: mean number of seasons until a son and a daughter."""
    found = certain(q)
    assert sum(1 - found.both_sexes(k, YOUNG, 0.7) for k in range(400)) == pytest.approx(mean, abs=5e-4)


def test_both_sexes__all_young_of_one_certain_cross() -> None:
    """C10: a son and a daughter in one season, every young being such a one."""
    assert PairLaw((PairState(1.0, 0.5, 0.5),)).both_sexes(1, YOUNG, 0.7) == pytest.approx(0.632732, abs=5e-7)


def test_tries__possible_het_levels_off() -> None:
    """C4: a 66 % dam and a visual male; an averaged chance would say .6010 .8408 .9365 .9747."""
    stock = herd(males=[("vis",)], females=[("66",)] * 3, genes=("clown",))
    found = law(stock, "Clown")
    assert [found.tries(k, YOUNG, 0.7) for k in (1, 2, 3, 4)] == pytest.approx(
        [0.4439, 0.5923, 0.6418, 0.6584], abs=5e-5
    )
    assert found.possible == pytest.approx(2 / 3)


def test_several__sisters_are_each_in_doubt() -> None:
    """C4: two and three 66 % dams under a visual male."""
    stock = herd(males=[("vis",)], females=[("66",)] * 3, genes=("clown",))
    tables = PairTables(target("Clown"), load())
    two = [several(stock, "m0", ("f0", "f1"), tables, k=k) for k in (1, 2, 3)]
    three = [several(stock, "m0", ("f0", "f1", "f2"), tables, k=k) for k in (1, 2, 3)]
    assert two == pytest.approx([0.6908, 0.8337, 0.8717], abs=5e-5)
    assert three == pytest.approx([0.8281, 0.9322, 0.9540], abs=5e-5)


def test_several__a_doubtful_sire_is_shared() -> None:
    """C4: one 66 % sire on one, two, three visual dams in a season, not .6908 and .8281."""
    stock = herd(males=[("66",)], females=[("vis",)] * 3, genes=("clown",))
    tables = PairTables(target("Clown"), load())
    found = [several(stock, "m0", [f"f{n}" for n in range(dams)], tables) for dams in (1, 2, 3)]
    assert found == pytest.approx([0.4439, 0.5923, 0.6418], abs=5e-5)


def test_lambda__adds_up() -> None:
    """C11: lambda of q = 1/4 at laying .7, and the worth of one, two, three clutches."""
    one = certain(1 / 4).lambda_(YOUNG, 0.7)
    assert one == pytest.approx(0.765819, abs=5e-7)
    assert [1 - np.exp(-n * one) for n in (1, 2, 3)] == pytest.approx([0.5350, 0.7838, 0.8995], abs=5e-5)


@pytest.mark.parametrize(
    "k,het,visual",
    [(1, (11, 17), (5, 7)), (2, (47, 72), (11, 17)), (3, (191, 293), (23, 35)), (4, (766, 1177), (47, 72))],
)
def test_per_hatchling__eggs_for_unlinked_recessives(k: int, het: tuple[int, int], visual: tuple[int, int]) -> None:
    """Closed form: 4^-k from hets and 2^-k with one side visual; eggs by ln(1-c) / ln(1-q) for 95 and 99 %."""
    genes = ("clown", "piebald", "albino", "ultramel")[:k]
    want = " ".join(("Clown", "Piebald", "Albino", "Ultramel")[:k])
    stock = herd(males=[("het",) * k, ("vis",) * k], females=[("het",) * k], genes=genes)
    q = law(stock, want).per_hatchling
    assert q == pytest.approx(4.0**-k, rel=1e-12)
    assert (eggs_needed(q, 0.95), eggs_needed(q, 0.99)) == het
    q = law(stock, want, sire="m1").per_hatchling
    assert (eggs_needed(q, 0.95), eggs_needed(q, 0.99)) == visual


@pytest.mark.parametrize(
    "sire,dam,want",
    [
        ("Clown Enchi", "66% het Clown Pastel", "Clown Enchi"),
        ("Lesser het Clown", "Mojave het Clown", "Lesser Mojave Clown"),
        ("Lesser 50% het Clown", "Mojave", "Lesser het Clown no Mojave"),
        ("Banana male maker", "normal", "male Banana"),
        ("Banana female maker", "Pastel", "male Banana Pastel"),
        ("Banana", "Banana", "female Super Banana"),
        ("Spider", "Spider Enchi", "Spider Enchi"),
        ("Spider Pastel", "Champagne", "Spider Pastel"),
        ("Hidden Gene Woma 66% het Clown", "Hidden Gene Woma 50% het Clown", "Hidden Gene Woma Clown"),
    ],
)
def test_pair_law__as_the_odds_of_the_pair(sire: str, dam: str, want: str) -> None:
    """Chance per hatchling, and of a clutch, as `odds_joint` gives them for the same two animals."""
    stock = herd(males=[sire], females=[dam])
    wanted = target(want)
    tables = PairTables(wanted, load())
    found = law(stock, want)
    sides = {
        animal: GenotypeBelief(sex=sex, loci={locus: stock.genes.at(animal, locus) for locus in tables.loci})
        for animal, sex in (("m0", Sex.MALE), ("f0", Sex.FEMALE))
    }
    count = EggCount(tuple((n, float(p)) for n, p in enumerate(YOUNG.chances)))
    other = odds_joint(
        stock.genes.couple("m0", "f0", tables.loci),
        load(),
        sire=sides["m0"],
        dam=sides["f0"],
        want=wish_of(wanted, load()),
        eggs=count,
    ).want
    assert other is not None
    assert found.per_hatchling == pytest.approx(other.per_hatchling, rel=1e-12)
    assert found.at_least_one(YOUNG) == pytest.approx(other.at_least_one, rel=1e-9)
    assert found.possible == pytest.approx(other.possible, rel=1e-12)


def test_pair_law__as_listing_every_outcome() -> None:
    """Every genotype of both parents and every pair of gametes of two loci, by hand."""
    stock = herd(males=[("66", 1)], females=[("50", 1)], genes=("clown", "enchi"))
    states: dict[float, float] = {}
    for (sire, w), (dam, v) in product(((1, 2 / 3), (0, 1 / 3)), ((1, 0.5), (0, 0.5))):
        hits = sum(bool(a and b and (c or d)) for a, b, c, d in product((0, sire), (0, dam), (0, 1), (0, 1)))
        states[hits / 16] = states.get(hits / 16, 0.0) + w * v
    found = {state.male + state.female: state.weight for state in law(stock, "Clown Enchi").states}
    assert found == pytest.approx(states)


def test_pair_law__sex_wanted_halves() -> None:
    stock = herd(males=[("vis",)], females=[("het",)], genes=("clown",))
    (state,) = law(stock, "female Clown").states
    assert (state.male, state.female, state.living) == (0.0, 0.25, 1.0)


def test_pair_law__young_that_die_of_their_genes() -> None:
    """Spider with Spider: a quarter dies; of the living two in three are Spider, but half of the eggs give one."""
    stock = herd(males=[(1,)], females=[(1,)], genes=("spider",))
    found = law(stock, "Spider")
    assert found.per_hatchling == pytest.approx(2 / 3)
    assert found.at_least_one(CountLaw(np.array([0.0, 1.0]))) == pytest.approx(0.5)


@pytest.mark.parametrize("want", ["Spider", "Clown"])
def test_pair_law__states_of_no_chance_change_nothing(want: str) -> None:
    stock = herd(males=["Spider het Clown"], females=["Enchi Clown"])
    assert isinstance(stock.genes, IndependentGenes)
    beliefs = {
        animal: replace(
            known, loci={**known.loci, **{locus: {**known.at(locus), ("x", "x"): 0.0} for locus in known.loci}}
        )
        for animal, known in stock.genes.beliefs.items()
    }
    more = replace(stock, genes=IndependentGenes(beliefs))
    assert law(more, want) == law(stock, want)


def test_pair_laws__pairs_that_are_ready() -> None:
    stock = herd(males=[("vis",), ("het",)], females=[("het",), ("-",)], genes=("clown",), ready={"f1": 2, "m1": 1})
    assert set(pair_laws(stock, target("Clown"), load())) == {("m0", "f0")}
    assert len(pair_laws(stock, target("Clown"), load(), season=None)) == 4
