"""Racks, tubs and incubators: made, changed, closed; animals moved and swapped; room for eggs and young."""

from __future__ import annotations

import datetime as dt

import pytest

from holdback.bridge import collection_of_records
from holdback.errors import RecordError
from holdback.web.records import clock
from holdback.web.records.models import Animal, Change, Place, Stay
from holdback.web.records.room import egg_places, in_order, tubs_free
from holdback.web.records.services import (
    add_animal,
    add_boxes,
    add_incubator,
    add_place,
    add_rack,
    add_tubs,
    change_place,
    close_place,
    lay_clutch,
    move_animal,
    open_place_again,
    put_in_box,
    swap_animals,
    undo,
    write_records,
)
from holdback.web.records.tub_names import tub_names

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
DAY = dt.date(2026, 3, 4)


@pytest.fixture
def rack() -> Place:
    return add_rack(who=WHO, name="Rack B", tubs=["1", "2", "10"])


def tub(name: str) -> Place:
    return Place.objects.get(kind="tub", name=name)


def codes(error: pytest.ExceptionInfo[RecordError]) -> set[str]:
    return {fault.code for fault in error.value.faults}


@pytest.mark.parametrize(
    "text, names",
    [
        ("3-A…3-C", ["3-A", "3-B", "3-C"]),
        ("3-A…C", ["3-A", "3-B", "3-C"]),
        ("9...11, top", ["9", "10", "11", "top"]),
        ("tub 08..tub 10", ["tub 08", "tub 09", "tub 10"]),
        ("a..c\n7", ["a", "b", "c", "7"]),
        ("1-40", ["1-40"]),
        ("", []),
    ],
)
def test_tub_names__stand_for_runs(text: str, names: list[str]) -> None:
    assert tub_names(text) == names


@pytest.mark.parametrize("text", ["F…A", "3-A…4-F", "1…x", "…", "1…3…5", "40…1", "a…F", "1…401", "1..99999999999"])
def test_tub_names__refuses_what_is_no_run(text: str) -> None:
    with pytest.raises(RecordError) as error:
        tub_names(text)
    assert codes(error) == {"SEA-330"}


def test_add_rack__with_its_tubs_is_one_deed(rack: Place) -> None:
    assert [(one.name, one.kind) for one in rack.parts.all()] == [("1", "tub"), ("10", "tub"), ("2", "tub")]
    undo(Change.objects.latest("id").batch, who=WHO)
    assert not Place.objects.exists()


def test_add_rack__with_a_fault_makes_nothing(rack: Place) -> None:
    with pytest.raises(RecordError) as error:
        add_rack(who=WHO, name="Rack B", tubs=["1", "1 "])
    assert codes(error) == {"REC-019"}
    assert len(error.value.faults) == 2
    with pytest.raises(RecordError) as error:
        add_tubs(rack, ["10", "11", "x" * 81], who=WHO)
    assert codes(error) == {"REC-019", "REC-011"}
    assert Place.objects.count() == 4


def test_change_place__names_moves_and_says_how_many_eggs(rack: Place) -> None:
    room = add_place(who=WHO, name="Room 1", kind="room")
    changed = change_place(rack, who=WHO, name="Rack C ", within=room)
    assert (changed.name, changed.within, changed.kind) == ("Rack C", room, "rack")
    incubator = add_incubator(who=WHO, name="Incubator")
    assert change_place(incubator, who=WHO, capacity=36).capacity == 36
    assert change_place(incubator, who=WHO, name="Warm box").capacity == 36
    with pytest.raises(RecordError) as error:
        change_place(room, who=WHO, within=tub("2"))
    assert codes(error) == {"SEA-335"}
    with pytest.raises(RecordError) as error:
        change_place(tub("2"), who=WHO, name="10")
    assert codes(error) == {"REC-019"}


def test_close_place__is_refused_while_somebody_is_in_it(rack: Place, family: dict[str, Animal]) -> None:
    move_animal(family["D1"], who=WHO, place=tub("2"), on=DAY)
    with pytest.raises(RecordError) as error:
        close_place(rack, who=WHO)
    assert codes(error) == {"SEA-331"}
    assert "D1 is in Rack B" in str(error.value)
    move_animal(family["D1"], who=WHO, place=None, on=DAY)
    closed = close_place(rack, who=WHO, on=dt.date(2026, 4, 1))
    assert closed.closed == dt.date(2026, 4, 1)
    assert tubs_free() is None
    assert Stay.objects.get().place == tub("2"), "the history stays"
    with pytest.raises(RecordError) as error:
        move_animal(family["D1"], who=WHO, place=tub("2"), on=DAY)
    assert codes(error) == {"SEA-333"}
    with pytest.raises(RecordError) as error:
        add_tubs(rack, ["11"], who=WHO)
    assert codes(error) == {"SEA-333"}
    with pytest.raises(RecordError, match="out of use"):
        add_rack(who=WHO, name="Rack B")
    with pytest.raises(RecordError) as error:
        open_place_again(tub("2"), who=WHO)
    assert codes(error) == {"SEA-333"}
    open_place_again(rack, who=WHO)
    assert tubs_free() == 3


def test_close_place__is_refused_while_eggs_lie_in_it(family: dict[str, Animal]) -> None:
    incubator = add_incubator(who=WHO, name="Incubator", capacity=20)
    (box,) = add_boxes(incubator, ["Box 1"], who=WHO)
    clutch = lay_clutch(who=WHO, dam="D1", laid="2026-04-02", eggs=4, slugs=["4"])
    put_in_box(list(clutch.egg_records.all()), box, who=WHO)
    with pytest.raises(RecordError) as error:
        close_place(incubator, who=WHO)
    assert codes(error) == {"SEA-332"}
    assert "3 eggs lie in Incubator" in str(error.value)


def test_swap_animals__keeps_ids_and_ends_both_stays(rack: Place, family: dict[str, Animal]) -> None:
    dam, sire = family["D1"], family["S1"]
    move_animal(dam, who=WHO, place=tub("1"), on=DAY)
    move_animal(sire, who=WHO, place=tub("2"), on=DAY)
    swap_animals(dam, sire, who=WHO, on=dt.date(2026, 3, 9))
    now = {stay.animal.tag: stay.place.name for stay in Stay.objects.filter(until__isnull=True)}
    assert now == {"D1": "2", "S1": "1"}
    assert Animal.objects.get(pk=dam.pk).tag == "D1"
    undo(Change.objects.latest("id").batch, who=WHO)
    now = {stay.animal.tag: stay.place.name for stay in Stay.objects.filter(until__isnull=True)}
    assert now == {"D1": "1", "S1": "2"}
    with pytest.raises(RecordError) as error:
        swap_animals(dam, sire, who=WHO, on=dt.date(2026, 3, 1))
    assert codes(error) == {"REC-012"}
    assert len(error.value.faults) == 2
    with pytest.raises(RecordError) as error:
        swap_animals(dam, dam, who=WHO)
    assert codes(error) == {"SEA-336"}


def test_move_animal__not_into_the_future(rack: Place, family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError) as error:
        move_animal(family["D1"], who=WHO, place=tub("1"), on=clock.today() + dt.timedelta(days=1))
    assert codes(error) == {"SEA-002"}


def test_egg_places__counts_incubators_or_the_boxes_in_them() -> None:
    assert egg_places() is None
    said = add_incubator(who=WHO, name="Said", capacity=20)
    add_boxes(said, ["1", "2"], who=WHO, capacity=50)
    assert egg_places() == 20
    unsaid = add_incubator(who=WHO, name="Unsaid")
    add_boxes(unsaid, ["1", "2"], who=WHO, capacity=8)
    add_place(who=WHO, name="Loose", kind="box", capacity=5)
    assert egg_places() == 20 + 16 + 5
    close_place(unsaid, who=WHO)
    assert egg_places() == 25


def test_tubs_free__counts_those_with_nobody(rack: Place, family: dict[str, Animal]) -> None:
    move_animal(family["D1"], who=WHO, place=tub("1"), on=DAY)
    move_animal(family["S1"], who=WHO, place=tub("1"), on=DAY)
    assert tubs_free() == 2
    move_animal(family["S1"], who=WHO, place=tub("2"), on=DAY)
    move_animal(family["S1"], who=WHO, place=None, on=DAY)
    assert tubs_free() == 2, "whoever was there before does not count"


def test_tubs_free__young_that_are_counted_elsewhere(rack: Place, family: dict[str, Animal]) -> None:
    clutch = lay_clutch(who=WHO, dam="D1", laid="2026-01-02", eggs=1)
    young = add_animal(who=WHO, tag="Y9", dam="D1", clutch=clutch, hatched="2026-03-01")
    move_animal(young, who=WHO, place=tub("1"), on=DAY)
    move_animal(family["S1"], who=WHO, place=tub("2"), on=DAY)
    assert tubs_free() == 1
    assert tubs_free(young_from=dt.date(2026, 3, 1)) == 2
    assert tubs_free(young_from=dt.date(2026, 3, 2)) == 1


def test_in_order__by_numbers_then_letters() -> None:
    assert in_order(["10-A", "b", "2-B", "2-A", "B10", "B2", "1"]) == ["1", "2-A", "2-B", "10-A", "b", "B2", "B10"]


def test_close_place__is_kept_by_an_export_and_an_import(rack: Place) -> None:
    close_place(tub("2"), who=WHO, on=dt.date(2026, 4, 1))
    add_animal(who=WHO, tag="A1")
    records = collection_of_records().records
    assert {place.path: str(place.closed) for place in records.places if place.closed} == {"Rack B / 2": "2026-04-01"}
    Place.objects.exclude(within=None).delete()
    Place.objects.all().delete()
    Animal.objects.all().delete()
    write_records(records, who=WHO)
    assert [(one.name, one.closed) for one in Place.objects.exclude(closed=None)] == [("2", dt.date(2026, 4, 1))]
