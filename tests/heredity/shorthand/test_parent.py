"""Parents in shorthand."""

from __future__ import annotations

import pytest

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.errors import ShorthandError
from holdback.heredity.shorthand import read_parent
from holdback.species.catalogue import load

REGIUS = load()


def test_read_parent__takes_the_sex_it_stands_for() -> None:
    belief, reading = read_parent("Pastel 66% het Clown", REGIUS, sex=Sex.MALE)
    assert belief.sex is Sex.MALE
    assert reading.sex is Sex.UNKNOWN
    assert belief.at("clown") == pytest.approx({("+", "clown"): 2 / 3, ("+", "+"): 1 / 3})


def test_read_parent__sex_in_the_text_wins_over_unknown() -> None:
    belief, _ = read_parent("0.1 Clown", REGIUS)
    assert belief.sex is Sex.FEMALE


def test_read_parent__normal_is_wild_type_as_far_as_said() -> None:
    belief, _ = read_parent("normal", REGIUS, sex=Sex.FEMALE)
    assert belief.loci == {}


def test_read_parent__keeps_doubts_as_assumed_and_leaves_out_what_is_not_stated() -> None:
    belief, reading = read_parent("poss YB Bumblebee Pastel poss het Clown", REGIUS)
    assert belief.at("yb") == {("+", "+"): 0.5, ("+", "yellow-belly"): 0.5}
    assert belief.at("pastel") == {("+", "pastel"): 1.0}
    assert belief.basis["yb"] is belief.basis["pastel"] is Basis.ASSUMED
    assert belief.basis["spider"] is Basis.CLAIMED
    assert "clown" not in belief.loci
    assert {gene.allele for gene in reading.unstated} == {"pastel", "clown"}


def test_read_parent__male_maker_sets_the_phase() -> None:
    assert read_parent("MM Banana", REGIUS, sex=Sex.MALE)[0].phase == {"banana": 1.0}
    assert read_parent("Coral Glow FM", REGIUS, sex=Sex.MALE)[0].phase == {"banana": 0.0}
    assert read_parent("Banana", REGIUS, sex=Sex.MALE)[0].phase == {}


@pytest.mark.parametrize(
    "text, sex, code",
    [
        ("Mojave Lesser Phantom", Sex.MALE, "SHO-201"),
        ("Pastel x Clown", Sex.MALE, "SHO-201"),
        ("zorblax", Sex.MALE, "SHO-202"),
        ("", Sex.MALE, "SHO-202"),
        ("female Clown", Sex.MALE, "SHO-203"),
        ("1.1 Clown", Sex.MALE, "SHO-204"),
    ],
)
def test_read_parent__refuses_what_cannot_be_one(text: str, sex: Sex, code: str) -> None:
    with pytest.raises(ShorthandError, match=code):
        read_parent(text, REGIUS, sex=sex)


def test_read_parent__reports_all_faults_together() -> None:
    with pytest.raises(ShorthandError) as caught:
        read_parent("female Mojave Lesser Phantom", REGIUS, sex=Sex.MALE)
    assert [fault.code for fault in caught.value.faults] == ["SHO-201", "SHO-203"]
