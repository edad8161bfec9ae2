"""Who is with whom: one tap a deed, and what looks odd is asked about."""

from __future__ import annotations

import datetime as dt

import pytest
from django.conf import LazySettings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from tests.web.pages.conftest import Read, plain

from holdback.web.records.models import Animal, Mating, Setting
from holdback.web.records.services import put_together

DAY = dt.date(2026, 5, 14)


@pytest.fixture(autouse=True)
def day(db: None, settings: LazySettings) -> None:
    """The records stand still on a day, as in the demo."""
    settings.HOLDBACK_DEMO = True
    Setting.objects.create(key="day", value=DAY.isoformat())


def paired(barn: dict[str, Animal], dam: str, sire: str, on: str) -> Mating:
    return put_together(who="test", dam=barn[dam], sire=barn[sire], on=dt.date.fromisoformat(on), sure=True)


def test_matings__say_who_is_with_whom_and_for_how_long(read: Read, barn: dict[str, Animal]) -> None:
    assert "No two are together on record." in read("/matings/")
    paired(barn, "Umber", "Harrow", "2026-05-02")
    text = read("/matings/")
    assert "1 pair together now." in text
    assert "since 2 May 2026 12 days Harrow 20-07 with Umber 22-11 no lock seen" in text


def test_matings__list_those_never_parted_apart(read: Read, barn: dict[str, Animal]) -> None:
    paired(barn, "Umber", "Harrow", "2025-11-20")
    text = read("/matings/")
    assert "1 pair was never parted on paper." in text
    assert "No two are together on record." in text


def test_matings__tell_the_load_of_each_male(read: Read, barn: dict[str, Animal]) -> None:
    paired(barn, "Umber", "Harrow", "2026-05-02")
    text = read("/matings/")
    assert "Harrow 20-07 1" in text
    assert "With 22-11 since 2 May" in text


def test_matings__ask_as_often_however_many_there_are(opened: Client, barn: dict[str, Animal]) -> None:
    def queries() -> int:
        opened.get("/matings/")
        with CaptureQueriesContext(
            connection,
        ) as seen:
            opened.get("/matings/")
        return len(seen)

    paired(barn, "Umber", "Harrow", "2026-05-02")
    few = queries()
    for dam in ("Sorrel", "Quill", "Thistle"):
        paired(barn, dam, "Ledger", "2026-05-03")
    assert queries() == few


def test_put_together__asks_and_parts_him_from_the_other(opened: Client, barn: dict[str, Animal]) -> None:
    paired(barn, "Sorrel", "Harrow", "2026-05-10")
    said = {"dam": "umber", "sire": "20-07", "on": "2026-05-14"}
    response = opened.post("/matings/", said)
    assert response.status_code == 422
    assert "He left her that day" in response.content.decode()
    opened.post("/matings/", {**said, "answer": "parted"})
    assert list(Mating.objects.order_by("together").values_list("apart", flat=True)) == ["2026-05-14", ""]


def test_put_together__says_who_is_not_there(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post("/matings/", {"dam": "nobody", "sire": "20-07", "on": "2026-05-14"})
    assert "No animal has the id or name &#x27;nobody&#x27;" in response.content.decode()
    assert 'value="nobody"' in response.content.decode()


def test_lock__a_second_tap_is_asked_about(opened: Client, barn: dict[str, Animal]) -> None:
    mating = paired(barn, "Umber", "Harrow", "2026-05-02")
    address = f"/matings/{mating.pk}/lock/"
    assert "Lock 1 of 20-07 with 22-11" in opened.post(address, follow=True).content.decode()
    response = opened.post(address)
    assert response.status_code == 422
    assert "Yes, another lock" in plain(response.content.decode())
    opened.post(address, {"answer": "again"})
    assert Mating.objects.get().locks == 2


def test_apart__is_one_tap_and_comes_back_by_undo(opened: Client, barn: dict[str, Animal]) -> None:
    mating = paired(barn, "Umber", "Harrow", "2026-05-02")
    page = opened.post(f"/matings/{mating.pk}/apart/", follow=True).content.decode()
    assert Mating.objects.get().apart == "2026-05-14"
    opened.post("/undo/" + page.split('action="/undo/')[1].split('"')[0])
    assert Mating.objects.get().apart == ""


def test_apart__on_a_day_before_a_lock_is_refused_with_the_way_back(opened: Client, barn: dict[str, Animal]) -> None:
    mating = paired(barn, "Umber", "Harrow", "2026-05-20")
    response = opened.post(f"/matings/{mating.pk}/apart/")
    assert response.status_code == 422
    assert "after 2026-05-14" in response.content.decode()
