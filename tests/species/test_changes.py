"""A keeper's own genes and edits."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from holdback.errors import SpeciesError
from holdback.species import load
from holdback.species.changes import laid_over, marked
from holdback.species.model import WILD, Allele, Mark

REGIUS = load()


def test_changed__adds_a_gene_of_ones_own() -> None:
    own = REGIUS.changed({"allele": {"marl": {"inheritance": "incomplete dominant", "one_copy": "chalky"}}})
    marl = own.find("Marl")
    assert isinstance(marl, Allele)
    assert (marl.locus, marl.mark) == ("marl", Mark.OWN)
    assert own.loci["marl"].mark is Mark.OWN
    assert own.look("marl", ("marl", "marl")).label == "Super Marl"
    assert REGIUS.find("Marl") is None
    assert own.digest != REGIUS.digest


def test_changed__adds_a_gene_to_a_complex_and_a_look_of_a_pair() -> None:
    own = REGIUS.changed(
        {
            "allele": {"marl": {"inheritance": "incomplete dominant", "locus": "bel"}},
            "look": [{"locus": "bel", "label": "Marl Moon", "pairs": [["marl", "mojave"]], "hides": "all"}],
        }
    )
    assert own.look("bel", ("marl", "mojave")).label == "Marl Moon"
    assert own.look("bel", ("marl", "mojave")).mark is Mark.OWN
    assert own.look("bel", ("lesser", "marl")).label == "Lesser Marl"
    assert own.combos["marl-moon"].genotypes == {"bel": ("marl", "mojave")}


def test_changed__edits_only_the_fields_named_and_takes_over_the_mark() -> None:
    own = REGIUS.changed({"allele": {"clown": {"inheritance": "incomplete dominant"}}})
    clown, before = own.alleles["clown"], REGIUS.alleles["clown"]
    assert own.look("clown", (WILD, "clown")).label == "Clown"
    assert (clown.mark, clown.source) == (Mark.OWN, "")
    assert (clown.two_copies, clown.aliases) == (before.two_copies, before.aliases)


def test_changed__an_alias_leaves_the_mark_as_it_was() -> None:
    own = REGIUS.changed({"allele": {"clown": {"aliases": ["harlo"]}}})
    assert own.find("harlo") is own.alleles["clown"]
    assert own.alleles["clown"].mark is Mark.PUBLISHED
    assert own.alleles["clown"].source == "P-Clown"


def test_changed__an_equivalence_can_be_made_and_cleared() -> None:
    own = REGIUS.changed({"allele": {"phantom": {"same_as": "mystic"}, "butter": {"same_as": ""}}})
    assert own.look("bel", ("mojave", "phantom")).label == "Mystic Potion"
    assert own.look("bel", (WILD, "butter")).label == "Butter"


def test_changed__a_default_gets_its_own_range_and_mark() -> None:
    own = REGIUS.changed({"reproduction": {"hatch_rate": {"value": 0.95}}})
    rate = own.reproduction["hatch_rate"]
    assert (rate.value, rate.low, rate.high, rate.mark, rate.source) == (0.95, 0.95, 0.95, Mark.OWN, "")
    assert own.reproduction["incubation_days"] == REGIUS.reproduction["incubation_days"]


def test_changed__recombination_can_be_set() -> None:
    r = {"value": 0.09, "low": 0.06, "high": 0.12}
    own = REGIUS.changed({"locus": {"banana": {"sex_linkage": {"r": r, "alpha": 9, "beta": 91}}}})
    linkage = own.loci["banana"].sex_linkage
    assert linkage is not None
    assert (linkage.r.value, linkage.alpha, linkage.beta) == (0.09, 9, 91)
    linked = REGIUS.changed({"linkage": [{"loci": ["clown", "piebald"], "r": {"value": 0.2, "low": 0.1, "high": 0.3}}]})
    assert [(each.loci, each.r.value) for each in linked.linkages] == [(("clown", "piebald"), 0.2)]


def test_changed__rows_replace_the_row_they_name_and_are_added_otherwise() -> None:
    spider = {"code": "spider-spider", "level": "note", "sire": ["spider"], "dam": ["spider"], "message": "Mine."}
    own = REGIUS.changed({"pairing": [spider], "not_a_gene": [{"name": "house look", "text": "Ours."}]})
    assert len(own.pairing_cautions) == len(REGIUS.pairing_cautions)
    caution = next(each for each in own.pairing_cautions if each.code == "spider-spider")
    assert (caution.level, caution.mark) == ("note", Mark.OWN)
    assert own.not_genes[-1].name == "house look"


def test_changed__twice_equals_both_at_once() -> None:
    first: dict[str, Any] = {"allele": {"marl": {"inheritance": "recessive"}}}
    second: dict[str, Any] = {"allele": {"loam": {"inheritance": "dominant"}}}
    both = {"allele": {**first["allele"], **second["allele"]}}
    assert REGIUS.changed(first).changed(second) == REGIUS.changed(both)


def test_changed__nothing_is_itself() -> None:
    assert REGIUS.changed({}) is REGIUS
    assert load(changes={}) is load()


def test_changed__all_faults_of_a_bad_change_together() -> None:
    patch = {
        "allele": {
            "marl": {"inheritance": "codominant", "locus": "nowhere", "aliases": ["OD"]},
            "loam": {"inheritance": "recessive", "lethal": 1.5, "colour": "grey"},
            "clay": {},
        },
        "combo": {
            "three": {"one": ["mojave", "lesser", "phantom"]},
            "lost": {"one": ["pastel", "nothing"]},
            "again": {"one": ["enchi", "enchi"]},
        },
        "together": [{"alleles": ["spider"], "text": "x", "lethal": 1}],
        "extra": 1,
    }
    with pytest.raises(SpeciesError) as caught:
        REGIUS.changed(patch)
    found = {(fault.code, fault.field) for fault in caught.value.faults}
    assert found == {
        ("SPE-012", "allele.marl.inheritance"),
        ("SPE-020", "allele.marl.locus"),
        ("SPE-023", "marl"),
        ("SPE-013", "allele.loam.lethal"),
        ("SPE-011", "allele.loam.colour"),
        ("SPE-010", "allele.clay.inheritance"),
        ("SPE-024", "combo.three"),
        ("SPE-021", "combo.lost.one"),
        ("SPE-022", "combo.again"),
        ("SPE-010", "together.alleles"),
        ("SPE-026", "together.lethal_stage"),
        ("SPE-011", "extra"),
    }
    assert all(fault.what and fault.hint for fault in caught.value.faults)


def test_laid_over__changes_neither_side() -> None:
    data = {"allele": {"a": {"inheritance": "recessive"}}, "look": [{"locus": "a", "label": "A"}], "name": "x"}
    patch = {"allele": {"a": {"locus": "b"}}, "look": [{"locus": "a", "label": "A", "text": "t"}], "name": "y"}
    kept = copy.deepcopy((data, patch))
    merged = laid_over(data, patch)
    assert (data, patch) == kept
    assert merged["name"] == "y"
    assert merged["look"] == [{"mark": "your own", "locus": "a", "label": "A", "text": "t"}]


def test_laid_over__keeps_what_has_the_wrong_shape_for_the_reader_to_report() -> None:
    with pytest.raises(SpeciesError) as caught:
        REGIUS.changed({"allele": {"marl": 3}, "combo": 4, "look": [5], "reproduction": {"hatch_rate": 0.9}})
    assert {fault.code for fault in caught.value.faults} >= {"SPE-010"}
    assert {"allele.marl", "combo", "look", "reproduction.hatch_rate"} <= {fault.field for fault in caught.value.faults}


def test_marked__fills_only_what_states_no_mark() -> None:
    data = {
        "default_mark": "from memory",
        "group": {"sure": {"mark": "published"}, "plain": {}},
        "allele": {"a": {}, "b": {"mark": "your own"}, "c": {"group": "sure"}, "d": {"group": "plain"}},
        "growth": [{"age_months": 1}],
    }
    filled = marked(data)
    assert filled["allele"] == {
        "a": {"mark": "from memory"},
        "b": {"mark": "your own"},
        "c": {"group": "sure"},
        "d": {"group": "plain", "mark": "from memory"},
    }
    assert filled["growth"] == [{"age_months": 1, "mark": "from memory"}]
    assert marked({"allele": {}}) == {"allele": {}}
