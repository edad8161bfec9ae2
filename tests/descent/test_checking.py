"""A pedigree that cannot be is refused with all its faults, each with what, where and what to do."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.collection.model import Sex
from holdback.descent.checking import check_parents
from holdback.descent.pedigree import Pedigree
from holdback.errors import PedigreeError

Parents = dict[str, tuple[str | None, str | None]]


def faults(parents: Parents, sexes: dict[str, Sex] | None = None, born: dict[str, float] | None = None) -> list[str]:
    with pytest.raises(PedigreeError) as told:
        Pedigree.from_parents(parents, sexes=sexes, born=born)
    return [str(fault) for fault in told.value.faults]


def test_check_parents__loop() -> None:
    assert faults({"A": ("B", None), "B": (None, "C"), "C": ("A", "D")}) == [
        "PED-001 animal A: A < B < C < A: an animal would be its own ancestor. "
        "One of these parents is wrong: correct it, or leave it empty."
    ]


def test_check_parents__two_loops_that_share_an_animal() -> None:
    found = faults({"A": ("B", "C"), "B": (None, "A"), "C": ("A", None)})
    assert [one.split(": ")[1] for one in found] == ["A < B < A", "A < C < A"]


def test_check_parents__own_parent() -> None:
    assert faults({"A": ("A", "D")}) == [
        "PED-002 animal A, field sire: A is its own sire. Correct it, or leave it empty."
    ]


def test_check_parents__wrong_sexes() -> None:
    assert faults({"K": ("S", "D")}, {"S": Sex.FEMALE, "D": Sex.MALE}) == [
        "PED-003 animal K, field sire: S is recorded as female and stands here as the sire. "
        "Correct its sex, or name another animal.",
        "PED-003 animal K, field dam: D is recorded as male and stands here as the dam. "
        "Correct its sex, or name another animal.",
    ]


def test_check_parents__a_female_on_both_sides_is_no_sire_at_all() -> None:
    assert Pedigree.from_parents({"K": ("D", "D")}, sexes={"D": Sex.FEMALE}).without_sire.tolist() == [False, True]
    assert [one[:7] for one in faults({"K": ("D", "D")}, {"D": Sex.MALE})] == ["PED-003"]


def test_check_parents__parent_not_older() -> None:
    assert faults({"K": ("S", "D")}, born={"K": 2020.5, "S": 2021.25, "D": 2019.0}) == [
        "PED-004 animal K, field sire: S was born in 2021.2, not before K (2020.5). "
        "Correct one date, or leave the sire empty."
    ]
    assert len(faults({"K": ("S", None)}, born={"K": 2020.5, "S": 2020.5})) == 1


def test_check_parents__all_faults_together() -> None:
    found = faults({"A": ("A", None), "B": ("C", None), "C": (None, "B"), "D": ("F", None)}, {"F": Sex.FEMALE})
    assert [one[:7] for one in found] == ["PED-002", "PED-003", "PED-001"]


@given(st.permutations("ABCDEFG"), st.integers(2, 7))
def test_check_parents__finds_any_ring(animals: list[str], length: int) -> None:
    """A ring of any length, written in any order, with a tail below it."""
    ring, tail = animals[:length], animals[length:]
    parents: Parents = {one: (None, ring[(place + 1) % length]) for place, one in enumerate(ring)}
    for place, one in enumerate(tail):
        parents[one] = (ring[0] if place == 0 else tail[place - 1], None)
    with pytest.raises(PedigreeError) as told:
        check_parents(parents, sexes={}, born={})
    (fault,) = told.value.faults
    start = ring.index(min(ring))
    assert fault.what.startswith(" < ".join([*ring[start:], *ring[:start], min(ring)]) + ":")


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), max_size=10))
def test_check_parents__accepts_parents_that_come_before(pairs: list[tuple[int, int]]) -> None:
    parents: Parents = {
        f"a{number}": (f"a{sire}" if sire < number else None, f"a{dam}" if dam < number else None)
        for number, (sire, dam) in enumerate(pairs)
    }
    check_parents(parents, sexes={}, born={f"a{number}": 2000.0 + number for number in range(len(pairs))})
