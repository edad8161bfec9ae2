"""What can be seen of a pair: named looks, rules, equivalents."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.species import Catalogue, load
from holdback.species.model import WILD, Ease, Inheritance, Mark, pair

REGIUS = load()
GUTTATUS = load("pantherophis_guttatus")


def label(locus: str, first: str, second: str) -> str:
    return REGIUS.look(locus, pair(first, second)).label


@pytest.mark.parametrize(
    "locus, first, second, expected",
    [
        ("pastel", WILD, "pastel", "Pastel"),
        ("pastel", "pastel", "pastel", "Super Pastel"),
        ("clown", WILD, "clown", ""),
        ("clown", "clown", "clown", "Clown"),
        ("clown", "clown", "cryptic", "Clown Cryptic"),
        ("clown", WILD, "cryptic", "Cryptic"),
        ("albino", "albino", "candy", "Candino"),
        ("albino", "albino", "toffee", "Candino"),
        ("albino", "candy", "toffee", "Candy"),
        ("ultramel", "crider", "ultramel", "Ultramel Crider"),
        ("bel", "mojave", "special", "Crystal"),
        ("bel", "lesser", "mystic", "Lesser Mystic"),
        ("bel", "butter", "mystic", "Lesser Mystic"),
        ("bel", "daddy", "butter", "Platinum"),
        ("bel", "mystic", "mystic", "Super Mystic"),
        ("bel", "mystic", "phantom", "Mystic Phantom"),
        ("blkel", "fire", "fire", "Black-eyed Lucy"),
        ("blkel", "fire", "vanilla", "Vanilla Cream"),
        ("yb", "yellow-belly", "yellow-belly", "Ivory"),
        ("yb", "specter", "yellow-belly", "Super Stripe"),
        ("yb", "gravel", "specter", "Gravel Specter"),
        ("eightball", "black-pastel", "cinnamon", "8-Ball"),
        ("eightball", "het-red-axanthic", "het-red-axanthic", "Red Axanthic"),
        ("spider", "black-head", "spider", "Spider Black Head"),
        ("hidden-gene-woma", "hidden-gene-woma", "hidden-gene-woma", "Pearl"),
        ("axanthic", "axanthic", "axanthic", "Axanthic, line not named"),
    ],
)
def test_look__label(locus: str, first: str, second: str, expected: str) -> None:
    assert label(locus, first, second) == expected


@pytest.mark.parametrize("key", ["pinstripe", "calico", "desert"])
def test_look__dominant_shows_the_same_with_one_and_two_copies(key: str) -> None:
    one = REGIUS.look(key, (WILD, key))
    assert one is not None
    assert one == REGIUS.look(key, (key, key))
    assert one.key == f"{key}:1"


WHITE = ("mojave", "lesser", "butter", "russo", "mocha")


@given(st.sampled_from(WHITE), st.sampled_from(WHITE))
def test_look__every_white_pair_is_one_look_that_hides_all(first: str, second: str) -> None:
    look = REGIUS.look("bel", pair(first, second))
    assert (look.key, look.label, look.hides) == ("bel:white", "Blue-eyed Lucy", "all")


def test_look__only_white_animals_hide_everything() -> None:
    hiding = {
        REGIUS.look(locus, alleles).label
        for locus in REGIUS.loci
        for alleles in REGIUS.pairs(locus)
        if REGIUS.look(locus, alleles).hides
    }
    assert hiding == {"Blue-eyed Lucy", "Black-eyed Lucy", "Super Lemonback"}


def test_look__wild_type_look_names_nothing() -> None:
    look = REGIUS.look("bel", (WILD, WILD))
    assert (look.key, look.label, look.alleles, look.text, look.hides) == ("bel:", "", (), "", "")


def test_look__unnamed_compound_is_as_hard_as_its_harder_half_and_from_memory() -> None:
    look = REGIUS.look("bel", ("daddy", "mystic"))
    assert (look.label, look.ease, look.mark) == ("Mystic Daddy", Ease.HARD, Mark.MEMORY)


def test_look__names_the_alleles_of_its_label() -> None:
    assert REGIUS.look("yb", ("gravel", "yellow-belly")).alleles == ("gravel", "yellow-belly")
    assert REGIUS.look("yb", ("yellow-belly", "yellow-belly")).alleles == ("yellow-belly",)
    assert REGIUS.look("bel", ("lesser", "mojave")).alleles == ()


def test_look__refuses_an_allele_of_another_locus() -> None:
    with pytest.raises(KeyError, match="'pastel' is no allele of 'bel'"):
        REGIUS.look("bel", (WILD, "pastel"))


every_pair = st.sampled_from(
    [(each, locus, alleles) for each in (REGIUS, GUTTATUS) for locus in each.loci for alleles in each.pairs(locus)]
)


@given(every_pair)
def test_look__order_of_the_pair_changes_nothing(case: tuple[Catalogue, str, tuple[str, str]]) -> None:
    catalogue, locus, (first, second) = case
    assert catalogue.look(locus, (second, first)) == catalogue.look(locus, (first, second))


@given(every_pair)
def test_look__equivalents_may_stand_for_each_other(case: tuple[Catalogue, str, tuple[str, str]]) -> None:
    catalogue, locus, alleles = case
    stand = [key if key == WILD else catalogue.stands_for(key) for key in alleles]
    assert catalogue.look(locus, alleles) == catalogue.look(locus, pair(*stand))
    assert catalogue.lethality(locus, alleles) == catalogue.lethality(locus, pair(*stand))


@given(every_pair)
def test_look__shows_something_just_when_the_classes_say_so(case: tuple[Catalogue, str, tuple[str, str]]) -> None:
    catalogue, locus, alleles = case
    named = [catalogue.alleles[key] for key in alleles if key != WILD]
    shows = len(named) == 2 or any(each.inheritance is not Inheritance.RECESSIVE for each in named)
    assert bool(catalogue.look(locus, alleles).label) == shows
    assert catalogue.look(locus, alleles).key.startswith(f"{locus}:")


@pytest.mark.parametrize("catalogue", [REGIUS, GUTTATUS], ids=lambda each: each.key)
def test_look__one_key_one_look(catalogue: Catalogue) -> None:
    by_key: dict[str, object] = {}
    for locus in catalogue.loci:
        for alleles in catalogue.pairs(locus):
            look = catalogue.look(locus, alleles)
            assert by_key.setdefault(look.key, look) == look


@given(every_pair)
def test_pairs__sorted_complete_and_once(case: tuple[Catalogue, str, tuple[str, str]]) -> None:
    catalogue, locus, alleles = case
    pairs = catalogue.pairs(locus)
    count = len(catalogue.loci[locus].alleles)
    assert alleles == pair(*alleles)
    assert len(set(pairs)) == len(pairs) == (count + 1) * (count + 2) // 2


@given(st.text(max_size=4), st.text(max_size=4))
def test_pair__unordered(first: str, second: str) -> None:
    assert pair(first, second) == pair(second, first)
    assert sorted(pair(first, second)) == sorted([first, second])
