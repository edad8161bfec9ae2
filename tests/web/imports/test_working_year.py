"""A folder with all of a working year goes in, comes out the same, and goes in again without doubling anything."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from holdback.bridge import collection_of_records
from holdback.collection.collection import Collection
from holdback.collection.housing import Place
from holdback.collection.model import (
    Animal,
    Candidate,
    Clutch,
    Egg,
    EggLook,
    EggOutcome,
    EggState,
    Event,
    Mating,
    PartialDate,
    Records,
    Sex,
    Temperature,
)
from holdback.errors import RecordError
from holdback.web.records import models as rows
from holdback.web.records.services import undo, write_records

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
BOX = "incubator 1 / box 3"


def day(text: str) -> PartialDate:
    return PartialDate.parse(text)


YEAR = Records(
    animals=(
        Animal("D1", sex=Sex.FEMALE),
        Animal("S1", sex=Sex.MALE),
        Animal("Y1", sires=(Candidate("S1"),), dam="D1", clutch="K1"),
        Animal("Y2", sires=(Candidate("S1"),), dam="D1", clutch="K1", genes="Pied", status="died in egg"),
    ),
    matings=(
        Mating("D1", "S1", day("2024-01-05"), day("2024-01-08"), 2),
        Mating("D1", "S1", day("2024-02-05"), None, 1),
    ),
    clutches=(Clutch("K1", "D1", (Candidate("S1"),), day("2024-04-20"), 3, 1, None, "a spike of heat"),),
    eggs=(
        Egg("K1", "1", 88, EggOutcome.HATCHED, "Y1", BOX, day("2024-06-18")),
        Egg("K1", "2", 80, EggOutcome.DIED, "Y2", BOX, day("2024-06"), "dried out"),
        Egg("K1", "3", None, EggOutcome.SLUG),
    ),
    events=(
        Event("D1", day("2024-01-06"), "lock", note="S1"),
        Event("D1", day("2024-02-07"), "lock", note="S1: long"),
        Event("D1", day("2024-03-07"), "lock", note="with S1"),
        Event("D1", day("2024-10"), "rests", until=day("2025-09")),
        Event("D1", day("2024-01-01"), "moved", note="room 1 / rack B / tub 4"),
        Event("D1", day("2024-05-01"), "moved", note="room 1 / rack B / tub 5"),
        Event("S1", day("2024-01-01"), "moved", note="room 1 / rack B / tub 4", until=day("2024-02-01")),
        Event("S1", day("2024-03"), "moved", note="the shed, I think"),
        Event("Y1", day("2024-06-18"), "Moved", note="room 2 /  tub 9"),
    ),
    egg_looks=(
        EggLook("K1", "1", day("2024-04-27"), EggState.VEINS),
        EggLook("K1", "1", day("2024-06-18"), EggState.OUT, "by itself"),
        EggLook("K1", "2", day("2024-05"), EggState.WEAK),
    ),
    temperatures=(
        Temperature(BOX, day("2024-04-21"), 31.6, "07:05", "by probe"),
        Temperature("room 1", day("2024-04-21"), 27),
    ),
    places=(
        Place("incubator 1", "incubator", 40),
        Place(BOX, "box", 12, "by the door"),
        Place("room 1"),
        Place("room 2"),
        Place("room 1 / rack B", "rack"),
        *(Place(f"room 1 / rack B / tub {number}", "tub") for number in (4, 5, 6)),
        Place("room 2 / tub 9"),
    ),
)


def test_write_records__folder_to_database_to_folder_is_the_same(tmp_path: Path) -> None:
    before = Collection.from_records(YEAR)
    before.to_folder(tmp_path / "in")
    write_records(Collection.from_folder(tmp_path / "in").records, who=WHO)
    collection_of_records().to_folder(tmp_path / "out")
    after = Collection.from_folder(tmp_path / "out")
    for name, found in vars(after.records).items():
        assert set(found) == set(getattr(YEAR, name)), name
    assert after.digest == before.digest


def test_write_records__again_doubles_nothing_and_undo_takes_all_back() -> None:
    written = write_records(YEAR, who=WHO)
    again = write_records(YEAR, who=WHO)
    assert (dict(again.added), dict(again.changed)) == ({}, {})
    assert collection_of_records().digest == Collection.from_records(YEAR).digest
    undo(written.batch, who=WHO)
    for model in (rows.Animal, rows.Place, rows.Stay, rows.Warmth, rows.EggLook, rows.Egg, rows.Observation):
        assert not model._default_manager.exists(), model


def test_write_records__animals_are_in_their_tubs_and_locks_with_their_matings() -> None:
    write_records(YEAR, who=WHO)
    stays = rows.Stay.objects.order_by("since").values_list("animal__tag", "place__name", "since", "until")
    assert set(stays) == {
        ("D1", "tub 4", dt.date(2024, 1, 1), dt.date(2024, 5, 1)),
        ("D1", "tub 5", dt.date(2024, 5, 1), None),
        ("S1", "tub 4", dt.date(2024, 1, 1), dt.date(2024, 2, 1)),
        ("Y1", "tub 9", dt.date(2024, 6, 18), None),
    }
    locks = rows.Observation.objects.filter(kind="lock").values_list("date", "note", "mating__together")
    assert set(locks) == {
        ("2024-01-06", "", "2024-01-05"),
        ("2024-02-07", "long", "2024-02-05"),
        ("2024-03-07", "with S1", None),
    }


def test_write_records__a_later_move_ends_the_stay_on_record() -> None:
    write_records(YEAR, who=WHO)
    write_records(Records(events=(Event("D1", day("2024-07-01"), "moved", note="room 2"),)), who=WHO)
    write_records(Records(events=(Event("D1", day("2024-03-01"), "moved", note="room 2"),)), who=WHO)
    stays = rows.Stay.objects.filter(animal__tag="D1").order_by("since").values_list("place__name", "since", "until")
    assert list(stays) == [
        ("tub 4", dt.date(2024, 1, 1), dt.date(2024, 3, 1)),
        ("room 2", dt.date(2024, 3, 1), dt.date(2024, 5, 1)),
        ("tub 5", dt.date(2024, 5, 1), dt.date(2024, 7, 1)),
        ("room 2", dt.date(2024, 7, 1), None),
    ]


def test_write_records__fills_in_what_was_left_open() -> None:
    """The end of a rest, what an egg died of, the room in a box; what is on record of a place stays."""
    early = Records(
        animals=(Animal("D1", sex=Sex.FEMALE),),
        clutches=(Clutch("K1", "D1"),),
        eggs=(Egg("K1", "1"),),
        events=(Event("D1", day("2024-10"), "rests"),),
        places=(Place("box 3", "tray"),),
    )
    write_records(early, who=WHO)
    later = Records(
        eggs=(Egg("K1", "1", outcome=EggOutcome.DIED, cause="dried out"),),
        events=(Event("D1", day("2024-10"), "rests", until=day("2025-09")),),
        places=(Place("box 3", "box", 12),),
    )
    result = write_records(later, who=WHO)
    assert dict(result.changed) == {"eggs": 1, "events": 1, "places": 1}
    assert rows.Observation.objects.get().until == "2025-09"
    assert rows.Egg.objects.get().cause == "dried out"
    place = rows.Place.objects.get()
    assert (place.kind, place.capacity) == ("tray", 12)


def test_write_records__refuses_a_look_that_contradicts_the_egg() -> None:
    write_records(YEAR, who=WHO)
    looks = (EggLook("K1", "2", day("2024-06-20"), EggState.OUT),)
    with pytest.raises(RecordError, match="COL-043 field state: Egg 2 of K1 was found out on 2024-06-20"):
        write_records(Records(egg_looks=looks), who=WHO)
    with pytest.raises(RecordError, match="REC-016 field egg: clutch K1 has no egg '9'"):
        write_records(Records(egg_looks=(EggLook("K1", "9", day("2024-05"), EggState.VEINS),)), who=WHO)


def test_write_records__refuses_a_place_that_none_can_be() -> None:
    with pytest.raises(RecordError, match="REC-011"):
        write_records(Records(places=(Place("x" * 81),)), who=WHO)
