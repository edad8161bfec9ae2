"""The ball python file against lists kept beside this test: what the trade's gene list holds, entry by entry."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from holdback.species import Catalogue, load
from holdback.species.model import WILD, Allele, Combo, Inheritance, Mark, NotAGene, Pair, pair

HERE = Path(__file__).parent


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


def allele_named(catalogue: Catalogue, name: str) -> Allele:
    found = catalogue.find(name)
    assert isinstance(found, Allele), f"{name} is {found}"
    return found


def reference_genotypes(catalogue: Catalogue, formula: str) -> dict[str, Pair]:
    """Pairs from "Super Pastel + Mojave / Mystic": one copy, two of a super or a recessive, a slash for one of each."""
    genotypes: dict[str, Pair] = {}
    for part in formula.split(" + "):
        if "/" in part:
            first, second = (allele_named(catalogue, name.strip()) for name in part.split("/"))
            keys = first.key, second.key
        else:
            allele = allele_named(catalogue, part.removeprefix("Super "))
            double = part.startswith("Super ") or allele.inheritance is Inheritance.RECESSIVE
            first, keys = allele, (allele.key, allele.key if double else WILD)
        assert first.locus not in genotypes
        genotypes[first.locus] = pair(*keys)
    return genotypes


@pytest.mark.parametrize("row", rows("numbered_genes.csv"), ids=lambda row: row["name"])
def test_alleles__every_listed_gene_with_its_class_and_mark(catalogue: Catalogue, row: dict[str, str]) -> None:
    allele = allele_named(catalogue, row["name"])
    assert allele.name == row["name"]
    assert allele.inheritance == row["inheritance"]
    assert allele.mark == row["mark"]


def test_alleles__nothing_beyond_the_list_but_the_unnamed_axanthic(catalogue: Catalogue) -> None:
    listed = rows("numbered_genes.csv")
    assert [int(row["number"]) for row in listed] == list(range(1, 167))
    assert {allele.name for allele in catalogue.alleles.values()} - {row["name"] for row in listed} == {
        "Axanthic, line not named"
    }


def test_alleles__published_ones_are_exactly_those_with_a_paper(catalogue: Catalogue) -> None:
    published = {allele.key for allele in catalogue.alleles.values() if allele.mark is Mark.PUBLISHED}
    assert published == {"albino", "ultramel", "clown", "coral-glow", "piebald", "lavender-albino"}
    for key in published:
        assert catalogue.alleles[key].source.split(", ")[0] in catalogue.sources


def test_alleles__genes_not_vouched_for_say_so(catalogue: Catalogue) -> None:
    last = {row["name"] for row in rows("numbered_genes.csv") if int(row["number"]) >= 113}
    unsure = [allele for allele in catalogue.alleles.values() if allele.name in last]
    assert len(unsure) == 54
    assert all("vouched" in allele.note and allele.locus == allele.key for allele in unsure)


@pytest.mark.parametrize("row", rows("abbreviations.csv"), ids=lambda row: row["written"])
def test_find__short_forms_and_names_that_mislead(catalogue: Catalogue, row: dict[str, str]) -> None:
    found = catalogue.find(row["written"])
    assert found is not None
    assert found.name == row["means"]


@pytest.mark.parametrize("row", rows("combos.csv"), ids=lambda row: row["name"])
def test_combos__ingredients(catalogue: Catalogue, row: dict[str, str]) -> None:
    combo = catalogue.find(row["name"])
    assert isinstance(combo, Combo)
    assert dict(combo.genotypes) == reference_genotypes(catalogue, row["ingredients"])
    assert [catalogue.alleles[key].name for key in combo.optional] == ([row["optional"]] if row["optional"] else [])
    assert combo.mark == row["mark"]


def test_combos__a_name_that_leaves_the_genes_open_states_none(catalogue: Catalogue) -> None:
    for name in ("Blue-eyed Lucy", "het leucistic"):
        combo = catalogue.find(name)
        assert isinstance(combo, Combo)
        assert not combo.genotypes
        assert "does not say which" in combo.note


@pytest.mark.parametrize(
    "names",
    [
        ["Mojave", "Lesser", "Butter", "Mocha", "Mystic", "Phantom", "Russo", "Bamboo", "Special", "Daddy", "Cherry"],
        ["Fire", "Vanilla", "Disco", "Thunder", "Lemonback", "Flame", "Sulfur", "Ember", "Brite"],
        ["Yellow Belly", "Gravel", "Asphalt", "Specter", "Spark", "Goblin"],
        ["Cinnamon", "Black Pastel", "Het Red Axanthic", "Huffman"],
        ["Spider", "Black Head"],
        ["Albino", "Candy", "Toffee"],
        ["Ultramel", "Crider", "Monarch"],
        ["Clown", "Cryptic"],
        ["Banana", "Coral Glow"],
        ["Pastel", "Lemon Pastel", "Graziani Pastel", "Citrus Pastel", "Pastel, another line"],
        ["Ghost", "Orange Ghost", "Yellow Ghost", "Butterscotch Ghost", "Citrus Hypo"],
    ],
    ids=lambda names: names[0],
)
def test_loci__complexes_hold_their_genes_and_no_others(catalogue: Catalogue, names: list[str]) -> None:
    locus = catalogue.locus_of(allele_named(catalogue, names[0]).key)
    assert {catalogue.alleles[key].name for key in locus.alleles} == set(names)


def test_loci__all_others_stand_alone(catalogue: Catalogue) -> None:
    shared = [locus.key for locus in catalogue.loci.values() if len(locus.alleles) > 1]
    assert shared == [
        "bel",
        "blkel",
        "yb",
        "eightball",
        "spider",
        "albino",
        "ultramel",
        "clown",
        "banana",
        "ghost",
        "pastel",
    ]


def test_loci__axanthic_lines_are_never_merged(catalogue: Catalogue) -> None:
    lines = [allele for allele in catalogue.alleles.values() if "Axanthic" in allele.name and "Red" not in allele.name]
    assert len(lines) == 7
    assert len({allele.locus for allele in lines}) == 7
    assert not any(allele.same_as for allele in lines)


def test_same_as__equivalents_and_those_kept_apart(catalogue: Catalogue) -> None:
    same = {key: allele.same_as for key, allele in catalogue.alleles.items() if allele.same_as}
    assert same == {
        "butter": "lesser",
        "coral-glow": "banana",
        "toffee": "candy",
        **dict.fromkeys(("lemon-pastel", "graziani-pastel", "citrus-pastel", "other-pastel-line"), "pastel"),
        **dict.fromkeys(("orange-ghost", "yellow-ghost", "butterscotch-ghost", "citrus-hypo"), "ghost"),
    }
    assert "from memory" in catalogue.alleles["phantom"].note


def test_lethal__two_copies_and_when(catalogue: Catalogue) -> None:
    lethal = {key: (each.lethal, each.lethal_stage) for key, each in catalogue.alleles.items() if each.lethal}
    assert lethal == {
        "spider": (1.0, "in egg"),
        "champagne": (1.0, "in egg"),
        "hidden-gene-woma": (1.0, "after hatching"),
    }


def test_together__spider_with_champagne_only_is_lethal(catalogue: Catalogue) -> None:
    assert {(each.alleles, each.lethal_stage) for each in catalogue.together if each.lethal == 1.0} == {
        (("spider", "champagne"), "in egg")
    }


FLAGS = {
    "neurological": {
        ("spider", 1),
        ("woma", 1),
        ("hidden-gene-woma", 1),
        ("champagne", 1),
        ("spotnose", 2),
        ("sable", 2),
    },
    "lethal": {("spider", 2), ("champagne", 2), ("hidden-gene-woma", 2)},
    "kinking": {("cinnamon", 2), ("black-pastel", 2), ("caramel-albino", 2)},
    "female fertility": {("desert", 1), ("caramel-albino", 2)},
    "eyes": {("lesser", 2), ("butter", 2), ("piebald", 2)},
    "husbandry": {("scaleless-head", 2)},
    "hatchling vigour": {("scaleless-head", 2)},
}


@pytest.mark.parametrize("kind", FLAGS)
def test_flags__carriers(catalogue: Catalogue, kind: str) -> None:
    found = {(key, flag.copies) for key, each in catalogue.alleles.items() for flag in each.flags if flag.kind == kind}
    assert found == FLAGS[kind]


def test_flags__only_the_spider_wobble_is_published(catalogue: Catalogue) -> None:
    published = [
        (key, flag.kind) for key, each in catalogue.alleles.items() for flag in each.flags if flag.mark == "published"
    ]
    assert published == [("spider", "neurological")]


def test_pairing_cautions__every_restricted_pairing_says_what_to_do(catalogue: Catalogue) -> None:
    levels = {caution.code: caution.level for caution in catalogue.pairing_cautions}
    stop = [
        "spider-spider",
        "champagne-champagne",
        "hgw-hgw",
        "spider-champagne",
        "champagne-hgw",
        "sable-spider",
        "desert-female",
    ]
    think = ["eightball-two", "lesser-two", "wobble", "caramel-two"]
    assert all(levels[code] == "stop" for code in stop)
    assert all(levels[code] == "think" for code in think)
    desert = next(each for each in catalogue.pairing_cautions if each.code == "desert-female")
    assert desert.dam_only
    assert (desert.sire, desert.dam) == ((), ("desert",))
    assert "reptile vet" in desert.message


@pytest.mark.parametrize(
    "word", ["large-bodied line", "high-white", "low white", "classic jungle", "banded", "ringer", "dinkers", "paradox"]
)
def test_not_genes__words_that_name_no_gene(catalogue: Catalogue, word: str) -> None:
    assert isinstance(catalogue.find(word), NotAGene)


def test_sex_linkage__banana_only(catalogue: Catalogue) -> None:
    linked = [locus for locus in catalogue.loci.values() if locus.sex_linkage]
    assert [locus.key for locus in linked] == ["banana"]
    assert linked[0].sex_linkage is not None
    r = linked[0].sex_linkage.r
    assert (r.value, r.low, r.high, r.mark) == (0.07, 0.05, 0.10, Mark.MEMORY)


def test_linkage__none_listed_and_the_file_says_why(catalogue: Catalogue) -> None:
    assert catalogue.linkages == ()
    assert "No published linkage map" in catalogue.notes["linkage"]


REPRODUCTION = {
    "clutch_size_mean": (6.83, Mark.PUBLISHED),
    "clutch_size_sd": (2, Mark.MEMORY),
    "clutch_size_min": (1, Mark.MEMORY),
    "clutch_size_max": (15, Mark.PUBLISHED),
    "hatch_rate": (0.81, Mark.PUBLISHED),
    "slug_rate": (0.10, Mark.COMMON),
    "lays_proven": (0.7, Mark.COMMON),
    "lays_first": (0.5, Mark.COMMON),
    "laying_after_prelay_shed_days": (30, Mark.COMMON),
    "laying_after_ovulation_days": (50, Mark.COMMON),
    "incubation_days": (57, Mark.COMMON),
    "female_breeding_mass_g": (1500, Mark.COMMON),
    "female_breeding_age_years": (3, Mark.COMMON),
    "male_breeding_mass_g": (600, Mark.COMMON),
    "male_breeding_age_months": (12, Mark.COMMON),
    "females_per_male": (4, Mark.COMMON),
}


@pytest.mark.parametrize("key", REPRODUCTION)
def test_reproduction__defaults_with_marks(catalogue: Catalogue, key: str) -> None:
    value = catalogue.reproduction[key]
    assert (value.value, value.mark) == REPRODUCTION[key]
    assert value.low <= value.value <= value.high


def test_growth__both_sexes_at_eight_ages(catalogue: Catalogue) -> None:
    at = {(row.age_months, row.sex): (row.low_g, row.high_g) for row in catalogue.growth}
    assert len(at) == 16
    assert (at[12, "female"], at[36, "male"]) == ((350.0, 800.0), (800.0, 1300.0))


def test_ease__genes_hard_to_tell_say_so_with_rates(catalogue: Catalogue) -> None:
    for name in ("Yellow Belly", "Gravel", "Asphalt", "Specter", "Spark", "Goblin", "Fire", "Mocha"):
        allele = allele_named(catalogue, name)
        assert allele.ease_one != "plain"
        assert allele.missed >= 0.05
    assert "assumption" in catalogue.notes["eye"]
