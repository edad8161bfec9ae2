"""Names as people type them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.species import Catalogue, load
from holdback.species.model import NotAGene
from holdback.species.naming import Entry, index_of, nearest_name, normal_form, slug_of, spellings, title_of

REGIUS = load()


@given(st.text())
def test_normal_form__twice_is_once(text: str) -> None:
    assert normal_form(normal_form(text)) == normal_form(text)


@given(st.sampled_from(sorted(REGIUS.names())), st.sampled_from(["", " ", "-", "_", "'"]))
def test_find__case_and_hyphens_do_not_count(form: str, between: str) -> None:
    assert REGIUS.find(between.join(form.upper())) is REGIUS.names()[form]


@pytest.mark.parametrize("catalogue", [REGIUS, load("pantherophis_guttatus")], ids=lambda each: each.key)
def test_names__every_spelling_of_every_entry(catalogue: Catalogue) -> None:
    entries: list[Entry] = [*catalogue.alleles.values(), *catalogue.combos.values(), *catalogue.not_genes]
    forms = {normal_form(spelling): entry for entry in entries for spelling in spellings(entry)}
    assert dict(catalogue.names()) == forms


@pytest.mark.parametrize(
    "written, name",
    [("bumblebees", "Bumblebee"), ("Fireflies", "Firefly"), ("Enchis", "Enchi"), ("Lucifer", "Lucifer")],
)
def test_find__plural(written: str, name: str) -> None:
    found = REGIUS.find(written)
    assert found is not None
    assert found.name == name


def test_find__an_exact_name_comes_before_a_plural() -> None:
    assert isinstance(REGIUS.find("flames"), NotAGene)
    assert REGIUS.find("flame") is REGIUS.alleles["flame"]


@pytest.mark.parametrize("text", ["", "s", "   ", "no such thing"])
def test_find__nothing(text: str) -> None:
    assert REGIUS.find(text) is None


@pytest.mark.parametrize(
    "typed, name", [("pasel", "Pastel"), ("Mojavi", "Mojave"), ("bumble be", "Bumblebee"), ("pinstrip", "Pinstripe")]
)
def test_suggest__nearest_name(typed: str, name: str) -> None:
    assert REGIUS.suggest(typed) == name


def test_suggest__nothing_near() -> None:
    assert REGIUS.suggest("qqqqqqq") == ""
    assert nearest_name({}, "pastel") == ""


def test_index_of__two_entries_with_one_name_are_a_fault() -> None:
    first = NotAGene("one", ("same name",), "text", REGIUS.not_genes[0].mark)
    second = NotAGene("two", ("Same-Name",), "text", REGIUS.not_genes[0].mark)
    index, faults = index_of([first, second])
    assert index["samename"] is first
    assert [(fault.code, fault.value) for fault in faults] == [("SPE-023", "Same-Name")]
    assert "both one and two" in faults[0].what


def test_slug_and_title__from_a_key_and_back() -> None:
    assert title_of(slug_of("Killer Bee")) == "Killer Bee"
    assert slug_of("Blue-eyed Lucy") == "blue-eyed-lucy"
