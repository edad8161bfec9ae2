"""Which weights count: codes, layings, meals and dates known in part."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import Measurement, PartialDate, Trait
from holdback.size.counting import middle_of, readings_of
from holdback.species import load

DAM: dict[str, Any] = {"id": "D1", "sex": "female", "hatched": "2018-06-01"}
LAID = dt.date(2024, 4, 10)


def why(days_after: int, *, condition: str = "", **tables: list[dict[str, Any]]) -> str:
    """Why a weight of 2,000 g of the dam is left out, some days after 10 April 2024."""
    date = str(LAID + dt.timedelta(days=days_after))
    weight = {"animal": "D1", "date": date, "trait": "mass", "value": 2000, "unit": "g", "condition": condition}
    found = readings_of(Collection.from_frames({"animals": [DAM], "measurements": [weight], **tables}), load())
    return found.by_animal["D1"][0].left_out


CLUTCH = [{"id": "C1", "dam": "D1", "laid": str(LAID)}, {"id": "C2", "laid": str(LAID)}]


@pytest.mark.parametrize(
    "condition, expected",
    [
        ("gravid", "gravid"),
        ("Post-lay", "after laying"),
        ("in shed", "in shed"),
        ("just fed", "fed"),
        ("egg bound", "gravid"),
        ("empty", ""),
        ("", ""),
        ("three readings", ""),
        ("unfed", ""),
    ],
)
def test_readings_of__a_code_says_why(condition: str, expected: str) -> None:
    assert why(500, condition=condition) == expected


@pytest.mark.parametrize(
    "days, uncoded, empty",
    [
        (-151, "", ""),
        (-150, "gravid", ""),
        (-61, "gravid", ""),
        (-60, "gravid", "gravid"),
        (-1, "gravid", "gravid"),
        (0, "after laying", "after laying"),
        (91, "after laying", "after laying"),
        (92, "after laying", ""),
        (200, "after laying", ""),
        (201, "", ""),
    ],
)
def test_readings_of__around_a_laying(days: int, uncoded: str, empty: str) -> None:
    """Without a code the windows of the species file count; "empty" is taken at its word outside the nearest weeks."""
    assert (why(days, clutches=CLUTCH), why(days, condition="empty", clutches=CLUTCH)) == (uncoded, empty)


@pytest.mark.parametrize(
    "kind, shift",
    [("laid", 0), ("ovulation", 44), ("Pre-lay shed", 25), ("gravid", 0)],
)
def test_readings_of__what_was_seen_of_her_points_to_a_laying(kind: str, shift: int) -> None:
    """Laying comes 44 to 60 days after ovulation; the window opens 150 days before the earliest day."""
    event = [{"animal": "D1", "date": str(LAID), "kind": kind}]
    assert why(shift - 150, events=event) == "gravid"
    assert why(shift - 151, events=event) == ""


def test_readings_of__signs_of_a_recorded_laying_make_no_second_one() -> None:
    event = [{"animal": "D1", "date": str(LAID - dt.timedelta(days=80)), "kind": "ovulation"}]
    assert why(-151, events=event, clutches=CLUTCH) == ""
    assert why(-170, events=event) == "gravid"


def test_readings_of__laying_worked_back_from_hatching() -> None:
    hatched = [{"id": "C1", "dam": "D1", "hatched": str(LAID + dt.timedelta(days=57))}]
    assert why(150, clutches=hatched) == "after laying"


def test_readings_of__a_laying_known_to_the_year_has_no_window() -> None:
    assert why(10, clutches=[{"id": "C1", "dam": "D1", "laid": "2024"}]) == ""


@pytest.mark.parametrize("days, expected", [(-1, ""), (0, ""), (1, "fed"), (4, "fed"), (5, "")])
def test_readings_of__after_a_meal(days: int, expected: str) -> None:
    """On the day of the meal it was weighed first."""
    meal = {"animal": "D1", "date": str(LAID), "kind": "meal", "note": "taken"}
    assert why(days, events=[meal]) == expected
    assert why(days, condition="empty", events=[meal]) == ""
    assert why(days, events=[meal | {"note": "medium rat, refused"}]) == ""


@pytest.mark.parametrize(
    "hatched, date, expected",
    [
        ("2023-06-01", "2023-10", "day not known"),
        ("2023-06-01", "2024-10", ""),
        ("", "2023-10", ""),
        ("2020-06-01", "2024", "date known to the year only"),
    ],
)
def test_readings_of__dates_known_in_part(hatched: str, date: str, expected: str) -> None:
    frames: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "A1", "hatched": hatched}],
        "measurements": [
            {"animal": "A1", "date": date, "trait": "mass", "value": 400, "unit": "g"},
            {"animal": "A1", "date": date, "trait": "snout-vent length", "value": 70, "unit": "cm"},
        ],
    }
    mass, length = readings_of(Collection.from_frames(frames), load()).by_animal["A1"]
    assert (mass.left_out, length.left_out) == (expected, "")


def test_middle_of__a_month_is_its_middle() -> None:
    assert middle_of(PartialDate(2024, 4)) == (dt.date(2024, 4, 1).toordinal() + dt.date(2024, 4, 30).toordinal()) / 2


def test_readings_of__units_and_order() -> None:
    frames = {
        "animals": [DAM],
        "measurements": [
            {"animal": "D1", "date": "2024-04-10", "trait": "mass", "value": 70.5, "unit": "oz"},
            {"animal": "D1", "date": "2022-04-10", "trait": "head width", "value": 38, "unit": "mm"},
        ],
    }
    found = readings_of(Collection.from_frames(frames), load()).by_animal["D1"]
    assert [round(one.value, 1) for one in found] == [3.8, 1998.6]
    assert found[0].measurement == Measurement("D1", PartialDate(2022, 4, 10), Trait.HEAD_WIDTH, 38, "mm")


def test_readings_of__demo() -> None:
    """Coded weights of the demo folder, counted in its file with another tool, and those near a laying."""
    folder = Path(__file__).parents[2] / "src/holdback/demo_data/collection"
    found = readings_of(Collection.from_folder(folder), load())
    left_out = found.left_out()
    assert left_out["in shed"] == 60
    assert left_out["fed"] >= 100
    assert left_out["gravid"] >= 12
    masses = [one for all_of in found.by_animal.values() for one in all_of if one.measurement.trait is Trait.MASS]
    assert len(masses) == 1321
