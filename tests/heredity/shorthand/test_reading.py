"""Readings as values: JSON, beliefs of compounds, what writing refuses."""

from __future__ import annotations

import json

import pytest

from holdback.errors import ShorthandError
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand import SexCounts, read, write
from holdback.species.catalogue import load

REGIUS = load()


def test_as_json__has_the_keys_of_the_command() -> None:
    found = read("0.1 CB24 Pastel 66% het Clown poss het Pied 50% Marrowfen line Clwon", REGIUS).as_json(REGIUS)
    assert json.loads(json.dumps(found)) == found
    assert found["sex"] == "female"
    assert found["origin"] == "captive bred"
    assert found["hatch_year"] == 2024
    assert found["lines"] == [{"line": "Marrowfen", "share": 0.5}]
    genes = found["genes"]
    assert isinstance(genes, list)
    pastel, clown, pied = genes
    assert (pastel["gene"], pastel["copies"], pastel["shown"], pastel["from"]) == (
        "Pastel",
        {"0": 0.0, "1": 1.0, "2": 0.0},
        True,
        "named",
    )
    assert clown["copies"] == pytest.approx({"0": 1 / 3, "1": 2 / 3, "2": 0.0})
    assert (pied["copies"], pied["shown"], pied["from"]) == (None, False, "possible het")
    assert found["unread"] == [{"text": "Clwon", "start": 63, "end": 68, "suggestion": "Clown"}]
    warnings = found["warnings"]
    assert isinstance(warnings, list)
    assert [warning["code"] for warning in warnings] == ["probability-not-stated", "unread"]


def test_as_json__of_nothing_is_empty() -> None:
    found = read("", REGIUS).as_json()
    assert (found["sex"], found["counts"], found["origin"], found["hatch_year"]) == ("unknown", None, None, None)
    assert (found["genes"], found["unread"], found["warnings"]) == ([], [], [])


def test_sex_counts__drop_the_last_field_where_zero() -> None:
    assert [str(SexCounts(*drawn)) for drawn in [(1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 2, 3)]] == [
        "1.0",
        "0.1",
        "0.0.1",
        "1.2.3",
    ]


def test_belief__two_hets_of_one_complex_exclude_the_pair_that_would_show() -> None:
    # Closed form: independent 2/3 and 1/2, without the both: weights 1/6, 1/3, 1/6 of 2/3.
    pairs = read("66% het Albino 50% het Candy", REGIUS).belief(REGIUS).at("albino")
    assert pairs == pytest.approx({("+", "+"): 1 / 4, ("+", "albino"): 1 / 2, ("+", "candy"): 1 / 4})


def test_belief__visual_recessives_of_one_complex_are_a_compound() -> None:
    assert read("Albino Candy", REGIUS).belief(REGIUS).at("albino") == {("albino", "candy"): 1.0}


def test_belief__lines_are_places_of_their_own() -> None:
    assert set(read("het VPI het TSK het MJ", REGIUS).belief(REGIUS).loci) == {
        "vpi-axanthic",
        "tsk-axanthic",
        "mj-axanthic",
    }


def test_read__known_line_needs_no_word_for_it() -> None:
    assert [line.name for line in read("Clown Marrowfen", REGIUS, lines=["Marrowfen"]).lines] == ["Marrowfen"]
    assert [part.text for part in read("Clown Marrowfen", REGIUS).unread] == ["Marrowfen"]


def test_read__gene_of_your_own() -> None:
    own = REGIUS.changed({"allele": {"marl": {"inheritance": "recessive"}}})
    assert [gene.allele for gene in read("66% het Marl", own).genes] == ["marl"]
    assert [part.text for part in read("66% het Marl", REGIUS).unread] == ["Marl"]


def test_read__another_species() -> None:
    corn = load("pantherophis_guttatus")
    assert read("BP", corn).genes == ()


@pytest.mark.parametrize(
    "loci, phase",
    [
        ({"clown": {("+", "+"): 0.25, ("+", "clown"): 0.5, ("clown", "clown"): 0.25}}, {}),
        ({"bel": {("lesser", "mojave"): 0.5, ("+", "+"): 0.5}}, {}),
        ({"banana": {("+", "banana"): 1.0}}, {"banana": 0.93}),
    ],
)
def test_write__refuses_what_no_notation_says(
    loci: dict[str, dict[tuple[str, str], float]], phase: dict[str, float]
) -> None:
    with pytest.raises(ShorthandError, match="SHO-301"):
        write(GenotypeBelief(loci=loci, phase=phase), REGIUS)


def test_write__puts_a_comma_where_names_would_run_into_one() -> None:
    assert write(read("Desert, Ghost", REGIUS), REGIUS) == "Desert, Ghost"
    assert write(read("Enchi, OD", REGIUS), REGIUS) == "Enchi, Orange Dream"


def test_write__keeps_the_male_maker() -> None:
    belief = GenotypeBelief(loci={"banana": {("+", "banana"): 1.0}}, phase={"banana": 1.0})
    assert write(belief, REGIUS) == "MM Banana"
