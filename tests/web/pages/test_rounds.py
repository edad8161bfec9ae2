"""Rounds: where they go, what the page of a tub knows, what is taken of a phone and what is asked."""

from __future__ import annotations

import datetime as dt
import json
import re
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.test import Client
from django.utils import timezone

from holdback.web.pages.rounds.routes import Rooms
from holdback.web.records.models import Animal, Entry, Measurement, Observation, Place
from holdback.web.records.services import add_measurement, add_observation, add_place, move_animal

Read = Callable[..., str]
WHO = "Wrackline Barn"


@pytest.fixture
def rack(barn: dict[str, Animal]) -> Place:
    """Rack B in Room 1 with tubs 1-A, 2-A and 10-A; the others are in no tub."""
    room = add_place(who=WHO, name="Room 1", kind="room")
    rack = add_place(who=WHO, name="Rack B", kind="rack", within=room)
    for name, tub in (("Umber", "10-A"), ("Sorrel", "2-A"), ("Ledger", "1-A")):
        place = add_place(who=WHO, name=tub, kind="tub", within=rack)
        move_animal(barn[name], who=WHO, place=place, on=dt.date(2026, 1, 1))
    return rack


def tubs(response: Any) -> list[dict[str, Any]]:
    """What the page of a round knows of each tub."""
    found = response.context["data"]["tubs"]
    assert isinstance(found, list)
    return found


def send(client: Client, *entries: dict[str, Any], **more: Any) -> Any:
    body = {"device": "phone", "sent_at": timezone.now().isoformat(), "entries": entries, **more}
    return client.post("/rounds/entries/", json.dumps(body), content_type="application/json")


def entry(animal: Animal, number: int = 1, **deeds: Any) -> dict[str, Any]:
    return {
        "id": str(uuid.uuid4()),
        "number": number,
        "made_at": timezone.now().isoformat(),
        "animal": str(animal.pk),
        "deeds": deeds,
    }


def test_rounds__of_nobody_says_what_to_do(read: Read) -> None:
    assert "Nobody is here yet" in read("/rounds/")


def test_rounds__offers_places_that_hold_more_than_one(read: Read, rack: Place) -> None:
    text = read("/rounds/")
    assert "Room 1, Rack B 3 animals" in text
    assert "All that are here 9 animals" in text, "the sold one is not here"
    assert "1-A" not in text


def test_round__goes_by_the_numbers_in_the_names_and_those_without_a_tub_come_last(opened: Client, rack: Place) -> None:
    found = tubs(opened.get("/rounds/go/", {"place": str(rack.pk), "what": "both"}))
    assert [tub["title"] for tub in found] == ["Tub 1-A", "Tub 2-A", "Tub 10-A"]
    everywhere = tubs(opened.get("/rounds/go/"))
    assert [tub["title"] for tub in everywhere[:4]] == ["Tub 1-A", "Tub 2-A", "Tub 10-A", "No tub"]
    assert [tub["who"] for tub in everywhere[3:5]] == ["Mortar 16-01", "Quill 17-02"]
    assert len(everywhere) == 9


def test_round__of_named_animals(opened: Client, rack: Place, barn: dict[str, Animal]) -> None:
    keys = ",".join(str(barn[name].pk) for name in ("Sorrel", "Quill"))
    found = tubs(opened.get("/rounds/go/", {"animals": f"{keys},nonsense"}))
    assert [tub["who"] for tub in found] == ["Sorrel 22-09", "Quill 17-02"]


def test_round__of_those_due_today(opened: Client, rack: Place, barn: dict[str, Animal]) -> None:
    day = timezone.localdate()
    for name, days in (("Sorrel", 60), ("Ledger", 0)):
        date = (day - dt.timedelta(days=days)).isoformat()
        add_measurement(barn[name], who=WHO, date=date, value=1200)
        add_observation(barn[name], who=WHO, date=date, kind="meal", value=80, unit="g")
    found = {tub["who"] for tub in tubs(opened.get("/rounds/go/", {"place": "due", "what": "feed"}))}
    assert "Sorrel 22-09" in found
    assert "Ledger 22-05" not in found


def test_round__of_a_place_that_is_gone_says_so(read: Read, barn: dict[str, Animal]) -> None:
    assert "No animal is there" in read("/rounds/go/", place=str(uuid.uuid4()))


def test_round__knows_last_weight_gravid_and_refusals(opened: Client, rack: Place, barn: dict[str, Animal]) -> None:
    day = timezone.localdate()
    for days, note in ((30, "taken"), (20, "refused"), (10, "refused")):
        date = (day - dt.timedelta(days=days)).isoformat()
        add_observation(barn["Umber"], who=WHO, date=date, kind="fed", note=note)
    umber = tubs(opened.get("/rounds/go/", {"place": str(rack.pk)}))[2]
    assert umber["last_g"] == 3140
    assert umber["last"].replace("\u202f", " ").replace("\u00a0", " ") == "3,140 g on 6 May 2026"
    assert (umber["gravid"], umber["refusals"], umber["weighed"], umber["fed"]) == (True, 2, "", "")


@pytest.mark.parametrize(
    "events, gravid",
    [
        ([("ovulation", 20)], True),
        ([("ovulation", 90)], False),
        ([("ovulation", 50), ("laid", 5)], False),
        ([("PLS", 12)], True),
    ],
)
def test_round__gravid_by_her_events(
    opened: Client, rack: Place, barn: dict[str, Animal], events: list[tuple[str, int]], gravid: bool
) -> None:
    for kind, days in events:
        date = (timezone.localdate() - dt.timedelta(days=days)).isoformat()
        add_observation(barn["Sorrel"], who=WHO, date=date, kind=kind)
    assert tubs(opened.get("/rounds/go/", {"place": str(rack.pk)}))[1]["gravid"] is gravid


def test_round__asks_as_often_for_many_as_for_few(
    opened: Client, rack: Place, django_assert_max_num_queries: Any
) -> None:
    opened.get("/rounds/go/")
    with django_assert_max_num_queries(12):
        opened.get("/rounds/go/")


def test_rooms__a_ring_of_places_ends(rack: Place) -> None:
    Place.objects.filter(name="Room 1").update(within=rack)
    assert len(Rooms.now().stops()) == 9


def test_entries__are_done_and_answered(opened: Client, barn: dict[str, Animal]) -> None:
    one = entry(barn["Sorrel"], weight={"typed": "1540", "unit": "g"}, meal="taken")
    answered = send(opened, one).json()["entries"]
    assert answered == [{"id": one["id"], "state": "done", "said": "22-09 Sorrel: 1,540 g, meal taken."}]
    assert send(opened, one).json()["entries"] == answered
    assert Measurement.objects.filter(animal=barn["Sorrel"]).count() == 1


@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b"{", b'{"entries": 3}', b'{"device": "x", "entries": [NaN]}', b'{"device": "x", "entries": [1e999]}'],
)
def test_entries__that_cannot_be_read_are_refused_whole(opened: Client, body: bytes) -> None:
    response = opened.post("/rounds/entries/", body, content_type="application/json")
    assert response.status_code == 400
    assert response.json()["faults"][0]["code"] == "SEA-300"


@pytest.mark.parametrize(
    "note, kept",
    [(r"a\u0000b", "a\ufffdb"), (r"a\ud800b", "a\ufffdb"), (r"\\u0000", r"\u0000"), (r"\ud83d\ude00", "\U0001f600")],
)
def test_entries__text_that_no_database_holds(opened: Client, barn: dict[str, Animal], note: str, kept: str) -> None:
    body = json.dumps({"device": "x", "entries": [entry(barn["Sorrel"], note="HERE")]}).replace("HERE", note)
    response = opened.post("/rounds/entries/", body, content_type="application/json")
    assert response.json()["entries"][0]["state"] == "done"
    assert Observation.objects.filter(note=kept).exists()


def test_entries__clock_at_the_end_of_days(opened: Client, barn: dict[str, Animal]) -> None:
    sent = {"device": "x", "sent_at": "9999-12-31T23:59:59+00:00", "entries": [entry(barn["Sorrel"], meal="taken")]}
    response = opened.post("/rounds/entries/", json.dumps(sent), content_type="application/json")
    assert response.json()["entries"][0]["state"] == "done"


def test_asked__says_what_is_left_out(read: Read, opened: Client, barn: dict[str, Animal]) -> None:
    add_measurement(barn["Sorrel"], who=WHO, date=str(timezone.localdate() - dt.timedelta(days=9)), value=1540)
    send(opened, entry(barn["Sorrel"], weight={"typed": "154", "unit": "g"}, meal="taken"))
    assert "It is right Leave the weight out" in read("/rounds/")


def test_entries__of_a_stranger_are_not_taken(client: Client, db: None) -> None:
    assert client.post("/rounds/entries/", "{}", content_type="application/json").status_code == 403
    assert not Entry.objects.exists()


def test_asked__on_desk_and_rounds_and_answered_there(read: Read, opened: Client, barn: dict[str, Animal]) -> None:
    add_measurement(barn["Sorrel"], who="Finch", date=timezone.localdate().isoformat(), value=1540)
    send(opened, entry(barn["Sorrel"], weight={"typed": "1560", "unit": "g"}))
    for address in ("/", "/rounds/"):
        text = read(address)
        assert "weighed already (1,540 g; this says 1560 g)" in text
        assert "This one is right What is there is right Keep both" in text
        assert "Another value, g" in text
    key = Entry.objects.get().pk
    response = opened.post(f"/rounds/entries/{key}/answer/", {"choice": "other", "typed": "1550", "from": "desk"})
    assert response["Location"] == "/"
    assert "22-09 Sorrel: 1,550 g." in read("/")
    assert [one.value for one in barn["Sorrel"].measurements.all()] == [1550]
    opened.post(f"/rounds/entries/{key}/answer/", {"choice": "both"})
    assert "This was answered already" in read("/rounds/")


def test_refused__is_shown_with_what_was_sent_and_put_away(read: Read, opened: Client, barn: dict[str, Animal]) -> None:
    one = entry(barn["Sorrel"], note="eyes clear")
    send(opened, {**one, "animal": str(uuid.uuid4())})
    text = read("/rounds/")
    assert "Not taken" in text
    assert "The animal of this entry is not in the records" in text
    assert "note: eyes clear" in text
    opened.post(f"/rounds/entries/{one['id']}/answer/", {"choice": "leave"})
    assert "Not taken" not in read("/rounds/")
    assert Entry.objects.get().body["deeds"]["note"] == "eyes clear"
    assert not Observation.objects.filter(note="eyes clear").exists()


def test_worker__names_the_files_that_the_page_needs(opened: Client) -> None:
    response = opened.get("/worker.js")
    assert response["Service-Worker-Allowed"] == "/"
    assert response["Content-Type"] == "text/javascript"
    script = response.content.decode()
    kept = json.loads(script.partition("const KEPT = ")[2].partition(";\n")[0])
    page = opened.get("/rounds/go/").content.decode()
    for part in page.split('"'):
        if part.startswith("/static/") and not part.endswith(".py"):
            assert part in kept["files"], part
    folder = Path(str(finders.find("holdback/rounds.js"))).parent
    for name in (path for path in kept["files"] if path.endswith(".js") and "/holdback/" in path):
        for imported in re.findall(r'from "\./(\w+\.js)"', (folder / Path(name).name).read_text(encoding="utf-8")):
            assert f"/static/holdback/{imported}" in kept["files"], imported
