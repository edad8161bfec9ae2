"""The year of a female out of messy records."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.season.by_season import season_of
from holdback.season.cycles import cycles, is_gone, past_seasons
from holdback.season.outlook import Cycle, Follicle, Together
from holdback.species import load

DEMO = Path(__file__).parents[2] / "src/holdback/demo_data/collection"
BEFORE = dt.date(2026, 5, 15)
ANIMALS: list[dict[str, Any]] = [
    {"id": "D1", "name": "Tarn", "sex": "female", "hatched": "2020"},
    {"id": "S1", "name": "Flint", "sex": "male"},
    {"id": "S2", "name": "Slate", "sex": "male"},
]


def cycle_of(*, before: dt.date = BEFORE, season: int = 2026, **tables: list[dict[str, Any]]) -> Cycle:
    """Cycle of the dam D1 in a season."""
    return cycles(Collection.from_frames({"animals": ANIMALS, **tables}), season, load(), before=before)["D1"]


def event(date: str, kind: str, **more: Any) -> dict[str, Any]:
    """Row of an event of the dam."""
    return {"animal": "D1", "date": date, "kind": kind, **more}


@pytest.mark.parametrize("day, season", [("2025-09-30", 2025), ("2025-10-01", 2026), ("2026-09-30", 2026)])
def test_season_of__runs_from_october(day: str, season: int) -> None:
    assert season_of(dt.date.fromisoformat(day), load()) == season


def test_season_of__may_begin_in_another_month() -> None:
    own = load(changes={"reproduction": {"season_starts_month": {"value": 1}}})
    assert season_of(dt.date(2025, 12, 31), own) == 2025
    assert season_of(dt.date(2026, 1, 1), own) == 2026


def test_cycles__a_grown_female_with_nothing_on_record_is_empty() -> None:
    assert cycle_of() == Cycle("D1", 2026)


def test_cycles__a_whole_year() -> None:
    found = cycle_of(
        matings=[
            {"dam": "D1", "sire": "S1", "together": "2025-12-05", "apart": "2025-12-07", "locks": 1},
            {"dam": "D1", "sire": "S2", "together": "2026-01-09"},
        ],
        events=[
            event("2026-02-01", "US", value=21, unit="mm", note="9 follicles"),
            event("2026-03-01", "ovi"),
            event("2026-03-20", "PLS", note="nest box in"),
        ],
        clutches=[{"id": "C1", "dam": "D1", "laid": "2026-04-19", "eggs": 6}],
    )
    day = dt.date
    assert found == Cycle(
        "D1",
        2026,
        (
            Together("S1", day(2025, 12, 5), day(2025, 12, 7), 1),
            Together("S2", day(2026, 1, 9), None),
        ),
        (Follicle(day(2026, 2, 1), 21.0, 9),),
        day(2026, 3, 1),
        day(2026, 3, 20),
        "C1",
        day(2026, 4, 19),
        has_laid=True,
        nest_box=day(2026, 3, 20),
    )


@pytest.mark.parametrize(
    "date, note, sire, locks",
    [
        ("2025-12-06", "", "S1", 2),
        ("2025-12-06", "Slate", "S2", 1),
        ("2026-02-20", "with s1 at night", "S1", 2),
        ("2026-02-20", "", "", 1),
    ],
)
def test_cycles__a_lock_goes_to_the_mating_that_holds_it_or_the_male_it_names(
    date: str, note: str, sire: str, locks: int
) -> None:
    mating = {"dam": "D1", "sire": "S1", "together": "2025-12-05", "apart": "2025-12-07", "locks": 2}
    found = cycle_of(matings=[mating], events=[event(date, "locked", note=note)])
    holding = [one for one in found.together if one.lock_days]
    assert [(one.sire, one.locks, one.lock_days) for one in holding] == [(sire, locks, (dt.date.fromisoformat(date),))]


def test_cycles__a_month_pairs_her_but_gives_no_day() -> None:
    mating = {"dam": "D1", "sire": "S1", "together": "2025-11"}
    assert cycle_of(matings=[mating]).together == (Together("S1", None, None),)


def test_cycles__a_clutch_of_stored_sperm_is_a_cycle_without_a_male() -> None:
    found = cycle_of(clutches=[{"id": "C1", "dam": "D1", "laid": "2026-04"}])
    assert found.has_laid
    assert (found.clutch, found.laid, found.together) == ("C1", None, ())


def test_cycles__a_clutch_dated_by_its_hatching_belongs_to_the_season_it_was_laid_in() -> None:
    found = cycle_of(
        before=dt.date(2026, 11, 1), clutches=[{"id": "C1", "dam": "D1", "hatched": "2026-10-12"}], season=2026
    )
    assert found.has_hatched
    assert found.hatched == dt.date(2026, 10, 12)


def test_cycles__a_rehearsal_knows_nothing_that_came_later() -> None:
    tables: dict[str, Any] = {
        "events": [event("2026-03-20", "pre-lay shed")],
        "clutches": [{"id": "C1", "dam": "D1", "laid": "2026-04-19", "hatched": "2026-06-15"}],
    }
    march = cycle_of(before=dt.date(2026, 3, 21), **tables)
    assert (march.shed, march.has_laid) == (dt.date(2026, 3, 20), False)
    may = cycle_of(before=dt.date(2026, 5, 1), **tables)
    assert (may.has_laid, may.has_hatched, may.hatched) == (True, False, None)


def test_cycles__rest_ends_with_a_pairing() -> None:
    rests = event("2025-10-20", "rests", until="2026-12")
    assert cycle_of(events=[rests]).rests
    assert cycle_of(events=[rests], season=2027, before=dt.date(2027, 1, 1)).rests
    paired = {"dam": "D1", "sire": "S1", "together": "2025-11-05"}
    assert not cycle_of(events=[rests], matings=[paired]).rests


def test_cycles__sizes_that_cannot_be_are_left_out() -> None:
    found = cycle_of(
        events=[
            event("2026-02-01", "ultrasound", value=210, unit="mm"),
            event("2026-02-11", "ultrasound", value=2.4, unit="cm"),
            event("2026-02-21", "ultrasound", note="largest 28.5 mm, eggs"),
            event("2026-03", "ultrasound", value=31, unit="mm"),
        ]
    )
    assert [one.largest_mm for one in found.follicles] == [24.0, 28.5]


def test_cycles__a_shed_after_laying_is_not_the_one_before() -> None:
    found = cycle_of(
        events=[event("2026-03-20", "shed", note="pre-lay"), event("2026-05-02", "pre-lay shed")],
        clutches=[{"id": "C1", "dam": "D1", "laid": "2026-04-19"}],
    )
    assert found.shed == dt.date(2026, 3, 20)


def test_cycles__second_clutch_follows_the_first() -> None:
    laid = [{"id": "C2", "dam": "D1", "laid": "2026-05-09"}, {"id": "C1", "dam": "D1", "laid": "2026-02-09"}]
    found = cycle_of(clutches=laid)
    assert (found.clutch, found.later_clutches) == ("C1", ("C2",))


def test_cycles__young_and_gone_females_are_left_out() -> None:
    animals = [
        {"id": "D1", "sex": "female", "hatched": "2025-07-01"},
        {"id": "D2", "sex": "female", "hatched": "2019", "status": "sold"},
        {"id": "D3", "sex": "female", "status": "breeder"},
        {"id": "D4", "sex": "female"},
        {"id": "D5", "sex": "female"},
    ]
    masses = [{"animal": "D5", "date": "2026-01-01", "trait": "mass", "value": 4, "unit": "lb"}]
    died = [{"animal": "D3", "date": "2026-02-01", "kind": "died"}]
    collection = Collection.from_frames({"animals": animals, "measurements": masses, "events": died})
    assert list(cycles(collection, 2026, load(), before=dt.date(2026, 2, 1))) == ["D3", "D5"]
    assert is_gone(collection, "D3", BEFORE)


def test_past_seasons__tell_who_laid_and_who_did_not() -> None:
    past = past_seasons(Collection.from_folder(DEMO), load(), BEFORE)
    assert {one.season for one in past} == set(range(2019, 2026))
    assert sum(one.has_laid for one in past if one.season >= 2021) == 28
    assert all(one.together or one.has_laid or one.ovulated or one.shed for one in past)
