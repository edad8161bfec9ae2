"""Keep what the calendar was told, so that it can be changed or called off under the same id."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from django.db import transaction

from holdback.web.records.models import CalendarItem

if TYPE_CHECKING:
    from holdback.calendars.entries import CalendarEntry
    from holdback.calendars.ical import Told


def tell(entries: Sequence[CalendarEntry], *, now: dt.datetime) -> tuple[Told, ...]:
    """What the calendar says now, and keep it.

    Parameters
    ----------
    entries : sequence of CalendarEntry
        What holds now.
    now : datetime
        Present moment, with a zone.
    """
    from holdback.calendars.ical import digest_of, told_now

    with transaction.atomic():
        before = {row.uid: _told(row) for row in CalendarItem.objects.all()}
        told = told_now(entries, before, now=now)
        kept = {one.entry.uid for one in told}
        changed = [one for one in told if before.get(one.entry.uid) != one]
        CalendarItem.objects.filter(uid__in=[uid for uid in before if uid not in kept]).delete()
        CalendarItem.objects.bulk_create(
            [
                CalendarItem(
                    uid=one.entry.uid,
                    sequence=one.sequence,
                    digest=digest_of(one.entry),
                    told=_plain(one.entry),
                    stamp=one.stamp,
                    cancelled=one.is_called_off,
                )
                for one in changed
            ],
            update_conflicts=True,
            unique_fields=["uid"],
            update_fields=["sequence", "digest", "told", "stamp", "cancelled"],
        )
    return told


def _plain(entry: CalendarEntry) -> dict[str, str]:
    return {
        "summary": entry.summary,
        "first": entry.first.isoformat(),
        "last": entry.last.isoformat(),
        "text": entry.text,
        "standing": str(entry.standing),
    }


def _told(row: CalendarItem) -> Told:
    from holdback.calendars.entries import CalendarEntry, Standing
    from holdback.calendars.ical import Told

    said = row.told
    entry = CalendarEntry(
        row.uid,
        said["summary"],
        dt.date.fromisoformat(said["first"]),
        dt.date.fromisoformat(said["last"]),
        said["text"],
        Standing(said["standing"]),
    )
    return Told(entry, row.sequence, row.stamp, row.cancelled)
