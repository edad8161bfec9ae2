"""Calendars as iCalendar, read back by a calendar library."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from holdback.calendars.entries import CalendarEntry, Standing, uid_of
from holdback.calendars.ical import KEEP_CALLED_OFF, Told, calendar_bytes, told_in, told_now
from holdback.errors import HoldbackError

NOW = dt.datetime(2028, 2, 20, 9, 30, tzinfo=dt.UTC)
LAYS = CalendarEntry(
    uid_of("", "lays", "A1", 2028),
    "Ruddle A1 lays",
    dt.date(2028, 2, 26),
    dt.date(2028, 2, 29),
    "Four times in five; 12 clutches of yours, one room: \\ ü.",
    Standing.TENTATIVE,
)


def _events(content: bytes) -> list[dict[str, str]]:
    return [
        {
            "uid": str(event["uid"]),
            "sequence": str(event["sequence"]),
            "status": str(event["status"]),
            "start": str(event.decoded("dtstart")),
            "end": str(event.decoded("dtend")),
            "summary": str(event["summary"]),
            "text": str(event.get("description", "")),
        }
        for event in Calendar.from_ical(content).walk("VEVENT")
    ]


def test_calendar__whole_days_over_a_leap_day_end_on_the_day_after() -> None:
    (event,) = _events(calendar_bytes(told_now([LAYS], {}, now=NOW), name="Barn"))
    assert (event["start"], event["end"]) == ("2028-02-26", "2028-03-01")
    assert event["text"] == LAYS.text
    assert (event["sequence"], event["status"]) == ("0", "TENTATIVE")


def test_calendar__lines_are_folded_and_ended_as_the_standard_asks() -> None:
    content = calendar_bytes(told_now([replace(LAYS, text="word " * 60)], {}, now=NOW), name="Barn")
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    assert content.count(b"\n") == content.count(b"\r\n")


def test_told_now__what_did_not_change_keeps_its_stamp_and_count() -> None:
    first = told_now([LAYS], {}, now=NOW)
    later = told_now([LAYS], {one.entry.uid: one for one in first}, now=NOW + dt.timedelta(days=3))
    assert later == first


def test_told_now__what_changed_counts_on_under_the_same_id() -> None:
    first = told_now([LAYS], {}, now=NOW)
    moved = replace(LAYS, first=dt.date(2028, 2, 28), last=dt.date(2028, 3, 1))
    (later,) = told_now([moved], {one.entry.uid: one for one in first}, now=NOW + dt.timedelta(days=1))
    assert (later.entry.uid, later.sequence) == (LAYS.uid, 1)
    assert later.stamp > first[0].stamp


def test_told_now__what_is_gone_is_called_off_and_forgotten_in_time() -> None:
    first = {one.entry.uid: one for one in told_now([LAYS], {}, now=NOW)}
    (gone,) = told_now([], first, now=NOW + dt.timedelta(days=1))
    (event,) = _events(calendar_bytes([gone], name="Barn"))
    assert (event["status"], event["sequence"]) == ("CANCELLED", "1")
    again = told_now([], {LAYS.uid: gone}, now=NOW + dt.timedelta(days=2))
    assert again == (gone,)
    assert told_now([], {LAYS.uid: gone}, now=gone.stamp + KEEP_CALLED_OFF) == ()


def test_told_now__what_holds_again_counts_on() -> None:
    gone = Told(LAYS, 3, NOW, is_called_off=True)
    (back,) = told_now([LAYS], {LAYS.uid: gone}, now=NOW + dt.timedelta(days=2))
    assert (back.sequence, back.is_called_off) == (4, False)


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "America/Los_Angeles", "Europe/Vienna"])
def test_calendar__stamps_are_in_universal_time_whatever_the_zone(zone: str) -> None:
    local = dt.datetime(2028, 3, 26, 2, 30, tzinfo=ZoneInfo(zone))
    content = calendar_bytes(told_now([LAYS], {}, now=local), name="Barn")
    assert f"DTSTAMP:{local.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}".encode() in content
    assert b"DTSTART;VALUE=DATE:20280226" in content


def test_told_in__reads_what_was_written() -> None:
    told = told_now([LAYS], {}, now=NOW)
    assert told_in(calendar_bytes(told, name="Barn")) == {LAYS.uid: told[0]}


@pytest.mark.parametrize(
    "content, why",
    [
        (b"not a calendar", "cannot be read"),
        (b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//other//EN\r\nEND:VCALENDAR\r\n", "another program"),
    ],
)
def test_told_in__refuses_what_was_not_written_here(content: bytes, why: str) -> None:
    with pytest.raises(HoldbackError, match=why) as caught:
        told_in(content, file="barn.ics")
    assert caught.value.faults[0].code == "SEA-201"
