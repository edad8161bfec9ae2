"""The mate that is not there."""

from __future__ import annotations

import numpy as np
import pytest
from tests.decisions.herd import herd, laws

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal
from holdback.decisions.missing_mate import MissingMate, missing_mates
from holdback.decisions.offspring import PairLaw, PairState
from holdback.decisions.outsider import with_outsiders
from holdback.decisions.stock import Stock
from holdback.decisions.wanting import targets_of
from holdback.species.catalogue import load

_, YOUNG = laws()


def missing(stock: Stock, animal: str, goal: Goal) -> tuple[MissingMate, ...]:
    return missing_mates(stock, animal, targets_of(goal, load()), goal, load())


def once(q: float) -> float:
    return PairLaw((PairState(1.0, q / 2, q / 2),)).tries(1, YOUNG, 0.7)


def test_missing_mates__what_is_lacking_this_season() -> None:
    """A visual female: 1 in 4 with a male that shows Enchi and carries Clown, 1 in 2 if he shows both."""
    stock = herd(males=["het Clown"], females=["Clown"])
    found = missing(stock, "f0", Goal("Harbour", "Clown Enchi", by=2027))
    assert [one.text for one in found] == [
        "A male that shows Clown and Enchi, unrelated: 67 in 100 this season instead of none.",
        "A male that shows Enchi and carries Clown, unrelated: 54 in 100 this season instead of none.",
    ]
    assert [one.this_season for one in found] == pytest.approx([once(1 / 2), once(1 / 4)])
    assert all(one.kind.sex is Sex.MALE for one in found)


def test_missing_mates__no_gene_more_than_gains() -> None:
    """She gives Enchi to every young herself, so a male needs nothing but Clown."""
    stock = herd(males=[], females=["Super Enchi Clown"])
    found = missing(stock, "f0", Goal("Harbour", "Clown Enchi", by=2027))
    assert [one.kind.genes for one in found] == [((1.0, 1.0), (0.0, 0.0)), ((1.0, 0.0), (0.0, 0.0))]


def test_missing_mates__through_the_young() -> None:
    """His own daughters may not go back to the male at hand; those of an unrelated visual may, three tries."""
    stock = herd(males=["Clown"], females=["normal"])
    first, second = missing(stock, "f0", Goal("Harbour", "Clown", by=2033, inbreeding_at_most=0.0))
    assert (first.this_season, second.this_season) == (0.0, 0.0)
    assert first.gain == first.score == pytest.approx(once(1 / 2) * (1 - (1 - once(1 / 2)) ** 3))
    assert first.text == "A male that shows Clown, unrelated: 64 in 100 by 2033 instead of none."
    assert second.text.startswith("A male that carries Clown, unrelated:")


def test_missing_mates__none_where_a_mate_at_hand_is_as_good() -> None:
    stock = herd(males=["Clown"], females=["Clown"])
    assert missing(stock, "f0", Goal("Harbour", "Clown", by=2027)) == ()


def test_missing_mates__none_for_an_animal_that_is_not_ready() -> None:
    stock = herd(males=[], females=["Clown"], ready={"f0": 1})
    assert missing(stock, "f0", Goal("Harbour", "Clown", by=2028)) == ()


def test_missing_mates__nothing_that_is_not_spoken_for() -> None:
    stock = herd(males=[], females=["normal"])
    assert missing(stock, "f0", Goal("Harbour", "Spider", by=2027)) == ()
    goal = Goal("Harbour", "Spider", by=2027, accepted=frozenset({"welfare-neurological:spider"}))
    assert [one.text for one in missing(stock, "f0", goal)] == [
        "A male that shows Spider, unrelated: 67 in 100 this season instead of none."
    ]


def test_missing_mates__two_names_at_one_place() -> None:
    """A compound asks for one copy of each; no outsider has two of one and one of the other."""
    stock = herd(males=[], females=["Clown"])
    found = missing(stock, "f0", Goal("Harbour", "Clown Cryptic", by=2027))
    assert [one.kind.genes for one in found] == [((0.0, 0.0), (1.0, 0.0))]
    assert found[0].this_season == pytest.approx(once(1 / 2))


def test_with_outsiders__stands_beside_the_stock() -> None:
    stock = herd(males=["Clown"], females=["het Clown"])
    wider = with_outsiders(stock, {"new": {"clown": ("clown", "clown")}}, Sex.FEMALE, ready=0)
    assert wider.kinship[wider.index("new")].tolist() == [0.0, 0.0, 0.5]
    assert wider.genes.couple("m0", "new", ("clown",))[0].at("clown") == {(("clown", "clown"), ("clown", "clown")): 1.0}
    assert wider.genes.couple("m0", "f0", ("clown",)) == stock.genes.couple("m0", "f0", ("clown",))
    pairs, drawn = wider.genes.draw(("new", "f0"), "clown", 5, np.random.default_rng(1))
    assert {(pairs[a], pairs[b]) for a, b in drawn.tolist()} == {(("clown", "clown"), ("+", "clown"))}
