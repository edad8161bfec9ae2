"""What happened to an animal: listed with the way to correct each entry, to take it out and to bring it back."""

from __future__ import annotations

import datetime as dt

import pytest
from django.conf import LazySettings
from django.test import Client
from pytest_django.asserts import assertNumQueries
from tests.web.pages.conftest import Read, plain

from holdback.web.pages.happened.page import entries
from holdback.web.records.models import Animal, Change, Mating, Measurement, Observation, Setting
from holdback.web.records.services import (
    add_measurement,
    add_observation,
    borrowed,
    co_owned,
    lent,
    log_event,
    log_lock,
    put_together,
    returned,
)

WHO = "test"
DAY = dt.date(2026, 5, 14)


@pytest.fixture(autouse=True)
def day(db: None, settings: LazySettings) -> None:
    """The records stand still on a day, as in the demo."""
    settings.HOLDBACK_DEMO = True
    Setting.objects.create(key="day", value=DAY.isoformat())


@pytest.fixture
def umber(barn: dict[str, Animal]) -> Animal:
    return barn["Umber"]


@pytest.fixture
def shed(umber: Animal) -> Observation:
    return log_event(umber, who=WHO, kind="shed", on="2026-05-01", note="in one piece")


def list_of(animal: Animal) -> str:
    return f"/animals/{animal.pk}/happened/"


def test_entries__stand_by_day_with_their_words(read: Read, barn: dict[str, Animal], umber: Animal) -> None:
    mating = put_together(who=WHO, dam=umber, sire=barn["Harrow"], on=dt.date(2026, 4, 1))
    log_lock(who=WHO, dam=umber, on=dt.date(2026, 4, 2), mating=mating)
    log_event(umber, who=WHO, kind="ultrasound", on="2026-05-10", value=22, note="7 follicles")
    text = read(list_of(umber))
    order = [
        "10 May 2026 Ultrasound: 22 mm, 7 follicles",
        "6 May 2026 Weight: 3,140 g, gravid",
        "2 April 2026 Lock: with 20-07 Harrow",
        "1 April 2026 With 20-07 Harrow, not parted on record, 1 lock",
        "2 March 2026 Weight: 3,010 g, empty",
    ]
    places = [text.find(words) for words in order]
    assert -1 not in places
    assert places == sorted(places)
    assert "Ultrasound: 22 mm" in read(f"/animals/{umber.pk}/")


def test_entries__come_by_pages_and_without_the_daily_ones(read: Read, umber: Animal) -> None:
    for number in range(25):
        add_observation(umber, who=WHO, date=f"2025-03-{number + 1:02}", kind="meal", value=80, unit="g")
    log_event(umber, who=WHO, kind="shed", on="2024-05-01")
    text = read(list_of(umber))
    assert "1–20 of 29" in text
    assert "Shed" not in text
    assert "21–29 of 29" in read(list_of(umber), page="2")
    text = read(list_of(umber), but="daily")
    assert "1 May 2024 Shed" in text
    assert "Meal" not in text


def test_entries__ask_as_often_however_many_there_are(umber: Animal, barn: dict[str, Animal]) -> None:
    for number in range(3):
        put_together(who=WHO, dam=umber, sire=barn["Harrow"], on=dt.date(2023 + number, 1, 1), sure=True)
        add_measurement(umber, who=WHO, date=f"2023-0{number + 1}-01", value=2000)
    with assertNumQueries(4):
        entries(umber)


def test_change__keeps_before_and_after(opened: Client, umber: Animal, shed: Observation) -> None:
    address = f"/happened/event/{shed.pk}/"
    assert 'value="in one piece"' in opened.get(address).content.decode()
    opened.post(address, {"date": "2026-05-02", "note": "in pieces"})
    shed.refresh_from_db()
    assert (shed.date, shed.note) == ("2026-05-02", "in pieces")
    row = Change.objects.filter(record=shed.pk).latest("id")
    assert (row.before, row.after) == (
        {"date": "2026-05-01", "note": "in one piece"},
        {"date": "2026-05-02", "note": "in pieces"},
    )


def test_history__tells_events_and_matings_with_what_stood_there(
    opened: Client, read: Read, barn: dict[str, Animal], umber: Animal, shed: Observation
) -> None:
    put_together(who=WHO, dam=umber, sire=barn["Harrow"], on=dt.date(2026, 4, 1))
    opened.post(f"/happened/event/{shed.pk}/", {"date": "2026-05-02", "note": "in one piece"})
    text = read(f"/animals/{umber.pk}/history/")
    assert "Change observation date: 2026-05-01 → 2026-05-02" in text
    assert "Shed shed, 1 May 2026, in one piece" in text
    assert "Put together mating, 1 April 2026" in text


def test_change__that_cannot_be_is_refused_with_what_was_typed(opened: Client, shed: Observation) -> None:
    response = opened.post(f"/happened/event/{shed.pk}/", {"date": "2020-05-02", "note": "as before"})
    assert response.status_code == 422
    text = response.content.decode()
    assert "hatched 2022-07-18" in text
    assert 'value="2020-05-02"' in text
    assert Observation.objects.get(pk=shed.pk).date == "2026-05-01"


def test_change__to_a_day_to_come_is_asked_about(opened: Client, shed: Observation) -> None:
    address = f"/happened/event/{shed.pk}/"
    text = opened.post(address, {"date": "2026-06-02", "note": ""}).content.decode()
    assert 'value="date=2026-05-14"' in text
    opened.post(address, {"date": "2026-06-02", "note": "", "instead": "date=2026-05-14"})
    assert Observation.objects.get(pk=shed.pk).date == "2026-05-14"


def test_change__of_a_weight_reads_it_as_typed(opened: Client, umber: Animal) -> None:
    weight = Measurement.objects.get(date="2026-05-06")
    address = f"/happened/reading/{weight.pk}/"
    opened.post(address, {"date": "2026-05-06", "typed": "6.9 lb", "unit": "g", "condition": "gravid"})
    weight.refresh_from_db()
    assert (weight.value, weight.unit, weight.typed) == (6.9, "lb", "6.9 lb")
    response = opened.post(address, {"date": "2026-05-06", "typed": "heavy", "unit": "g", "condition": ""})
    assert response.status_code == 422
    assert "is no weight" in response.content.decode()


def test_change__of_a_length_refuses_a_mass(opened: Client, umber: Animal) -> None:
    length = add_measurement(umber, who=WHO, date="2026-05-01", trait="head width", value=38, unit="mm")
    response = opened.post(f"/happened/reading/{length.pk}/", {"date": "2026-05-01", "typed": "38 g", "unit": "mm"})
    assert response.status_code == 422
    assert "g does not fit here" in response.content.decode()


def test_change__of_a_mating_moves_its_locks(opened: Client, barn: dict[str, Animal], umber: Animal) -> None:
    mating = put_together(who=WHO, dam=umber, sire=barn["Harrow"], on=dt.date(2026, 4, 1))
    lock = log_lock(who=WHO, dam=umber, on=dt.date(2026, 4, 2), mating=mating).seen
    said = {"dam": "22-11", "sire": "Ledger", "together": "2026-04-01", "apart": "", "locks": "1", "notes": ""}
    opened.post(f"/happened/mating/{mating.pk}/", said)
    assert Mating.objects.get().sire == barn["Ledger"]
    assert Observation.objects.get(pk=lock.pk).note == "with 22-05 Ledger"
    response = opened.post(f"/happened/mating/{mating.pk}/", {**said, "locks": "0"})
    assert "locks of 22-05 with 22-11 are dated" in response.content.decode()


def test_remove__is_one_tap_and_comes_back_by_undo(opened: Client, umber: Animal, shed: Observation) -> None:
    page = opened.post(f"/happened/event/{shed.pk}/remove/", follow=True).content.decode()
    assert "Taken out: Shed: in one piece." in plain(page)
    assert not Observation.objects.filter(kind="shed").exists()
    opened.post("/undo/" + page.split('action="/undo/')[1].split('"')[0])
    assert Observation.objects.get(kind="shed").pk == shed.pk


def test_change__of_nothing_is_not_found(opened: Client, shed: Observation) -> None:
    assert opened.get(f"/happened/photo/{shed.pk}/").status_code == 404
    assert opened.get(f"/happened/mating/{shed.pk}/").status_code == 404


def test_whose__says_loans_and_shares(read: Read, barn: dict[str, Animal], umber: Animal) -> None:
    borrowed(barn["Harrow"], who=WHO, on="2026-01-03", of="Fallow Croft", until="2026-04-30")
    text = read(f"/animals/{barn['Harrow'].pk}/")
    assert "Borrowed since 3 January 2026, until 30 April 2026: Fallow Croft. That day is past" in text
    co_owned(umber, who=WHO, on="2026-02-01", by="Hollin Barn", percent=25)
    assert "Co-owned since 1 February 2026: Hollin Barn, 25 %." in read(f"/animals/{umber.pk}/")
    assert "Whose it is" not in read(f"/animals/{barn['Sorrel'].pk}/")


def test_collection__shows_who_is_lent_borrowed_or_shared(read: Read, barn: dict[str, Animal], umber: Animal) -> None:
    lent(barn["Sorrel"], who=WHO, on="2026-01-03", to="Fallow Croft")
    borrowed(barn["Harrow"], who=WHO, on="2026-01-03", of="Fallow Croft")
    co_owned(umber, who=WHO, on="2026-02-01", by="Hollin Barn", percent=25)
    for kind, tag in (("lent", "22-09"), ("borrowed", "20-07"), ("co-owned", "22-11")):
        text = read("/animals/", whose=kind)
        assert "1 of 10 animals" in text
        assert tag in text
    returned(barn["Sorrel"], who=WHO, on="2026-02-03")
    assert "Nobody answers to that" in read("/animals/", whose="lent")
