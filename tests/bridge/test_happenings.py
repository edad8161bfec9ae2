"""The rows of the working year as a Collection: eggs and looks, warmth, places, what lasts, locks with their male."""

from __future__ import annotations

import datetime as dt

import pytest
from django.utils import timezone

from holdback.bridge import collection_around, collection_of_records
from holdback.collection.housing import Place
from holdback.collection.model import (
    Clutch,
    Egg,
    EggLook,
    EggOutcome,
    EggState,
    Event,
    PartialDate,
    Temperature,
)
from holdback.web.records import models as rows
from holdback.web.records.services import add_animal, add_clutch, add_egg, add_mating, add_place, move_animal

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
LAID, LOOKED = PartialDate(2024, 4, 20), PartialDate(2024, 4, 27)


def year() -> None:
    """A clutch in a box, one of its eggs looked at, a lock of its dam, a temperature."""
    dam = add_animal(who=WHO, tag="D1", sex="female")
    mating = add_mating(who=WHO, dam=dam, sire=add_animal(who=WHO, tag="S1", sex="male"), together="2024-01-05")
    box = add_place(who=WHO, name="box 3", within=add_place(who=WHO, name="incubator 1", kind="incubator"))
    rows.Place.objects.filter(pk=box.pk).update(capacity=12, notes="by the door")
    clutch = add_clutch(who=WHO, tag="24-01", dam="D1", sires="S1", laid=str(LAID), eggs=2)
    rows.Clutch.objects.filter(pk=clutch.pk).update(set_aside="a spike of heat")
    egg = add_egg(clutch, who=WHO, mark="1", mass_g=88)
    rows.Egg.objects.filter(pk=egg.pk).update(box=box, outcome="died", ended="2024-05", cause="dried out")
    rows.EggLook.objects.create(egg=egg, date=str(LOOKED), state="weak", note="thin veins")
    rows.Warmth.objects.create(place=box, date=dt.date(2024, 4, 21), time=dt.time(7, 5), celsius=31.6, note="by probe")
    rows.Observation.objects.create(animal=dam, date="2024-01-06", kind="lock", mating=mating)
    rows.Observation.objects.create(animal=dam, date="2024-01-07", kind="lock", mating=mating, note="long")
    rows.Observation.objects.create(animal=dam, date="2024-10", until="2025-09", kind="rests")


def test_collection_of_records__holds_the_working_year() -> None:
    year()
    found = collection_of_records().records
    box = "incubator 1 / box 3"
    assert found.clutches[0].set_aside == "a spike of heat"
    assert found.eggs == (Egg("24-01", "1", 88, EggOutcome.DIED, None, box, PartialDate(2024, 5), "dried out"),)
    assert found.egg_looks == (EggLook("24-01", "1", LOOKED, EggState.WEAK, "thin veins"),)
    assert found.temperatures == (Temperature(box, PartialDate(2024, 4, 21), 31.6, "07:05", "by probe"),)
    assert found.places == (Place("incubator 1", "incubator"), Place(box, "", 12, "by the door"))
    assert found.events == (
        Event("D1", PartialDate(2024, 1, 6), "lock", note="S1"),
        Event("D1", PartialDate(2024, 1, 7), "lock", note="S1: long"),
        Event("D1", PartialDate(2024, 10), "rests", until=PartialDate(2025, 9)),
    )


def test_collection_around__brings_eggs_and_looks_of_its_clutches_only() -> None:
    year()
    add_animal(who=WHO, tag="Y1", clutch="24-01")
    around = collection_around(["Y1"]).records
    assert [look.egg for look in around.egg_looks] == ["1"]
    assert (around.temperatures, around.places) == ((), ()), "a part says nothing of rooms"
    assert collection_around(["S1"]).records.egg_looks == ()


def test_collection_of_records__passes_over_a_removed_clutch() -> None:
    year()
    rows.Clutch.objects.update(removed_at=timezone.now())
    found = collection_of_records().records
    assert (found.clutches, found.eggs, found.egg_looks) == ((), (), ())
    assert len(found.temperatures) == 1, "the box was warm all the same"


def test_collection_of_records__tells_when_an_animal_left_for_nowhere() -> None:
    """A stay that another follows at once needs no end of its own."""
    animal = add_animal(who=WHO, tag="D1")
    tub, rack = add_place(who=WHO, name="tub 1"), add_place(who=WHO, name="hens / cocks")
    move_animal(animal, who=WHO, place=tub, on=dt.date(2024, 3, 1))
    move_animal(animal, who=WHO, place=rack, on=dt.date(2024, 3, 1))
    move_animal(animal, who=WHO, place=None, on=dt.date(2024, 4, 1))
    day = PartialDate(2024, 3, 1)
    assert collection_of_records().records.events == (
        Event("D1", day, "moved", note="tub 1"),
        Event("D1", day, "moved", note="hens // cocks", until=PartialDate(2024, 4, 1)),
    )


def test_collection_of_records__a_clutch_that_counts() -> None:
    add_clutch(who=WHO, tag="24-02")
    assert collection_of_records().records.clutches == (Clutch("24-02"),)
