"""The inbox of phones: done once, asked, refused, never lost."""

from __future__ import annotations

import datetime as dt
import io
import threading
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from django.db import connection
from django.utils import timezone
from PIL import Image

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Entry, Measurement, Observation, Photo
from holdback.web.records.services import add_animal, add_measurement, log_meal, undo
from holdback.web.records.services.inbox import answer, keep_photo, receive

pytestmark = pytest.mark.django_db
WHO = "Wren"
Sends = Callable[..., Entry]


@pytest.fixture
def sorrel() -> Animal:
    return add_animal(who=WHO, tag="22-09", name="Sorrel", sex="female", hatched="2022-07-18")


@pytest.fixture
def send(sorrel: Animal) -> Sends:
    """Function that sends one entry on Sorrel and gives what was kept of it."""
    numbers = iter(range(1000))

    def sends(
        *, device: str = "a", key: uuid.UUID | None = None, days: float = 0, sent: float | None = None, **deeds: Any
    ) -> Entry:
        now = timezone.now()
        raw = {
            "id": str(key or uuid.uuid4()),
            "number": next(numbers),
            "made_at": (now + dt.timedelta(days=days)).isoformat(),
            "animal": str(sorrel.pk),
            "corrects": deeds.pop("corrects", None),
            "deeds": deeds,
        }
        clock = None if sent is None else now + dt.timedelta(days=sent)
        return receive([raw], device=device, who=WHO, sent_at=clock)[0]

    return sends


def weight(typed: str, unit: str = "g") -> dict[str, str]:
    return {"typed": typed, "unit": unit}


def test_receive__writes_a_weight_and_a_meal_as_one_batch(send: Sends, sorrel: Animal) -> None:
    entry = send(weight=weight("1,540"), meal="taken", prey_g=90)
    assert entry.state == Entry.DONE
    assert entry.said[-1]["message"] == "22-09 Sorrel: 1,540 g, meal taken."
    reading, meal = Measurement.objects.get(), Observation.objects.get()
    assert (reading.value, reading.unit, reading.typed) == (1540, "g", "1,540")
    assert (meal.kind, meal.value, meal.date) == ("meal", 90, timezone.localdate().isoformat())
    assert entry.batch is not None
    undo(entry.batch, who=WHO)
    assert not Measurement.objects.exists()
    assert not Observation.objects.exists()


def test_receive__same_entry_twice_is_one_deed_and_one_answer(send: Sends) -> None:
    key = uuid.uuid4()
    first, again = send(key=key, weight=weight("1540")), send(key=key, weight=weight("1540"))
    assert (again.state, again.said, again.batch) == (first.state, first.said, first.batch)
    assert Measurement.objects.count() == Entry.objects.count() == 1


def test_receive__takes_a_sending_in_the_order_of_numbers(sorrel: Animal) -> None:
    now = timezone.now().isoformat()
    raws = [
        {"id": str(uuid.uuid4()), "number": number, "made_at": now, "animal": str(sorrel.pk), "deeds": {"note": note}}
        for number, note in ((3, "third"), (1, "first"), (2, "second"))
    ]
    assert [entry.number for entry in receive(raws, device="a", who=WHO)] == [1, 2, 3]
    assert set(Observation.objects.values_list("note", flat=True)) == {"first", "second", "third"}


def test_receive__keeps_what_it_refuses_as_it_came(send: Sends, sorrel: Animal) -> None:
    sorrel.removed_at = timezone.now()
    sorrel.save()
    entry = send(weight=weight("1540"))
    assert (entry.state, entry.said[0]["code"]) == (Entry.REFUSED, "SEA-308")
    assert Entry.objects.get().body["deeds"]["weight"]["typed"] == "1540"
    assert answer(entry, choice="leave", who=WHO).state == Entry.LEFT


@pytest.mark.parametrize(
    "deeds, code",
    [
        ({}, "SEA-302"),
        ({"prey_g": 5}, "SEA-302"),
        ({"weight": {"unit": "g"}}, "SEA-301"),
        ({"weight": {"typed": "5", "unit": "stone"}}, "SEA-301"),
        ({"meal": "maybe"}, "SEA-301"),
        ({"prey_g": -5, "meal": "taken"}, "SEA-301"),
        ({"signs": ["wheeze", 3]}, "SEA-301"),
        ({"note": "x", "colour": "red"}, "SEA-301"),
    ],
)
def test_receive__says_what_cannot_be_read(send: Sends, deeds: dict[str, Any], code: str) -> None:
    entry = send(**deeds)
    assert (entry.state, [said["code"] for said in entry.said]) == (Entry.REFUSED, [code])


@pytest.mark.parametrize(
    "raw",
    [
        "x",
        {"id": "no", "number": 1, "made_at": "2026-05-14T10:00:00+00:00"},
        {"id": str(uuid.uuid4()), "number": 1, "made_at": "2026-05-14T10:00:00"},
        {"id": str(uuid.uuid4()), "number": -1, "made_at": "2026-05-14T10:00:00+00:00"},
    ],
)
def test_receive__takes_nothing_of_a_sending_that_it_could_not_keep(raw: object) -> None:
    good = {"id": str(uuid.uuid4()), "number": 1, "made_at": timezone.now().isoformat(), "animal": "", "deeds": {}}
    with pytest.raises(RecordError, match="SEA-300"):
        receive([good, raw], device="a", who=WHO)
    assert not Entry.objects.exists()


def test_receive__day_is_the_phones_where_it_waited(send: Sends) -> None:
    send(days=-3, sent=0, weight=weight("1540"))
    assert Measurement.objects.get().date == (timezone.localdate() - dt.timedelta(days=3)).isoformat()


@pytest.mark.parametrize("days, sent", [(3, None), (3, 3), (-400, -400)])
def test_receive__asks_where_the_phones_clock_is_off(send: Sends, days: float, sent: float | None) -> None:
    entry = send(days=days, sent=sent, weight=weight("1540"))
    assert (entry.state, entry.said[-1]["code"]) == (Entry.ASKED, "SEA-303")
    assert not Measurement.objects.exists()
    assert answer(entry, choice="here", who=WHO).state == Entry.DONE
    assert Measurement.objects.get().date == timezone.localdate().isoformat()


def test_receive__asks_where_two_phones_say_different_things(send: Sends) -> None:
    send(device="a", weight=weight("1540"), meal="taken")
    entry = send(device="b", weight=weight("1560"), meal="taken")
    assert (entry.state, entry.said[-1]["code"]) == (Entry.ASKED, "SEA-304")
    assert "weighed already (1,540 g; this says 1560 g)" in entry.said[-1]["message"]
    assert "written by Wren" in entry.said[-1]["message"]
    assert Measurement.objects.count() == Observation.objects.count() == 1


@pytest.mark.parametrize(
    "choice, kept", [("both", [1540, 1560]), ("this", [1560]), ("leave", [1540]), ("other", [1550])]
)
def test_answer__of_two_phones(send: Sends, choice: str, kept: list[float]) -> None:
    send(device="a", weight=weight("1540"))
    entry = send(device="b", weight=weight("1560"))
    after = answer(entry, choice=choice, who=WHO, typed="1550")
    assert after.state == (Entry.LEFT if choice == "leave" else Entry.DONE)
    assert sorted(Measurement.objects.values_list("value", flat=True)) == kept
    with pytest.raises(RecordError, match="SEA-305"):
        answer(entry, choice=choice, who=WHO, typed="1550")


def test_answer__other_needs_a_value(send: Sends) -> None:
    send(weight=weight("1540"))
    with pytest.raises(RecordError, match="SEA-306"):
        answer(send(weight=weight("1560")), choice="other", who=WHO, typed=" ")


def test_receive__the_same_said_by_two_phones_is_not_doubled(send: Sends) -> None:
    send(device="a", weight=weight("1540"), meal="taken")
    entry = send(device="b", weight=weight("1540"), meal="taken")
    assert entry.state == Entry.DONE
    assert entry.said[-1]["message"] == "22-09 Sorrel: on record already, nothing is doubled."
    assert Measurement.objects.count() == Observation.objects.count() == 1


def test_receive__asks_about_a_slip_and_takes_the_answer(send: Sends, sorrel: Animal) -> None:
    day = (timezone.localdate() - dt.timedelta(days=20)).isoformat()
    add_measurement(sorrel, who=WHO, date=day, value=1652)
    for choice, typed, kept in (("keep", "", 166), ("other", "1660", 1660), ("leave", "", None)):
        entry = send(weight=weight("166"))
        assert (entry.state, entry.said[-1]["code"]) == (Entry.ASKED, "SEA-037")
        assert "1,660 g, or is 166 g right?" in entry.said[-1]["message"]
        after = answer(entry, choice=choice, who=WHO, typed=typed)
        today = Measurement.objects.filter(date=timezone.localdate().isoformat())
        assert list(today.values_list("value", flat=True)) == ([] if kept is None else [kept])
        if after.batch:
            undo(after.batch, who=WHO)


def test_receive__does_not_ask_again_what_was_asked_on_the_phone(send: Sends, sorrel: Animal) -> None:
    day = (timezone.localdate() - dt.timedelta(days=20)).isoformat()
    add_measurement(sorrel, who=WHO, date=day, value=1652)
    assert send(weight={**weight("166"), "sure": True}).state == Entry.DONE
    assert send(weight={**weight("166"), "sure": True}, meal="taken", prey_g=1600).said[-1]["code"] == "SEA-035"


def test_answer__of_two_questions_one_after_the_other(send: Sends) -> None:
    send(weight=weight("1540"))
    entry = send(days=3, weight=weight("1560"))
    entry = answer(entry, choice="here", who=WHO)
    assert (entry.state, entry.said[-1]["code"]) == (Entry.ASKED, "SEA-304")
    assert answer(entry, choice="both", who=WHO).state == Entry.DONE
    assert Measurement.objects.filter(date=timezone.localdate().isoformat()).count() == 2


def test_answer__both_weights_of_one_visit_keep_one_meal(send: Sends) -> None:
    send(weight=weight("1540"), meal="taken")
    answer(send(weight=weight("1560"), meal="taken"), choice="both", who=WHO)
    assert (Measurement.objects.count(), Observation.objects.count()) == (2, 1)


def test_receive__a_meal_that_was_offered_gets_its_outcome(send: Sends, sorrel: Animal) -> None:
    log_meal(sorrel, who=WHO, taken=None, on=timezone.localdate(), prey_g=80)
    assert send(meal="taken").state == Entry.DONE
    meal = Observation.objects.get()
    assert (meal.note, meal.value) == ("", 80)


def test_receive__a_second_meal_of_the_day_is_asked_about(send: Sends) -> None:
    send(meal="taken")
    entry = send(meal="taken")
    assert (entry.state, entry.said[-1]["choices"]) == (Entry.ASKED, ["this", "leave", "both"])


def test_receive__weight_that_was_typed_at_the_desk_that_day(send: Sends, sorrel: Animal) -> None:
    add_measurement(sorrel, who="Finch", date=timezone.localdate().isoformat(), value=1540)
    assert "written by Finch" in send(weight=weight("1560")).said[-1]["message"]


def test_receive__a_correction_takes_the_place_of_the_first(send: Sends) -> None:
    first = send(weight=weight("1540"), meal="taken")
    second = send(weight=weight("1450"), meal="refused", corrects=str(first.pk))
    assert second.state == Entry.DONE
    assert Measurement.objects.get().value == 1450
    assert Observation.objects.get().note == "refused"
    assert Entry.objects.get(pk=first.pk).state == Entry.LEFT


def test_receive__a_correction_of_what_was_taken_back_by_hand(send: Sends) -> None:
    first = send(weight=weight("1540"))
    assert first.batch is not None
    undo(first.batch, who=WHO)
    second = send(weight=weight("1450"), corrects=str(first.pk))
    assert second.state == Entry.DONE
    third = send(weight=weight("1460"), corrects=str(first.pk))
    assert third.said[-1]["code"] == "SEA-304", "the first was corrected already"


def test_receive__a_correction_of_what_was_asked(send: Sends) -> None:
    send(weight=weight("1540"), meal="taken")
    asked = send(weight=weight("1560"))
    again = send(weight=weight("1540"), corrects=str(asked.pk))
    assert (again.state, Entry.objects.get(pk=asked.pk).state) == (Entry.DONE, Entry.LEFT)


def test_receive__meal_that_was_not_offered_leaves_no_record(send: Sends) -> None:
    assert send(weight=weight("1540"), meal="not offered").state == Entry.DONE
    assert not Observation.objects.exists()


def test_keep_photo__once(send: Sends, settings: LazySettings, tmp_path: Path) -> None:
    settings.HOLDBACK_DATA = tmp_path
    entry = send(weight=weight("1540"), photo=True)
    out = io.BytesIO()
    Image.new("RGB", (600, 400), "#c9c2b4").save(out, "JPEG")
    kept = keep_photo(entry, file=io.BytesIO(out.getvalue()), who=WHO)
    assert kept is not None
    assert kept.taken == timezone.localdate().isoformat()
    assert keep_photo(entry, file=io.BytesIO(out.getvalue()), who=WHO) is None
    assert Photo.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_receive__of_two_phones_at_the_same_moment_one_is_asked(sorrel: Animal) -> None:
    start = threading.Barrier(4)
    states: list[str] = []

    def phone(number: int) -> None:
        raw = {
            "id": str(uuid.uuid4()),
            "number": 1,
            "made_at": timezone.now().isoformat(),
            "animal": str(sorrel.pk),
            "deeds": {"weight": weight(str(1500 + 10 * number))},
        }
        start.wait()
        states.extend(entry.state for entry in receive([raw], device=f"phone {number}", who=WHO))
        connection.close()

    threads = [threading.Thread(target=phone, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(states) == [Entry.ASKED] * 3 + [Entry.DONE]
    assert Measurement.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_receive__one_entry_of_four_tabs_at_the_same_moment_is_done_once(sorrel: Animal) -> None:
    start = threading.Barrier(4)
    raw = {
        "id": str(uuid.uuid4()),
        "number": 1,
        "made_at": timezone.now().isoformat(),
        "animal": str(sorrel.pk),
        "deeds": {"weight": weight("1540"), "meal": "taken"},
    }
    said: list[str] = []

    def tab() -> None:
        start.wait()
        said.extend(entry.said[-1]["message"] for entry in receive([raw], device="phone", who=WHO))
        connection.close()

    threads = [threading.Thread(target=tab) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert said == ["22-09 Sorrel: 1,540 g, meal taken."] * 4
    assert (Measurement.objects.count(), Observation.objects.count(), Entry.objects.count()) == (1, 1, 1)
