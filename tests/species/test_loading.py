"""Reading a species file: what it refuses, with every fault named at once."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from holdback.errors import Fault, SpeciesError
from holdback.species import Catalogue, load, loading
from holdback.species.model import WILD, Mark

SMALL: dict[str, Any] = {
    "format": 1,
    "key": "small",
    "name": "Exemplum parvum",
    "common_name": "small snake",
    "sex_system": "ZW",
    "sources": {"Book": "A book of snakes (invented)"},
    "locus": {"pale": {"name": "pale complex"}},
    "allele": {
        "ash": {"inheritance": "recessive", "locus": "pale"},
        "bone": {"inheritance": "recessive", "locus": "pale"},
        "rust": {"inheritance": "incomplete dominant", "two_copies_name": "Ember Red"},
    },
    "look": [{"locus": "pale", "label": "Smoke", "pairs": [["ash", "bone"]], "aliases": ["smoky"]}],
    "combo": {"dusk": {"one": ["rust"], "two": ["ash"]}},
}


def small(**changes: Any) -> dict[str, Any]:
    return {**copy.deepcopy(SMALL), **changes}


def faults_of(data: dict[str, Any]) -> list[Fault]:
    with pytest.raises(SpeciesError) as caught:
        Catalogue.from_tables(data)
    assert all(fault.what.endswith(".") and fault.hint.endswith((".", "?")) for fault in caught.value.faults)
    return list(caught.value.faults)


def codes_of(data: dict[str, Any]) -> list[tuple[str, str]]:
    return [(fault.code, fault.field) for fault in faults_of(data)]


def test_from_tables__a_small_file_reads() -> None:
    found = Catalogue.from_tables(small())
    assert list(found.loci) == ["pale", "rust"]
    assert found.combos["smoke"].genotypes == {"pale": ("ash", "bone")}
    assert found.combos["ember-red"].genotypes == {"rust": ("rust", "rust")}
    assert found.combos["dusk"].genotypes == {"rust": (WILD, "rust"), "pale": ("ash", "ash")}
    assert found.find("Smoky") is found.combos["smoke"]
    assert found.alleles["ash"].mark is Mark.COMMON


@pytest.mark.parametrize("missing", ["key", "name", "common_name", "format"])
def test_from_tables__a_missing_head_field(missing: str) -> None:
    data = small()
    del data[missing]
    assert codes_of(data)[0] == ("SPE-010", missing)


@pytest.mark.parametrize(
    "changes, expected",
    [
        ({"format": 2}, [("SPE-003", "format")]),
        ({"sex_system": "XO"}, [("SPE-012", "sex_system")]),
        ({"nonsense": 1}, [("SPE-011", "nonsense")]),
        ({"combo": 4}, [("SPE-010", "combo")]),
        ({"look": 4}, [("SPE-010", "look")]),
        ({"species_words": "one"}, [("SPE-010", "species_words")]),
        ({"default_mark": "sure"}, [("SPE-012", "allele.ash.mark")]),
        ({"locus": {"pale": {}, "void": {}}}, [("SPE-030", "locus.void")]),
        ({"locus": {"pale": {"mark": "published"}}}, [("SPE-028", "pale.source")]),
        ({"locus": {"pale": {"mark": "published", "source": "Book, Lost"}}}, [("SPE-028", "pale.source")]),
        ({"reproduction": {"hatch_rate": {"value": "x"}}}, [("SPE-010", "reproduction.hatch_rate.value")]),
        ({"reproduction": {"hatch_rate": {"low": 1}}}, [("SPE-010", "reproduction.hatch_rate.value")]),
        ({"reproduction": {"n": {"value": 2, "low": 3}}}, [("SPE-013", "reproduction.n.value")]),
        ({"reproduction": {"n": {"value": True}}}, [("SPE-010", "reproduction.n.value")]),
        ({"growth": [{"age_months": 1, "male": [2, 1], "female": [1, 2]}]}, [("SPE-010", "growth.male")]),
        ({"growth": [{"male": [1, 2], "female": [1, 2]}]}, [("SPE-010", "growth.age_months")]),
        ({"not_a_gene": [{"name": "odd"}]}, [("SPE-010", "not_a_gene.text")]),
        ({"not_a_gene": [{"name": "Rust", "text": "t"}]}, [("SPE-023", "Rust")]),
        ({"linkage": [{"loci": ["pale"], "r": {"value": 0.1}}]}, [("SPE-010", "linkage.loci")]),
        ({"linkage": [{"loci": ["pale", "x"], "r": {"value": 0.1}}]}, [("SPE-020", "linkage.loci")]),
        ({"linkage": [{"loci": ["pale", "rust"], "r": {"value": 0.6}}]}, [("SPE-013", "linkage.r")]),
    ],
)
def test_from_tables__faults_of_whole_tables(changes: dict[str, Any], expected: list[tuple[str, str]]) -> None:
    assert set(expected) <= set(codes_of(small(**changes)))


@pytest.mark.parametrize(
    "allele, expected",
    [
        (3, [("SPE-010", "allele.new"), ("SPE-010", "allele.new.inheritance")]),
        ({"group": "none"}, [("SPE-029", "allele.new.group"), ("SPE-010", "allele.new.inheritance")]),
        ({"inheritance": 4}, [("SPE-010", "allele.new.inheritance")]),
        ({"inheritance": "recessive", "same_as": "ash"}, [("SPE-025", "allele.new.same_as")]),
        ({"inheritance": "recessive", "same_as": "new"}, [("SPE-025", "allele.new.same_as")]),
        ({"inheritance": "recessive", "lethal": 1.0}, [("SPE-026", "allele.new.lethal_stage")]),
        ({"inheritance": "recessive", "lethal_stage": "in egg"}, [("SPE-026", "allele.new.lethal_stage")]),
        ({"inheritance": "recessive", "missed": -0.1}, [("SPE-013", "allele.new.missed")]),
        ({"inheritance": "recessive", "imagined": 2}, [("SPE-013", "allele.new.imagined")]),
        ({"inheritance": "recessive", "aliases": "x"}, [("SPE-010", "allele.new.aliases")]),
        ({"inheritance": "recessive", "aliases": ["rust"]}, [("SPE-023", "new")]),
        ({"inheritance": "recessive", "Locus": "pale"}, [("SPE-011", "allele.new.Locus")]),
        (
            {"inheritance": "recessive", "flags": [{"copies": 3}]},
            [
                ("SPE-013", "allele.new.flags.copies"),
                ("SPE-010", "allele.new.flags.text"),
                ("SPE-012", "allele.new.flags.kind"),
            ],
        ),
    ],
)
def test_from_tables__faults_of_an_allele(allele: object, expected: list[tuple[str, str]]) -> None:
    data = small()
    data["allele"]["new"] = allele
    found = codes_of(data)
    assert set(expected) <= set(found)


@pytest.mark.parametrize(
    "look, expected",
    [
        ({"locus": "pale", "label": "X"}, ("SPE-010", "look.X.pairs")),
        ({"locus": "void", "label": "X", "pairs": [["ash", "ash"]]}, ("SPE-020", "look.X.locus")),
        ({"locus": "pale", "label": "X", "pairs": [["ash", "rust"]]}, ("SPE-031", "look.X.pairs")),
        ({"locus": "pale", "label": "X", "pairs": [["rust", "rust"]]}, ("SPE-031", "look.X.pairs")),
        ({"locus": "pale", "label": "X", "pairs": [["ash", "Bone"]]}, ("SPE-021", "look.X.pairs")),
        ({"locus": "pale", "label": "X", "pairs": [["ash"]]}, ("SPE-010", "look.X.pairs")),
        ({"locus": "pale", "label": "X", "among": ["ash", "bone"]}, ("SPE-027", "look.X")),
        ({"locus": "pale", "label": "X", "word": "smoke", "pairs": [["ash", "ash"]]}, ("SPE-027", "look.X")),
        ({"locus": "pale", "label": "X", "pairs": [["ash", "ash"]], "hides": "void"}, ("SPE-020", "look.X.hides")),
    ],
)
def test_from_tables__faults_of_a_look(look: dict[str, Any], expected: tuple[str, str]) -> None:
    data = small()
    data["look"].append(look)
    assert expected in codes_of(data)


def test_from_tables__a_wrong_key_is_met_with_the_right_one() -> None:
    data = small(combo={"dusk": {"one": ["Rust"]}})
    assert faults_of(data)[0].hint == "Did you mean rust?"
    data = small()
    data["allele"]["ash"]["Note"] = "x"
    assert faults_of(data)[0].hint == "Did you mean note?"


def test_from_tables__a_key_with_capitals() -> None:
    data = small()
    data["allele"]["New Gene"] = {"inheritance": "recessive"}
    assert codes_of(data) == [("SPE-012", "allele.New Gene")]


def test_from_tables__two_cautions_with_one_code() -> None:
    caution = {"code": "x", "level": "note", "sire": ["ash"], "dam": ["ash"], "message": "m"}
    assert codes_of(small(pairing=[caution, caution])) == [("SPE-032", "pairing.code")]


def test_from_tables__sex_linkage_out_of_range() -> None:
    r = {"value": 0.4, "low": 0.1, "high": 0.7}
    data = small(locus={"pale": {"sex_linkage": {"r": r, "alpha": 0, "beta": 1}}})
    assert codes_of(data) == [("SPE-013", "locus.pale.sex_linkage.r"), ("SPE-013", "locus.pale.sex_linkage.alpha")]


def test_from_tables__a_locus_hidden_by_a_look() -> None:
    data = small()
    data["look"][0]["hides"] = "rust"
    assert Catalogue.from_tables(data).look("pale", ("ash", "bone")).hides == "rust"


def test_load__once_per_process() -> None:
    assert load() is load("python_regius")


def test_load__unknown_species_names_the_known_ones() -> None:
    with pytest.raises(SpeciesError, match="no species file 'draco'") as caught:
        load("draco")
    assert "python_regius" in caught.value.faults[0].hint


def test_file_data__not_toml(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "bad.toml").write_text("key = ", encoding="utf-8")
    monkeypatch.setattr(loading, "__file__", str(tmp_path / "loading.py"))
    with pytest.raises(SpeciesError, match="SPE-002"):
        loading.file_data("bad")


def test_load__a_file_under_another_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = Path(loading.__file__).with_name("pantherophis_guttatus.toml").read_text("utf-8")
    (tmp_path / "other.toml").write_text(source, encoding="utf-8")
    monkeypatch.setattr(loading, "__file__", str(tmp_path / "loading.py"))
    with pytest.raises(SpeciesError, match="calls itself 'pantherophis_guttatus'"):
        load("other")


def test_digest__says_whether_two_catalogues_say_the_same() -> None:
    one, same = Catalogue.from_tables(small()), Catalogue.from_tables(small())
    other = Catalogue.from_tables(small(common_name="another"))
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert one != "small"
    assert repr(one).startswith("Catalogue('small', ")


def test_digest__order_of_the_tables_changes_nothing() -> None:
    data = small()
    assert loading.digest_of(dict(reversed(list(data.items())))) == loading.digest_of(data)
