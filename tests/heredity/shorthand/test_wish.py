"""Wishes in shorthand."""

from __future__ import annotations

import pytest

from holdback.collection.model import Sex
from holdback.errors import ShorthandError
from holdback.heredity.shorthand import read_wish
from holdback.species.catalogue import load

REGIUS = load()


def test_read_wish__shown_gene_is_one_copy_or_two() -> None:
    wish = read_wish("Enchi", REGIUS)
    assert wish.loci == {"enchi": {("+", "enchi"), ("enchi", "enchi")}}
    assert wish.sex is Sex.UNKNOWN


def test_read_wish__recessive_shows_with_two_copies() -> None:
    assert read_wish("Puzzle", REGIUS).loci == {"puzzle": {("puzzle", "puzzle")}}


def test_read_wish__het_is_carried_at_least_once() -> None:
    assert read_wish("het Puzzle", REGIUS).loci == {"puzzle": {("+", "puzzle"), ("puzzle", "puzzle")}}


def test_read_wish__super_is_two_and_no_is_none() -> None:
    wish = read_wish("Super Enchi, no Champagne", REGIUS)
    assert wish.loci == {"enchi": {("enchi", "enchi")}, "champagne": {("+", "+")}}


def test_read_wish__equivalents_do_for_each_other() -> None:
    pairs = read_wish("Banana", REGIUS).loci["banana"]
    assert pairs == set(REGIUS.pairs("banana")) - {("+", "+")}
    assert read_wish("Coral Glow", REGIUS).loci["banana"] == pairs


def test_read_wish__compound_needs_both() -> None:
    assert read_wish("Mojave Phantom", REGIUS).loci["bel"] == {("mojave", "phantom")}
    assert read_wish("Highway", REGIUS).loci["yb"] == {("gravel", "yellow-belly")}


def test_read_wish__combo_and_sex() -> None:
    wish = read_wish("female Killer Clown", REGIUS)
    assert wish.sex is Sex.FEMALE
    assert wish.loci["clown"] == {("clown", "clown")}
    assert ("lemon-pastel", "pastel") in wish.loci["pastel"]
    assert ("+", "pastel") not in wish.loci["pastel"]


@pytest.mark.parametrize(
    "text, codes",
    [
        ("Clwon", {"SHO-101"}),
        ("66% het Clown", {"SHO-103"}),
        ("poss het Clown", {"SHO-102"}),
        ("Bumblebee Pastel", {"SHO-102"}),
        ("BP", {"SHO-102"}),
        ("", {"SHO-104"}),
        ("Super Mojave Lesser", {"SHO-102"}),
        ("Clwon 66% het Pied", {"SHO-101", "SHO-103"}),
    ],
)
def test_read_wish__refuses_with_all_faults(text: str, codes: set[str]) -> None:
    with pytest.raises(ShorthandError) as caught:
        read_wish(text, REGIUS)
    assert {fault.code for fault in caught.value.faults} == codes


def test_read_wish__says_what_was_meant() -> None:
    with pytest.raises(ShorthandError, match=r"SHO-101: 'Clwon' was not read\. Did you mean Clown\?"):
        read_wish("Enchi Clwon", REGIUS)
