"""Records as they were on a day."""

from __future__ import annotations

import datetime as dt

from holdback.collection.checking import faults_of
from holdback.collection.collection import Collection
from holdback.collection.model import EggOutcome
from holdback.demo_data import LAST_DAY, folder
from holdback.season.as_of import as_of

DEMO = Collection.from_folder(folder() / "collection")
DAY = dt.date(2025, 6, 20)


def test_as_of__the_last_day_changes_nothing() -> None:
    assert as_of(DEMO, LAST_DAY) is DEMO


def test_as_of__holds_together_on_any_day() -> None:
    for day in (dt.date(2021, 1, 1), dt.date(2023, 5, 5), DAY, dt.date(2026, 3, 1)):
        assert faults_of(as_of(DEMO, day).records) == []


def test_as_of__eggs_in_the_boxes_are_not_known_yet() -> None:
    then = as_of(DEMO, DAY)
    laid = then.clutches["25-05"]
    assert laid.hatched is None
    assert {egg.outcome for egg in then.eggs_of("25-05")} <= {EggOutcome.UNKNOWN, EggOutcome.SLUG, EggOutcome.DIED}
    assert not then.clutch_mates("25-05")
    assert DEMO.clutches["25-05"].hatched is not None


def test_as_of__nothing_is_of_a_later_day() -> None:
    records = as_of(DEMO, DAY).records
    assert max(one.date.earliest for one in records.measurements) <= DAY
    assert max(one.date.earliest for one in records.events) <= DAY
    assert max(one.laid.earliest for one in records.clutches if one.laid) <= DAY
    assert all(one.apart is None or one.apart.earliest <= DAY for one in records.matings)
    assert len(records.measurements) < len(DEMO.records.measurements)


def test_as_of__seen_from_an_earlier_day_is_the_same_either_way() -> None:
    early = dt.date(2024, 8, 1)
    assert as_of(as_of(DEMO, DAY), early).digest == as_of(DEMO, early).digest


def test_as_of__what_has_no_day_of_its_own_is_known_once_its_clutch_hatched() -> None:
    told = Collection.from_frames(
        {
            "animals": [
                {"id": "D1", "sex": "female"},
                {"id": "Y1", "clutch": "C1", "dam": "D1", "hatched": "2026-05-01"},
                {"id": "Y2", "clutch": "C2", "dam": "D1", "hatched": "2026-05-03"},
            ],
            "clutches": [
                {"id": "C1", "dam": "D1", "laid": "2026-03-03", "eggs": 2},
                {"id": "C2", "dam": "D1", "laid": "2026-03-03", "hatched": "2026-05-03", "eggs": 2},
                {"id": "C3", "dam": "D1", "hatched": "2026-05-04", "eggs": 2},
                {"id": "C4", "dam": "D1", "hatched": "2026-05-04", "eggs": 2},
            ],
            "eggs": [
                {"clutch": "C4", "egg": "1"},
                {"clutch": "C1", "egg": "1", "outcome": "hatched", "animal": "Y1"},
                {"clutch": "C2", "egg": "1", "outcome": "died", "cause": "mould"},
                {"clutch": "C2", "egg": "2", "outcome": "hatched", "animal": "Y2"},
            ],
            "egg_looks": [{"clutch": "C4", "egg": "1", "date": "2026-03-20", "state": "veins"}],
        }
    )
    then = as_of(told, dt.date(2026, 4, 1))
    assert {egg.outcome for egg in then.records.eggs} == {EggOutcome.UNKNOWN}
    assert {egg.cause for egg in then.records.eggs} == {""}
    assert set(then.clutches) == {"C1", "C2", "C4"}
    assert faults_of(then.records) == []


def test_as_of__projects_that_were_begun_with_the_animals_there_were() -> None:
    records = as_of(DEMO, DAY).records
    assert [one.id for one in records.projects] == ["big-clown"]
    assert records.projects[0].held_back == (), "she hatched later"
    assert {one.project for one in records.planned_pairings} == {"big-clown"}
