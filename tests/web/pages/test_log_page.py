"""Log something: who, what, one form; what looks odd comes back as a question with its answers."""

from __future__ import annotations

import datetime as dt

import pytest
from django.conf import LazySettings
from django.test import Client
from pytest_django.asserts import assertNumQueries
from tests.web.pages.conftest import Read, plain

from holdback.collection.model import Trait
from holdback.web.pages.log.deeds import DEEDS
from holdback.web.records.models import Animal, Mating, Measurement, Observation, Place, Setting, Stay
from holdback.web.records.services import add_place, log_event, put_together

DAY = dt.date(2026, 5, 14)


@pytest.fixture(autouse=True)
def day(db: None, settings: LazySettings) -> None:
    """The records stand still on a day, as in the demo."""
    settings.HOLDBACK_DEMO = True
    Setting.objects.create(key="day", value=DAY.isoformat())


@pytest.fixture
def umber(barn: dict[str, Animal]) -> Animal:
    return barn["Umber"]


def address(animal: Animal, what: str, **more: str) -> str:
    return f"/log/?animal={animal.pk}&what={what}" + "".join(f"&{key}={value}" for key, value in more.items())


def test_log__finds_who_by_name_and_offers_those_written_of_last(opened: Client, read: Read, umber: Animal) -> None:
    log_event(umber, who="test", kind="shed", on="2026-05-01")
    text = read("/log/", who="umb")
    assert "Umber 22-11" in text
    assert f"/log/?animal={umber.pk}" in opened.get("/log/").content.decode()
    assert "Nobody here is called that." in read("/log/", who="zzz")


def test_log__keeps_the_queries_however_many_there_are(opened: Client, umber: Animal, barn: dict[str, Animal]) -> None:
    for index, animal in enumerate(barn.values()):
        if animal.status != "sold":
            log_event(animal, who="test", kind="shed", on=f"2026-05-0{1 + index % 9}")
    opened.get("/log/")
    with assertNumQueries(6):
        opened.get("/log/")


def test_what__offers_what_the_sex_allows(read: Read, barn: dict[str, Animal]) -> None:
    assert "Ultrasound" in read("/log/", animal=str(barn["Umber"].pk))
    text = read("/log/", animal="20-07")
    assert "Ultrasound" not in text
    assert "Together with…" in text


@pytest.mark.parametrize("key", sorted(DEEDS))
def test_form__opens_with_today(opened: Client, umber: Animal, key: str) -> None:
    put_together(who="test", dam=umber, sire=Animal.objects.get(tag="20-07"), on=dt.date(2026, 5, 1))
    page = opened.get(address(umber, key)).content.decode()
    assert 'value="2026-05-14"' in page


def test_laid__is_written_with_its_eggs(opened: Client, read: Read, umber: Animal) -> None:
    assert opened.get(address(umber, "laid")).headers["Location"] == "/clutches/new/?dam=22-11"
    assert "/clutches/new/?dam=22-11" in opened.get(f"/log/?animal={umber.pk}").content.decode()


def test_form__of_nothing_known_is_not_found(opened: Client, umber: Animal) -> None:
    assert opened.get(address(umber, "bathed")).status_code == 404
    assert opened.get("/log/?animal=99-99").status_code == 404


@pytest.mark.parametrize(
    "what, said, kind, value, note",
    [
        ("fed", {"taken": "taken", "value": "45 g"}, "meal", 45, ""),
        ("fed", {"taken": "up", "value": "1.5 oz"}, "meal", 42.52, "came up again"),
        ("shed", {"whole": "pieces", "note": "stuck"}, "shed", None, "came off in pieces; stuck"),
        ("ultrasound", {"value": "1,8 cm", "count": "7"}, "ultrasound", 18, "7 follicles"),
        ("ovulation", {}, "ovulation", None, ""),
        ("co-owned", {"note": "Fallow Croft", "value": "25 %"}, "co-owned", 25, "Fallow Croft"),
        ("sign", {"note": "wheezes"}, "sign", None, "wheezes"),
    ],
)  # fmt: skip
def test_form__writes_what_was_told(
    opened: Client, umber: Animal, what: str, said: dict[str, str], kind: str, value: float | None, note: str
) -> None:
    response = opened.post(address(umber, what), {"on": "2026-05-14", **said}, follow=True)
    assert response.status_code == 200
    seen = Observation.objects.get(kind=kind)
    assert (seen.date, seen.note) == ("2026-05-14", note)
    assert seen.value == (None if value is None else pytest.approx(value, abs=0.01))


def test_form__is_taken_back_by_its_toast(opened: Client, umber: Animal) -> None:
    page = opened.post(address(umber, "died"), {"on": "2026-05-14", "note": "not known"}, follow=True)
    umber.refresh_from_db()
    assert umber.status == "died"
    text = page.content.decode()
    undo = text.split('action="/undo/')[1].split('"')[0]
    opened.post(f"/undo/{undo}")
    umber.refresh_from_db()
    assert umber.status != "died"


def test_form__keeps_what_was_typed_where_it_is_refused(opened: Client, umber: Animal) -> None:
    response = opened.post(address(umber, "ultrasound"), {"on": "2026-05-14", "value": "812", "note": "left side"})
    text = response.content.decode()
    assert response.status_code == 422
    assert 'value="812"' in text
    assert 'value="left side"' in text
    assert "80" in plain(text), "it says what it may be at most"
    response = opened.post(address(umber, "ultrasound"), {"on": "2026-05-14", "value": "large"})
    assert "large is no number" in response.content.decode()


def test_form__goes_on_to_where_it_was_asked_from_and_nowhere_else(opened: Client, umber: Animal) -> None:
    said = {"on": "2026-05-14", "whole": "whole"}
    back = opened.post(address(umber, "shed", next=f"/animals/{umber.pk}/"), said)
    assert back.headers["Location"] == f"/animals/{umber.pk}/"
    away = opened.post(address(umber, "shed", next="//elsewhere.example/"), {**said, "on": "2026-05-13"})
    assert away.headers["Location"].startswith("/log/")


def test_weight__that_looks_like_a_slip_is_asked_about_with_what_was_meant(opened: Client, umber: Animal) -> None:
    said = {"on": "2026-05-14", "typed": "316", "unit": "g", "condition": ""}
    text = opened.post(address(umber, "weighed"), said).content.decode()
    assert "316 g, after 3,140 g on 6 May 2026: 3,160 g, or is 316 g right?" in plain(text)
    assert not Measurement.objects.filter(date="2026-05-14").exists()
    assert 'value="typed=3,160 g"' in text
    opened.post(address(umber, "weighed"), {**said, "instead": "typed=3,160 g"})
    assert Measurement.objects.get(date="2026-05-14").value == 3160


def test_weight__stays_as_typed_where_the_keeper_is_sure(opened: Client, umber: Animal) -> None:
    said = {"on": "2026-05-14", "typed": "316", "unit": "g", "condition": "", "answer": "sure"}
    opened.post(address(umber, "weighed"), said)
    assert Measurement.objects.get(date="2026-05-14").value == 316


@pytest.mark.parametrize("typed, value, unit", [("3,165", 3165, "g"), ("6.9 lb", 6.9, "lb")])
def test_weight__is_read_as_keepers_write_it(
    opened: Client, umber: Animal, typed: str, value: float, unit: str
) -> None:
    opened.post(address(umber, "weighed"), {"on": "2026-05-14", "typed": typed, "unit": "g", "condition": ""})
    last = Measurement.objects.get(date="2026-05-14")
    assert (last.value, last.unit, last.typed) == (value, unit, typed)


def test_weight__twice_is_not_doubled(opened: Client, umber: Animal) -> None:
    said = {"on": "2026-05-14", "typed": "3165", "unit": "g", "condition": ""}
    opened.post(address(umber, "weighed"), said)
    page = opened.post(address(umber, "weighed"), said, follow=True).content.decode()
    assert "Nothing new: that was written already." in page
    assert Measurement.objects.filter(date="2026-05-14").count() == 1


def test_length__is_no_mass(opened: Client, umber: Animal) -> None:
    said = {"on": "2026-05-14", "trait": Trait.HEAD_WIDTH.value, "typed": "3.8 cm", "unit": "mm"}
    opened.post(address(umber, "measured"), said)
    last = Measurement.objects.get(date="2026-05-14")
    assert (last.value, last.unit, last.trait) == (3.8, "cm", Trait.HEAD_WIDTH.value)
    response = opened.post(address(umber, "measured"), {**said, "typed": "38 g"})
    assert "g does not fit here" in response.content.decode()


def test_day__to_come_is_asked_about_with_today(opened: Client, umber: Animal) -> None:
    text = opened.post(address(umber, "shed"), {"on": "2026-05-20", "whole": "whole"}).content.decode()
    assert "20 May 2026 is yet to come" in text
    opened.post(address(umber, "shed"), {"on": "2026-05-20", "whole": "whole", "instead": "on=2026-05-14"})
    assert Observation.objects.get(kind="shed").date == "2026-05-14"


def test_together__he_leaves_the_other_female_that_day(opened: Client, barn: dict[str, Animal]) -> None:
    put_together(who="test", dam=barn["Sorrel"], sire=barn["Harrow"], on=dt.date(2026, 5, 10))
    said = {"on": "2026-05-14", "other": "harrow"}
    text = opened.post(address(barn["Umber"], "together"), said).content.decode()
    assert "20-07 was put to 22-09" in text
    assert Mating.objects.count() == 1
    opened.post(address(barn["Umber"], "together"), {**said, "answer": "parted"})
    assert Mating.objects.get(dam=barn["Sorrel"]).apart == "2026-05-14"
    assert Mating.objects.get(dam=barn["Umber"]).together == "2026-05-14"


def test_together__of_two_females_names_both(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(address(barn["Umber"], "together"), {"on": "2026-05-14", "other": "22-09"})
    assert "both recorded as female" in response.content.decode()
    assert not Mating.objects.exists()


def test_lock__of_a_male_finds_his_female_and_a_second_tap_is_asked_about(
    opened: Client, barn: dict[str, Animal]
) -> None:
    put_together(who="test", dam=barn["Umber"], sire=barn["Harrow"], on=dt.date(2026, 5, 10))
    said = {"on": "2026-05-14", "other": ""}
    opened.post(address(barn["Harrow"], "lock"), said)
    assert Mating.objects.get().locks == 1
    text = opened.post(address(barn["Harrow"], "lock"), said).content.decode()
    assert "Yes, another lock" in text
    assert Mating.objects.get().locks == 1
    opened.post(address(barn["Harrow"], "lock"), {**said, "answer": "again"})
    assert Mating.objects.get().locks == 2


def test_lock__of_a_male_with_nobody_says_so(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(address(barn["Harrow"], "lock"), {"on": "2026-05-14", "other": ""})
    assert "nobody is recorded with 20-07" in response.content.decode().casefold()


def test_apart__names_who_it_was_with(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    assert "Nobody is written as being with Umber" in read(address(barn["Umber"], "apart"))
    mating = put_together(who="test", dam=barn["Umber"], sire=barn["Harrow"], on=dt.date(2026, 5, 10))
    assert "20-07 Harrow, since 2026-05-10" in read(address(barn["Umber"], "apart"))
    opened.post(address(barn["Umber"], "apart"), {"on": "2026-05-14", "mating": str(mating.pk)})
    assert Mating.objects.get().apart == "2026-05-14"


def test_moved__goes_to_a_tub(opened: Client, umber: Animal) -> None:
    rack = add_place(who="test", name="Rack 1", kind="rack")
    tub = add_place(who="test", name="1-A", kind="tub", within=rack)
    opened.post(address(umber, "moved"), {"on": "2026-05-14", "place": str(tub.pk)})
    assert Stay.objects.get(animal=umber).place == Place.objects.get(pk=tub.pk)


def test_moved__offers_no_place_out_of_use(opened: Client, umber: Animal, read: Read) -> None:
    for name in ("Rack 1", "Rack 2"):
        add_place(who="test", name=name, kind="rack")
    Place.objects.filter(name="Rack 2").update(closed="2026-05-01")
    text = read(address(umber, "moved"))
    assert ("Rack 1" in text, "Rack 2" in text) == (True, False)


def test_meal__written_already_is_asked_about(opened: Client, umber: Animal) -> None:
    said = {"on": "2026-05-14", "taken": "refused", "value": ""}
    opened.post(address(umber, "fed"), said)
    text = opened.post(address(umber, "fed"), said).content.decode()
    assert "Yes, another one" in text
    assert Observation.objects.filter(kind="meal").count() == 1
