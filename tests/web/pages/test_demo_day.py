"""The day of the demo: moved on the pages, taken back, refused, and there in the demo only."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from tests.web.pages.season_examples import TODAY, keep_a_year

if TYPE_CHECKING:
    from django.test import Client


pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def demo(settings: Any) -> None:
    settings.HOLDBACK_DEMO = True
    keep_a_year()


def day(opened: Client) -> str:
    page = opened.get("/rounds/").content.decode()
    return page.partition("<p>Demo: ")[2].partition("</p>")[0]


def test_move__by_a_day_and_back(opened: Client) -> None:
    assert day(opened) == "Thu 14 May 2026"
    page = opened.post("/demo/day/", follow=True, headers={"referer": "http://testserver/rounds/"})
    assert page.redirect_chain == [("/rounds/", 302)]
    text = page.content.decode()
    assert "The demo is at Fri 15 May 2026." in text
    undo = text.partition('action="/undo/')[2].partition('"')[0]
    opened.post(f"/undo/{undo}", headers={"referer": "http://testserver/rounds/"})
    assert day(opened) == "Thu 14 May 2026"


def test_move__to_a_date_changes_what_is_due(opened: Client) -> None:
    opened.post("/demo/day/", {"day": "2026-06-08"})
    assert day(opened) == "Mon 8 June 2026"
    assert "Move the demo: day" not in opened.get("/").content.decode()
    assert "8 June" in opened.get("/season/").content.decode()


@pytest.mark.parametrize("typed, told", [("8 June", "is no date"), ("2126-06-08", "cannot be moved to 2126-06-08")])
def test_move__what_is_no_day_of_the_demo(opened: Client, typed: str, told: str) -> None:
    answer = opened.post("/demo/day/", {"day": typed})
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert "The demo stays on its day" in answer.content.decode()
    assert day(opened) == f"{TODAY:%a %-d %B %Y}"


def test_move__only_in_the_demo(opened: Client, settings: Any) -> None:
    settings.HOLDBACK_DEMO = False
    assert opened.post("/demo/day/").status_code == 404
    assert "demo-day" not in opened.get("/rounds/").content.decode()
