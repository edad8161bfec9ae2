"""The inbox of phones: an answer touches only what was asked, and nothing else of the entry is lost or doubled."""

from __future__ import annotations

import datetime as dt
import io
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from django.utils import timezone
from PIL import Image

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Entry, Measurement, Observation
from holdback.web.records.services import add_animal, add_measurement, remove_animal
from holdback.web.records.services.inbox import answer, keep_photo, receive

pytestmark = pytest.mark.django_db
WHO = "Wren"
Raw = Callable[..., dict[str, Any]]


@pytest.fixture
def sorrel() -> Animal:
    return add_animal(who=WHO, tag="22-09", name="Sorrel", sex="female", hatched="2022-07-18")


@pytest.fixture
def raw(sorrel: Animal) -> Raw:
    """Function that makes an entry on Sorrel, each with the next number."""
    numbers = iter(range(1000))

    def made(corrects: str | None = None, **deeds: Any) -> dict[str, Any]:
        return {
            "id": str(uuid.uuid4()),
            "number": next(numbers),
            "made_at": timezone.now().isoformat(),
            "animal": str(sorrel.pk),
            "corrects": corrects,
            "deeds": deeds,
        }

    return made


def took(*raws: dict[str, Any]) -> Entry:
    """The last of some entries, each sent by itself."""
    return [receive([one], device="a", who=WHO)[0] for one in raws][-1]


def weight(typed: str, **more: Any) -> dict[str, Any]:
    return {"typed": typed, "unit": "g", **more}


def events() -> list[tuple[str, str]]:
    return sorted(Observation.objects.values_list("kind", "note"))


def test_answer__this_weight_leaves_a_meal_that_was_not_asked_about(raw: Raw) -> None:
    took(raw(weight=weight("1500"), meal="taken"))
    asked = took(raw(weight=weight("1540"), meal="not offered"))
    assert answer(asked, choice="this", who=WHO).state == Entry.DONE
    assert events() == [("meal", "")]
    assert Measurement.objects.get().value == 1540


def test_answer__left_out_is_only_what_was_asked(raw: Raw) -> None:
    took(raw(weight=weight("1500")))
    asked = took(raw(weight=weight("1540"), signs=["wheezing"], note="moved to 2-A"))
    assert asked.said[-1]["about"] == ["weight"]
    after = answer(asked, choice="leave", who=WHO)
    assert (after.state, events()) == (Entry.DONE, [("note", "moved to 2-A"), ("sign", "wheezing")])
    assert Measurement.objects.get().value == 1500


def test_answer__slip_left_out_keeps_the_meal(raw: Raw, sorrel: Animal) -> None:
    add_measurement(sorrel, who=WHO, date=str(timezone.localdate() - dt.timedelta(days=20)), value=1500)
    asked = took(raw(weight={"typed": "1540", "unit": "oz"}, meal="taken"))
    assert asked.said[-1]["code"] == "SEA-037"
    assert answer(asked, choice="leave", who=WHO).state == Entry.DONE
    assert (Measurement.objects.count(), events()) == (1, [("meal", "")])


def test_answer__value_that_is_no_weight_leaves_the_question(raw: Raw) -> None:
    took(raw(weight=weight("1500")))
    asked = took(raw(weight=weight("1540")))
    with pytest.raises(RecordError, match="SEA-049"):
        answer(asked, choice="other", typed="15z0", who=WHO)
    assert Entry.objects.get(pk=asked.pk).state == Entry.ASKED
    assert answer(asked, choice="other", typed="1530", who=WHO).state == Entry.DONE


def test_answer__rest_of_a_removed_animal_waits_as_refused(raw: Raw, sorrel: Animal) -> None:
    took(raw(weight=weight("1500")))
    asked = took(raw(weight=weight("1540"), note="thin"))
    remove_animal(sorrel, who=WHO)
    with pytest.raises(RecordError, match="SEA-308"):
        answer(asked, choice="this", who=WHO)
    after = answer(asked, choice="leave", who=WHO)
    assert after.state == Entry.REFUSED
    assert answer(after, choice="leave", who=WHO).state == Entry.LEFT


def test_answer__yes_to_one_question_is_no_yes_to_the_next(raw: Raw, sorrel: Animal) -> None:
    add_measurement(sorrel, who=WHO, date=str(timezone.localdate() - dt.timedelta(days=20)), value=1500)
    asked = took(raw(weight=weight("154"), meal="taken", prey_g=900))
    assert asked.said[-1]["code"] == "SEA-037"
    asked = answer(asked, choice="keep", who=WHO)
    assert (asked.state, asked.said[-1]["code"], asked.said[-1]["about"]) == (Entry.ASKED, "SEA-035", ["meal"])
    assert answer(asked, choice="keep", who=WHO).state == Entry.DONE


def test_answer__both_asks_about_a_slip_all_the_same(raw: Raw) -> None:
    took(raw(weight=weight("1500")))
    asked = answer(took(raw(weight=weight("150"))), choice="both", who=WHO)
    assert (asked.state, asked.said[-1]["code"]) == (Entry.ASKED, "SEA-037")


def test_receive__shed_sign_and_note_of_two_phones_are_not_doubled(raw: Raw) -> None:
    said: dict[str, Any] = {"shed": "whole", "signs": ["wheezing"], "note": "calm"}
    took(raw(**said))
    assert took(raw(**said, meal="taken")).state == Entry.DONE
    assert events() == [("meal", ""), ("note", "calm"), ("shed", "whole"), ("sign", "wheezing")]


def test_receive__entry_that_comes_after_its_own_correction_is_not_doubled(raw: Raw) -> None:
    first = raw(note="one")
    second = raw(note="two", corrects=first["id"])
    assert took(second, first).state == Entry.LEFT
    assert events() == [("note", "two")]


def test_keep_photo__of_an_entry_that_was_mended_before_its_photo_came(
    raw: Raw, settings: LazySettings, tmp_path: Path
) -> None:
    settings.HOLDBACK_DATA = tmp_path
    first = raw(weight=weight("1500"), photo=True)
    took(first, raw(weight=weight("1510"), corrects=first["id"]))
    out = io.BytesIO()
    Image.new("RGB", (600, 400), "#c9c2b4").save(out, "JPEG")
    entry = Entry.objects.get(pk=first["id"])
    assert entry.state == Entry.LEFT
    assert keep_photo(entry, file=io.BytesIO(out.getvalue()), who=WHO) is not None


@pytest.mark.parametrize("made_at", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"])
def test_receive__time_that_no_clock_shows(raw: Raw, made_at: str) -> None:
    with pytest.raises(RecordError, match="SEA-300"):
        took({**raw(note="x"), "made_at": made_at})
