"""Kinds of young as a keeper can know them."""

from __future__ import annotations

import pytest
from tests.decisions.herd import Row, herd

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal
from holdback.decisions.kind_words import kind_words
from holdback.decisions.kinds import kind_law, kind_of, looks_of, phase_of_young
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.steps import Kind
from holdback.decisions.wanting import targets_of
from holdback.species.catalogue import load


def tables(want: str) -> PairTables:
    (target,) = targets_of(Goal("Harbour", want), load())
    return PairTables(target, load())


ANY, POSSIBLE, HET, VISUAL = (0.0, 0.0), (2 / 3, 0.0), (1.0, 0.0), (1.0, 1.0)


@pytest.mark.parametrize(
    "sire,dam,level,chance",
    [
        ("vis", "het", VISUAL, 1 / 2),
        ("vis", "het", HET, 1.0),
        ("vis", "66", HET, 1.0),
        ("vis", "66", VISUAL, 1 / 3),
        ("het", "het", VISUAL, 1 / 4),
        ("het", "het", HET, 1 / 4),
        ("het", "het", POSSIBLE, 1.0),
        ("het", "-", POSSIBLE, 0.0),
        ("het", "-", (0.5, 0.0), 1.0),
        ("-", "-", ANY, 1.0),
    ],
)
def test_kind_law__hidden_gene(sire: str, dam: str, level: tuple[float, float], chance: float) -> None:
    stock = herd(males=[(sire,)], females=[(dam,)], genes=("clown",))
    law = kind_law(stock, "m0", "f0", Kind((level,)), tables("Clown"))
    assert law.per_hatchling == pytest.approx(chance)


@pytest.mark.parametrize(
    "want,gene,sire,dam,level,chance",
    [
        ("Enchi", "enchi", 1, 1, HET, 3 / 4),
        ("Enchi", "enchi", 1, 1, VISUAL, 1 / 4),
        ("Enchi", "enchi", 2, 0, VISUAL, 0.0),
        ("Pinstripe", "pinstripe", 1, 1, HET, 3 / 4),
        ("Pinstripe", "pinstripe", 1, 1, VISUAL, 0.0),
        ("Pinstripe", "pinstripe", 1, 1, (1.0, 1 / 3), 3 / 4),
        ("Clown no Enchi", "enchi", 1, 1, (1.0, 0.0), 1 / 4),
    ],
)
def test_kind_law__visible_gene(
    want: str, gene: str, sire: int, dam: int, level: tuple[float, float], chance: float
) -> None:
    """One and two copies are told apart only where they look different."""
    stock = herd(males=[(sire,)], females=[(dam,)], genes=(gene,))
    asked = tables(want)
    kind = Kind(tuple(level if one.locus == gene else ANY for one in asked.target.genes))
    assert kind_law(stock, "m0", "f0", kind, asked).per_hatchling == pytest.approx(chance)


def test_kind_law__mixes_over_the_parents() -> None:
    """A dam who carries nothing gives no visual, however many young: half the weight stays at nothing."""
    stock = herd(males=[("vis", 1)], females=[("50", 0)], genes=("clown", "enchi"))
    law = kind_law(stock, "m0", "f0", Kind((VISUAL, HET), Sex.FEMALE), tables("Clown Enchi"))
    assert {(state.weight, state.male, state.female) for state in law.states} == {(0.5, 0.0, 0.125), (0.5, 0.0, 0.0)}


def test_kind_law__banana_by_sex() -> None:
    """Banana of a sire who got it from his sire goes to sons, but for crossing over."""
    stock = herd(males=["Banana male maker"], females=["normal"])
    asked = tables("Banana")
    sons, daughters = (kind_law(stock, "m0", "f0", Kind((HET,), sex), asked) for sex in (Sex.MALE, Sex.FEMALE))
    linkage = load().loci["banana"].sex_linkage
    assert linkage is not None
    assert sons.per_hatchling == pytest.approx(0.5 * (1 - linkage.r.value))
    assert daughters.per_hatchling == pytest.approx(0.5 * linkage.r.value)


@pytest.mark.parametrize("rows", [("Lesser", "Mojave"), ("Lesser", "Lesser")])
def test_looks_of__sum_to_one(rows: tuple[Row, Row]) -> None:
    stock = herd(males=[rows[0]], females=[rows[1]])
    asked = tables("Lesser Mojave")
    looks = looks_of(stock.genes.couple("m0", "f0", asked.loci), asked)["bel"]
    assert sum(look.chance[0] for look in looks) == pytest.approx(1.0)
    assert all(sum(look.beliefs[sex].values()) == pytest.approx(1.0) for look in looks for sex in (0, 1))


@pytest.mark.parametrize(
    "sire,dam,phase", [("Banana", "normal", 1.0), ("normal", "Banana", 0.0), ("normal", "normal", 0.5)]
)
def test_phase_of_young__lies_with_the_parent_that_gave_it(sire: str, dam: str, phase: float) -> None:
    stock = herd(males=[sire], females=[dam])
    asked = tables("Banana")
    assert phase_of_young(stock.genes.couple("m0", "f0", asked.loci), "banana", asked) == phase


def test_kind_of__an_animal_at_hand() -> None:
    stock = herd(males=[("66", 2)], females=[], genes=("clown", "enchi"))
    clown, enchi = kind_of(stock, "m0", tables("Clown Enchi").target.genes)
    assert clown == pytest.approx((2 / 3, 0.0))
    assert enchi == (1.0, 1.0)
    assert kind_of(stock, "m0", tables("het Clown no Enchi").target.genes)[1] == (0.0, 0.0)


def test_kind_words__what_is_refused_is_not_said() -> None:
    target = tables("Clown Super Enchi no Spider").target
    assert (
        kind_words(Kind((VISUAL, VISUAL, (1.0, 0.0))), target) == "an animal that shows Clown and two copies of Enchi"
    )
    assert kind_words(Kind((ANY, ANY, (1.0, 0.0)), Sex.FEMALE), target) == "a female of any look"
