"""What is due on the Desk: late first, many of a kind in one line, one tap, a way back."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from tests.web.pages.season_examples import TODAY, WHO, keep_a_year

from holdback.collection.event_kinds import MEAL, NEST_BOX, QUARANTINE, SIGN
from holdback.season.due import DEEDS
from holdback.season.outlook import DueItem
from holdback.web.pages.due.rows import due_list
from holdback.web.pages.due.today import lede_of, prey_words
from holdback.web.pages.season.names import Names
from holdback.web.records.models import EggLook, Observation
from holdback.web.records.services import change_clutch
from holdback.web.records.services.happenings import log_event
from holdback.web.records.services.matings import put_together

Read = Callable[..., str]
DAY = dt.timedelta(days=1)


@pytest.fixture
def kept(db: None, settings: Any) -> dict[str, Any]:
    settings.HOLDBACK_DEMO = True
    return keep_a_year()


def key_of(page: str, button: str) -> str:
    """Key that the tap with these words sends."""
    found = re.search(rf'name="key" value="([^"]+)"><button class="btn">{button}', page)
    assert found, button
    return found[1]


def tap(opened: Client, button: str) -> str:
    """Tap a button of the Desk; the Desk afterwards."""
    key = key_of(opened.get("/").content.decode(), button)
    response = opened.post("/due/done/", {"key": key}, follow=True)
    assert response.status_code == 200, response.content.decode()
    return response.content.decode()


def test_desk__says_how_much_is_late_and_for_today(read: Read, kept: dict[str, Any]) -> None:
    text = read("/")
    assert re.search(r"\d things? (is|are) late|\d+ things? (is|are) for today", text)
    assert "Shed on 9 May. Nest box in" in text
    assert re.search(r"Feed \d animals whose last meal is older than the plan: ", text)
    assert "Start feeding" in text
    assert "Prey for a week: " in text


def test_desk__writes_a_deed_by_one_tap_and_takes_it_back(opened: Client, kept: dict[str, Any]) -> None:
    page = tap(opened, "Box is in")
    assert "Fennel 20-12: nest box in." in page
    assert Observation.objects.get(kind=NEST_BOX).date == TODAY.isoformat()
    assert "Box is in" not in page
    undo = re.search(r'action="(/undo/[^"]+)"', page)
    assert undo
    opened.post(undo[1])
    assert not Observation.objects.filter(kind=NEST_BOX).exists()
    assert "Box is in" in opened.get("/").content.decode()


def test_desk__feeds_one_by_one(opened: Client, kept: dict[str, Any]) -> None:
    before = Observation.objects.filter(kind=MEAL).count()
    tap(opened, "Taken")
    assert Observation.objects.filter(kind=MEAL, date=TODAY.isoformat()).count() == 1
    assert Observation.objects.filter(kind=MEAL).count() == before + 1


def test_desk__takes_the_male_out(opened: Client, kept: dict[str, Any]) -> None:
    mating = put_together(who=WHO, dam=kept["Jackdaw"], sire=kept["Tallow"], on=TODAY - 5 * DAY)
    page = tap(opened, "He is out")
    mating.refresh_from_db()
    assert mating.apart == TODAY.isoformat()
    assert "Jackdaw 21-06: Tallow taken out." in page


def test_desk__candles_a_whole_clutch(opened: Client, kept: dict[str, Any]) -> None:
    page = tap(opened, "Six with veins")
    assert "Clutch 26-01: six with veins." in page
    assert list(EggLook.objects.order_by().values_list("state", "date").distinct()) == [("veins", TODAY.isoformat())]
    assert EggLook.objects.count() == 6


def test_desk__asks_for_single_eggs_where_it_is_not_told_which_are_slugs(
    opened: Client, kept: dict[str, Any]
) -> None:  # fmt: skip
    from holdback.web.records.models import Clutch

    change_clutch(Clutch.objects.get(tag="26-01"), who=WHO, slugs=1)
    key = key_of(opened.get("/").content.decode(), "Five with veins")
    response = opened.post("/due/done/", {"key": key})
    assert response.status_code == 422
    assert "SEA-111" in response.content.decode()
    assert "/clutches/26-01/" in response.content.decode()
    assert not EggLook.objects.exists()


def test_desk__sends_to_a_vet_and_stops_there(read: Read, opened: Client, kept: dict[str, Any]) -> None:
    log_event(kept["Tallow"], who=WHO, kind=SIGN, on=TODAY - DAY, note="wheezing, bubbles at the mouth")
    text = read("/")
    assert "1 animal needs a reptile vet." in text
    vet = text[text.index("A vet first") :]
    assert "Tallow 18-05: ask a reptile vet." in vet
    assert "A vet saw him" in vet
    page = tap(opened, "A vet saw him")
    assert "Tallow 18-05: seen by a vet." in page


def test_desk__says_nothing_twice(opened: Client, kept: dict[str, Any]) -> None:
    page = opened.get("/").content.decode()
    key = key_of(page, "Box is in")
    opened.post("/due/done/", {"key": key})
    response = opened.post("/due/done/", {"key": key}, follow=True)
    assert "Nothing was written: that was done already" in response.content.decode()
    assert Observation.objects.filter(kind=NEST_BOX).count() == 1


def test_desk__asks_before_it_writes_what_looks_like_a_slip(
    opened: Client, kept: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    from holdback.errors import Fault, RecordError
    from holdback.web.pages.due import views

    def asks(item: DueItem, on: dt.date, how: Any) -> str:
        if not how.sure:
            raise RecordError(Fault("SEA-033", "the same is written for that day.", "Is it another one?"))
        return "written"

    monkeypatch.setattr(views, "do", asks)
    key = key_of(opened.get("/").content.decode(), "Box is in")
    response = opened.post("/due/done/", {"key": key})
    page = response.content.decode()
    assert response.status_code == 422
    assert "Nothing is written yet." in page
    assert 'name="answer" value="sure">Yes, another one' in page
    assert (
        "Fennel 20-12: written."
        in opened.post("/due/done/", {"key": key, "answer": "sure"}, follow=True).content.decode()
    )


@pytest.mark.parametrize("key", ["", "feed:nobody", "weigh:17-02", "x" * 500])
def test_due__of_a_strange_key_writes_nothing(opened: Client, kept: dict[str, Any], key: str) -> None:
    before = Observation.objects.count()
    assert opened.post("/due/done/", {"key": key}).status_code == 302
    assert Observation.objects.count() == before


def test_due__is_written_by_a_form_only(opened: Client, kept: dict[str, Any]) -> None:
    assert opened.get("/due/done/").status_code == 405


def test_desk__asks_as_often_for_many_as_for_few(
    opened: Client, kept: dict[str, Any], django_assert_max_num_queries: Any
) -> None:
    opened.get("/")
    with django_assert_max_num_queries(24):
        opened.get("/")


def item(kind: str, subject: str, first: int, last: int, **more: Any) -> DueItem:
    return DueItem(f"{kind}:{subject}", kind, subject, False, TODAY + first * DAY, TODAY + last * DAY, "Text.", **more)


@pytest.fixture
def names(kept: dict[str, Any]) -> Names:
    from holdback.bridge.cached import collection_of_records

    return Names.of(collection_of_records(), ["17-02", "20-12", "22-09", "19-01"])


def test_due_list__sorts_by_when(names: Names) -> None:
    found = due_list(
        [
            item("weigh", "17-02", -60, -50),
            item("ultrasound", "20-12", -5, -2),
            item("nest box", "22-09", -1, 3, deed="box is in"),
            item("apart", "19-01", 5, 9, deed="male is out"),
            item("vet", "20-12", 0, 0, deed="seen by a vet", level="stop"),
        ],
        names,
        today=TODAY,
    )
    assert [row.when for row in found.today] == ["2 days late", "by 17 May"]
    assert [row.when for row in found.soon] == ["19–23 May"]
    assert found.n_waiting == len(found.vet) == 1
    assert lede_of(found) == (
        "1 thing is late and 1 is for today. 1 thing has waited for more than four weeks.",
        "1 animal needs a reptile vet.",
    )


def test_due_list__draws_many_of_a_kind_together(names: Names) -> None:
    tubs = ["17-02", "20-12", "22-09", "19-01"]
    found = due_list([item("feed", tub, -3, -1 if tub == "17-02" else 2) for tub in tubs], names, today=TODAY)
    assert len(found.today) == 1
    row = found.today[0]
    assert row.when == "today, 1 of them late"
    assert "Feed 4 animals whose last meal is older than the plan: Quill, Fennel, Sorrel and Thistle." in row.head
    assert len(row.parts) == 4
    assert "place=due" in row.url


def test_due_list__offers_no_tap_before_the_day(names: Names) -> None:
    candling = DueItem(
        "candle:26-01:30", "candle", "26-01", True, TODAY + 16 * DAY, TODAY + 19 * DAY, "", "six with veins"
    )
    row = due_list([candling], names, today=TODAY).soon[0]
    assert (row.key, row.url) == ("", "/clutches/26-01/")
    today = due_list([candling], names, today=TODAY + 16 * DAY).today[0]
    assert (today.key, today.button, today.url) == ("candle:26-01:30", "Six with veins", "")


def test_due_list__stands_in_the_order_of_days(names: Names) -> None:
    items = [item("loan", "17-02", 3, 9), item("loan", "20-12", 20, 27), item("quarantine", "22-09", 5, 12)]
    assert [row.when for row in due_list(items, names, today=TODAY).soon] == [
        "17–23 May",
        "19–26 May",
        "3–10 June",
    ]


def test_due_list__of_nothing_is_calm(names: Names) -> None:
    assert lede_of(due_list([], names, today=TODAY)) == ("Nothing is due today.", "")


def test_prey_words__name_size_and_number() -> None:
    from holdback.season.outlook import PreyNeed

    said = prey_words((PreyNeed(20.0, 35.0, 1), PreyNeed(50.0, 80.0, 17))).replace("\u00a0", " ")
    assert said == "1 of 20 to 35 g and 17 of 50 to 80 g."
    assert prey_words(()) == ""


def test_deeds__every_one_is_written_by_a_tap() -> None:
    from holdback.web.pages.due.deeds import _WRITES

    assert set(_WRITES) == set(DEEDS)


def test_desk__keeps_a_quarantine_that_ends_in_sight(read: Read, kept: dict[str, Any]) -> None:
    until = (TODAY + 20 * DAY).isoformat()
    log_event(kept["Tallow"], who=WHO, kind=QUARANTINE, on=TODAY - 40 * DAY, until=until)
    soon = read("/").split("Soon")[1]
    assert "Tallow 18-05: quarantine." in soon


def test_desk__once_she_laid_the_shed_is_past(read: Read, kept: dict[str, Any]) -> None:
    from holdback.web.records.services import add_clutch

    assert "nest box." in read("/")
    add_clutch(who=WHO, tag="26-02", dam="20-12", laid=TODAY.isoformat(), eggs=5)
    assert "nest box." not in read("/")


def test_due_list__leads_to_the_page_where_a_number_is_typed(names: Names) -> None:
    found = due_list([item("weigh", "17-02", 0, 2), item("lay", "20-12", 0, 2)], names, today=TODAY)
    weigh, lay = found.today
    assert weigh.url == f"/log/?animal={names.keys['17-02']}&what=weighed&next=%2F"
    assert lay.url == "/clutches/new/?dam=20-12"
