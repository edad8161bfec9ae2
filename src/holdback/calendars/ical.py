"""Calendars as iCalendar: written so that a later one changes or calls off what an earlier one told.

References
----------
RFC 5545 (iCalendar): UID, SEQUENCE and STATUS (3.8.4.7, 3.8.7.4, 3.8.1.11). RFC 7986: NAME and REFRESH-INTERVAL.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from holdback.calendars.entries import CalendarEntry, Standing
from holdback.errors import Fault, HoldbackError

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//Holdback//Season//EN"
KEEP_CALLED_OFF = dt.timedelta(days=60)
"""Time for which a thing called off is still told, so that every calendar hears of it."""
_STANDING = "X-HOLDBACK-STANDING"


@dataclass(frozen=True, slots=True)
class Told:
    """What the calendar says of one thing.

    Parameters
    ----------
    entry : CalendarEntry
        What.
    sequence : int
        How often it was changed since it was first told.
    stamp : datetime
        When it was told so first; with a zone.
    is_called_off : bool
        Whether it does not hold any more.
    """

    entry: CalendarEntry
    sequence: int
    stamp: dt.datetime
    is_called_off: bool = False


def digest_of(entry: CalendarEntry) -> str:
    """SHA-256, in hexadecimal, of what an entry tells."""
    parts = (entry.uid, entry.summary, str(entry.first), str(entry.last), entry.text, str(entry.standing))
    return hashlib.sha256("\x1f".join(parts).encode()).hexdigest()


def told_now(entries: Sequence[CalendarEntry], before: Mapping[str, Told], *, now: dt.datetime) -> tuple[Told, ...]:
    """What the calendar says now, in step with what it said before.

    Parameters
    ----------
    entries : sequence of CalendarEntry
        What holds now.
    before : mapping of str to Told
        What was told last, by uid.
    now : datetime
        Present moment, with a zone.

    Returns
    -------
    tuple of Told
        An entry that did not change keeps its stamp and count; one that changed counts on; one that is gone is called
        off, and told for `KEEP_CALLED_OFF` longer. One that was called off and holds again counts on too.
    """
    found = []
    for entry in entries:
        last = before.get(entry.uid)
        if last is None:
            found.append(Told(entry, 0, now))
        elif last.is_called_off or digest_of(last.entry) != digest_of(entry):
            found.append(Told(entry, last.sequence + 1, now))
        else:
            found.append(last)
    holding = {entry.uid for entry in entries}
    for uid, last in before.items():
        if uid in holding:
            continue
        if not last.is_called_off:
            found.append(replace(last, sequence=last.sequence + 1, stamp=now, is_called_off=True))
        elif now - last.stamp < KEEP_CALLED_OFF:
            found.append(last)
    return tuple(found)


def calendar_bytes(told: Sequence[Told], *, name: str) -> bytes:
    """A calendar as an iCalendar file.

    Parameters
    ----------
    told : sequence of Told
        What it says.
    name : str
        What a calendar program calls it.

    Returns
    -------
    bytes
        UTF-8 with the line ends that RFC 5545 asks for. All events are whole days, so that no time zone can move them.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", dt.timedelta(hours=6), parameters={"VALUE": "DURATION"})
    for one in told:
        calendar.add_component(_event(one))
    return bytes(calendar.to_ical())


def _event(told: Told) -> Event:
    from icalendar import Event

    entry = told.entry
    event = Event()
    event.add("uid", entry.uid)
    event.add("sequence", told.sequence)
    event.add("dtstamp", told.stamp.astimezone(dt.UTC))
    event.add("last-modified", told.stamp.astimezone(dt.UTC))
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + dt.timedelta(days=1))  # the end is not part of it
    event.add("summary", entry.summary)
    if entry.text:
        event.add("description", entry.text)
    event.add("status", "CANCELLED" if told.is_called_off else str(entry.standing))
    event.add("transp", "TRANSPARENT")
    event.add("class", "PRIVATE")
    event.add(_STANDING, f"{entry.standing}")
    return event


def told_in(content: bytes, *, file: str = "") -> dict[str, Told]:
    """What an earlier calendar of ours said, by uid; events of others are passed over.

    Parameters
    ----------
    content : bytes
        The file.
    file : str
        Its name, for the message.

    Raises
    ------
    HoldbackError
        SEA-201 if it is no calendar, or not one that was written here.
    """
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(content)
    except (ValueError, IndexError) as fault:
        raise _not_ours(file, f"cannot be read as a calendar ({fault})") from fault
    if str(calendar.get("prodid", "")) != PRODUCT:
        raise _not_ours(file, "was written by another program")
    found = {}
    for event in calendar.walk("VEVENT"):
        entry = CalendarEntry(
            str(event["uid"]),
            str(event["summary"]),
            event.decoded("dtstart"),
            event.decoded("dtend") - dt.timedelta(days=1),
            str(event.get("description", "")),
            Standing(str(event.get(_STANDING, Standing.TENTATIVE))),
        )
        found[entry.uid] = Told(
            entry, int(event.get("sequence", 0)), event.decoded("dtstamp"), str(event.get("status")) == "CANCELLED"
        )
    return found


def _not_ours(file: str, why: str) -> HoldbackError:
    return HoldbackError(
        Fault("SEA-201", f"{file or 'The file'} {why}.", "Name a new file, or one that this command wrote.", file=file)
    )
