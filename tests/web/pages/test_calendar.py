"""The calendar page, its file and its feed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from django.test import Client
from icalendar import Calendar

from holdback.web.access import feed_address
from holdback.web.records.models import CalendarItem
from holdback.web.records.services import add_animal, put_together

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_data_folder(tmp_path: Path, settings: object) -> None:
    settings.HOLDBACK_DATA = tmp_path  # type: ignore[attr-defined]  # the fixture takes any setting


@pytest.fixture
def pair() -> None:
    today = dt.date.today()  # noqa: DTZ011 - the day where the test runs
    sire = add_animal(who="test", tag="A1", sex="male", hatched=str(today.year - 4))
    dam = add_animal(who="test", tag="A2", name="Ruddle", sex="female", hatched=str(today.year - 5))
    put_together(who="test", dam=dam, sire=sire, on=today - dt.timedelta(days=20))


def _feed() -> str:
    return f"/calendar/feed/{feed_address.feed_secret()}/season.ics"


def test_calendar_file__opens_in_a_calendar_library(opened: Client, pair: None) -> None:
    answer = opened.get("/calendar/season.ics")
    assert answer["Content-Type"].startswith("text/calendar")
    titles = [str(event["summary"]) for event in Calendar.from_ical(answer.content).walk("VEVENT")]
    assert any("Ruddle A2" in title for title in titles)


def test_calendar_feed__needs_its_secret_and_no_session(opened: Client, pair: None) -> None:
    feed_address.renew_feed()
    stranger = Client()
    assert stranger.get(_feed()).status_code == 200
    assert stranger.get("/calendar/feed/guessed/season.ics").status_code == 404
    assert stranger.get("/calendar/").status_code == 403


def test_calendar_feed__an_address_given_out_before_leads_nowhere(opened: Client, pair: None) -> None:
    opened.post("/calendar/give-out/")
    old = _feed()
    opened.post("/calendar/give-out/")
    assert opened.get(old).status_code == 404
    assert opened.get(_feed()).status_code == 200
    opened.post("/calendar/close/")
    assert opened.get(old).status_code == 404
    assert feed_address.feed_secret() == ""


def test_calendar_feed__asked_again_is_the_same_and_says_so(opened: Client, pair: None) -> None:
    feed_address.renew_feed()
    first = opened.get(_feed())
    again = opened.get(_feed(), headers={"if-none-match": first["ETag"]})
    assert again.status_code == 304
    assert opened.get(_feed()).content == first.content
    assert CalendarItem.objects.filter(sequence__gt=0).count() == 0


def test_calendar_feed__calls_off_what_no_longer_holds(opened: Client, pair: None) -> None:
    from holdback.web.records.models import Mating
    from holdback.web.records.services import remove_mating

    feed_address.renew_feed()
    opened.get(_feed())
    remove_mating(Mating.objects.get(), who="test")
    events = Calendar.from_ical(opened.get(_feed()).content).walk("VEVENT")
    called_off = [str(event["summary"]) for event in events if str(event["status"]) == "CANCELLED"]
    assert any("lays" in title for title in called_off)
    assert all(int(event["sequence"]) == 1 for event in events if str(event["status"]) == "CANCELLED")


def test_calendar_page__shows_what_is_in_it(opened: Client, pair: None) -> None:
    page = opened.get("/calendar/").content.decode()
    assert "Ruddle A2 lays" in page
    assert "Not given out" in page


def test_calendar_page__without_anything_says_what_it_will_show(opened: Client) -> None:
    assert "Nothing yet" in opened.get("/calendar/").content.decode()
