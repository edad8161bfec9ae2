"""Usual meals of a species file."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from holdback.collection.model import Sex
from holdback.errors import SpeciesError
from holdback.species.catalogue import Catalogue, load
from holdback.species.feeding import row_for
from holdback.species.loading import file_data
from holdback.species.model import Mark

TABLE = [
    (60, Sex.UNKNOWN, 1, "hatchling", (0.10, 0.15), (5, 7)),
    (300, Sex.FEMALE, 6, "juvenile", (0.10, 0.12), (7, 7)),
    (700, Sex.MALE, 20, "subadult", (0.07, 0.10), (7, 10)),
    (1200, Sex.FEMALE, 24, "grower", (0.05, 0.08), (10, 14)),
    (900, Sex.MALE, 48, "adult male", (0.04, 0.05), (10, 21)),
    (1700, Sex.FEMALE, None, "adult female", (0.05, 0.07), (10, 14)),
]
"""Feeding by stage as keepers tell it (common practice, no source)."""


@pytest.mark.parametrize("mass, sex, months, stage, share, days", TABLE, ids=str)
def test_feeding__as_keepers_tell_it(
    mass: float, sex: Sex, months: float | None, stage: str, share: tuple[float, float], days: tuple[float, float]
) -> None:
    row = row_for(load().feeding, mass, sex, months)
    assert row is not None
    assert (row.stage, row.prey_share, row.interval_days, row.mark) == (stage, share, days, Mark.COMMON)


def test_corn_snake__has_none() -> None:
    feeding = load("pantherophis_guttatus").feeding
    assert feeding == ()
    assert row_for(feeding, 100) is None


def test_change__replaces_the_row_of_its_stage() -> None:
    own = {
        "feeding": [{"stage": "hatchling", "mass_g": [0, 150], "prey_share": [0.08, 0.1], "interval_days": [10, 10]}]
    }
    feeding = load(changes=own).feeding
    assert len(feeding) == len(load().feeding)
    assert (feeding[0].interval_days, feeding[0].mark) == ((10, 10), Mark.OWN)


RIGHT: dict[str, Any] = {"stage": "any", "mass_g": [0, 10], "prey_share": [0.1, 0.1], "interval_days": [7, 7]}


@pytest.mark.parametrize(
    "wrong, code",
    [
        ({"stage": None}, "SPE-010"),
        ({"mass_g": [10]}, "SPE-010"),
        ({"mass_g": [10, 5]}, "SPE-013"),
        ({"prey_share": [5, 10]}, "SPE-013"),
        ({"interval_days": ["7", "9"]}, "SPE-010"),
        ({"sex": "hen"}, "SPE-012"),
        ({"from_month": 3}, "SPE-011"),
    ],
)
def test_feeding__faults(wrong: dict[str, Any], code: str) -> None:
    data = copy.deepcopy(dict(file_data("python_regius")))
    data["feeding"] = [{key: value for key, value in {**RIGHT, **wrong}.items() if value is not None}]
    with pytest.raises(SpeciesError) as error:
        Catalogue.from_tables(data)
    assert [one.code for one in error.value.faults] == [code]
