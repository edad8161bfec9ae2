"""Days in which a weight does not count: defaults, what a file or a keeper states, what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from holdback.errors import SpeciesError
from holdback.species import Catalogue, load
from holdback.species.model import Mark
from holdback.species.weighing import ORDINARY, SIZE

BARE: dict[str, Any] = {
    "format": 1,
    "key": "bare",
    "name": "Exemplum nudum",
    "common_name": "bare snake",
    "sex_system": "XY",
    "allele": {"ash": {"inheritance": "recessive"}},
}


@pytest.mark.parametrize("species", ["python_regius", "pantherophis_guttatus"])
def test_size__every_file_states_every_window_as_an_assumption(species: str) -> None:
    found = load(species).size
    assert {key: (found[key].value, found[key].low, found[key].high, found[key].unit) for key in SIZE} == {
        "gravid_window_days": (150, 90, 180, "d"),
        "recovery_window_days": (200, 90, 240, "d"),
        "empty_after_meal_days": (5, 4, 7, "d"),
    }
    assert all(each.mark in (Mark.MEMORY, Mark.COMMON) and each.note for each in found.values())


def test_size__an_ordinary_animal_of_ball_pythons_only() -> None:
    """Length and mass of the largest wild females of Togo, quoted second-hand from Aubret and others (2005)."""
    found = load().size
    assert [(found[key].value, found[key].unit, found[key].mark) for key in ORDINARY] == [
        (116.2, "cm", Mark.MEMORY),
        (1635, "g", Mark.MEMORY),
    ]
    assert set(load("pantherophis_guttatus").size) == set(SIZE)


def test_size__a_file_without_it_gets_the_same() -> None:
    assert Catalogue.from_tables(BARE).size == dict(SIZE)


def test_size__a_keeper_states_another() -> None:
    own = load().changed({"size": {"recovery_window_days": {"value": 120}}}).size
    assert (own["recovery_window_days"].value, own["recovery_window_days"].mark) == (120, Mark.OWN)
    assert own["gravid_window_days"] == load().size["gravid_window_days"]


@pytest.mark.parametrize(
    "size, expected",
    [
        ({"window": {"value": 3}}, ("SPE-011", "size.window")),
        ({"ordinary_mass_g": {"value": 0}}, ("SPE-013", "size.ordinary_mass_g")),
        ({"gravid_window_days": {"value": -1}}, ("SPE-013", "size.gravid_window_days")),
        ({"gravid_window_days": {"value": 20, "high": 5000}}, ("SPE-013", "size.gravid_window_days")),
    ],
)
def test_size__faults(size: object, expected: tuple[str, str]) -> None:
    with pytest.raises(SpeciesError) as caught:
        Catalogue.from_tables({**BARE, "size": size})
    assert [(fault.code, fault.field) for fault in caught.value.faults] == [expected]
