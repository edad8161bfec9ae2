"""When animals hatched, to the precision that the records give, and what their eggs weighed."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.size.ages import egg_masses, hatch_days
from holdback.species import load


def hatched(own: str = "", *, laid: str = "", clutch: str = "", origin: str = "") -> tuple[str, str, str] | None:
    """First and last day and ground of an animal."""
    frames: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "D1"}, {"id": "A1", "clutch": "C1", "hatched": own, "origin": origin}],
        "clutches": [{"id": "C1", "dam": "D1", "laid": laid, "hatched": clutch}],
    }
    found = hatch_days(Collection.from_frames(frames), load()).get("A1")
    if found is None:
        return None
    first, last = (str(dt.date.fromordinal(int(day))) for day in (found.earliest, found.latest))
    return first, last, found.ground


@pytest.mark.parametrize(
    "records, expected",
    [
        ({"own": "2024-07-03"}, ("2024-07-03", "2024-07-03", "hatch date")),
        ({"own": "2024-07"}, ("2024-07-01", "2024-07-31", "hatch month")),
        ({"own": "2024"}, ("2024-01-01", "2024-12-31", "hatch year")),
        ({"clutch": "2024-07-03"}, ("2024-07-03", "2024-07-03", "clutch hatched")),
        ({"laid": "2024-05-01"}, ("2024-06-23", "2024-07-02", "clutch laid")),
        ({"own": "2024", "laid": "2024-05-01"}, ("2024-06-23", "2024-07-02", "clutch laid")),
        ({"own": "2024-07-08", "clutch": "2024-07-03"}, ("2024-07-08", "2024-07-08", "hatch date")),
        ({"own": "2024-07", "laid": "2024-05-01"}, ("2024-07-01", "2024-07-02", "clutch laid")),
        ({"own": "2024-09", "clutch": "2024-07-03"}, ("2024-09-01", "2024-09-30", "hatch month")),
        ({}, None),
        ({"own": "2015", "origin": "wild caught"}, None),
    ],
)
def test_hatch_days__by_the_sharpest_record(records: dict[str, str], expected: tuple[str, str, str] | None) -> None:
    """Days in the egg are 53 to 62 by the species file: common practice, no source."""
    assert hatched(**records) == expected


def test_egg_masses__by_the_animal_that_came_out() -> None:
    frames: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "A1", "clutch": "C1"}, {"id": "A2", "clutch": "C1"}],
        "clutches": [{"id": "C1"}],
        "eggs": [
            {"clutch": "C1", "egg": "1", "mass_g": 92, "outcome": "hatched", "animal": "A1"},
            {"clutch": "C1", "egg": "2", "outcome": "hatched", "animal": "A2"},
            {"clutch": "C1", "egg": "3", "mass_g": 40, "outcome": "slug"},
        ],
    }
    assert egg_masses(Collection.from_frames(frames)) == {"A1": 92.0}


def test_died_in_egg__has_no_day_of_hatching_and_no_egg_mass() -> None:
    frames: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "A1", "clutch": "C1"}, {"id": "A2", "clutch": "C1", "status": "died in egg"}],
        "clutches": [{"id": "C1", "laid": "2024-04-02", "hatched": "2024-06-01"}],
        "eggs": [
            {"clutch": "C1", "egg": "1", "mass_g": 92, "outcome": "hatched", "animal": "A1"},
            {"clutch": "C1", "egg": "2", "mass_g": 90, "outcome": "died", "animal": "A2"},
        ],
    }
    collection = Collection.from_frames(frames)
    assert egg_masses(collection) == {"A1": 92.0}
    assert set(hatch_days(collection, load("python_regius"))) == {"A1"}
