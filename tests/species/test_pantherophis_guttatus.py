"""A second species, ZW: nothing about ball pythons stands in code. Facts from memory, as the file says."""

from __future__ import annotations

from pathlib import Path

import pytest

from holdback.collection.model import Sex
from holdback.species import Catalogue, load, loading
from holdback.species.model import WILD, Combo, Mark


@pytest.fixture(scope="module")
def corn() -> Catalogue:
    return load("pantherophis_guttatus")


def test_load__another_species_with_its_own_sex_system(corn: Catalogue) -> None:
    assert (corn.name, corn.sex_system) == ("Pantherophis guttatus", "ZW")
    assert corn.is_heterogametic(Sex.FEMALE)
    assert not corn.is_heterogametic(Sex.MALE)
    assert load().is_heterogametic(Sex.MALE)
    assert not load().is_heterogametic(Sex.FEMALE)
    assert not load().is_heterogametic(Sex.UNKNOWN)


def test_alleles__fifteen_or_more_all_from_memory(corn: Catalogue) -> None:
    assert len(corn.alleles) >= 15
    marks = [each.mark for each in corn.alleles.values()] + [each.mark for each in corn.loci.values()]
    marks += [each.mark for each in corn.combos.values()] + [each.mark for each in corn.reproduction.values()]
    assert set(marks) == {Mark.MEMORY}
    assert {row.mark for row in corn.growth} == {Mark.MEMORY}


@pytest.mark.parametrize(
    "locus, pair, label",
    [
        ("amel", (WILD, "amelanistic"), ""),
        ("amel", ("amelanistic", "ultra"), "Ultramel"),
        ("motley", ("motley", "stripe"), "Striped Motley"),
        ("tessera", ("tessera", "tessera"), "Tessera"),
        ("tessera", (WILD, "tessera"), "Tessera"),
        ("palmetto", ("palmetto", "palmetto"), "Super Palmetto"),
        ("hypo", ("hypomelanistic", "strawberry"), "Hypomelanistic Strawberry"),
    ],
)
def test_look__crosses_rest_on_it(corn: Catalogue, locus: str, pair: tuple[str, str], label: str) -> None:
    assert corn.look(locus, pair).label == label


@pytest.mark.parametrize(
    "name, genes",
    [
        ("Snow", {"amelanistic", "anerythristic"}),
        ("Blizzard", {"amelanistic", "charcoal"}),
        ("Butter", {"amelanistic", "caramel"}),
        ("Opal", {"amelanistic", "lavender"}),
        ("Amber", {"caramel", "hypomelanistic"}),
        ("Ghost", {"anerythristic", "hypomelanistic"}),
    ],
)
def test_combos__two_copies_of_each(corn: Catalogue, name: str, genes: set[str]) -> None:
    combo = corn.find(name)
    assert isinstance(combo, Combo)
    assert set(combo.genotypes.values()) == {(gene, gene) for gene in genes}


def test_code__holds_no_word_of_either_species(corn: Catalogue) -> None:
    words = {form for each in (corn, load()) for form in (*each.alleles, *each.loci) if len(form) > 5}
    for path in Path(loading.__file__).parent.glob("*.py"):
        code = [line for line in path.read_text("utf-8").splitlines() if "=" in line and ">>>" not in line]
        strings = {part.strip() for line in code for part in line.split('"')[1::2]}
        assert not strings & (words - {"python_regius"}), path.name
