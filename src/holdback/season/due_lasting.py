"""Quarantines, loans and treatments that come to an end."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from holdback.collection.event_kinds import BORROWED, DIED, LENT, QUARANTINE, RETURNED, SOLD, TREATMENT, kind_of
from holdback.collection.model import Event
from holdback.collection.status import lives
from holdback.season.day_words import day_words
from holdback.season.keeping import Keeping
from holdback.season.outlook import DueItem

QUARANTINE_DAYS = (60, 90)
"""Days that a quarantine without a last day lasts (common practice, no source)."""

TOLD_AFTER_DAYS = 30
"""The end of a quarantine or a treatment is told so long after it."""

_BEFORE = {
    QUARANTINE: "With any sign on record, ask a reptile vet first.",
    TREATMENT: "Ask the vet whether it is over.",
}


def lasting_items(keeping: Keeping) -> Iterator[DueItem]:
    """Quarantines, loans and treatments that end."""
    for animal in keeping.collection.animals.values():
        if not lives(animal.status) or animal.status.casefold().startswith("sold"):
            continue
        last: dict[str, Event] = {}
        for one in keeping.events(animal.id):
            kind = kind_of(one.kind)
            if kind in (LENT, BORROWED, QUARANTINE, TREATMENT):
                last[kind] = one
            elif kind in (DIED, SOLD) or (kind == RETURNED and BORROWED in last):
                last.clear()
            elif kind == RETURNED:
                last.pop(LENT, None)
        for kind, one in last.items():
            item = _ending(kind, one, keeping)
            if item is not None:
                yield item


def _ending(kind: str, one: Event, keeping: Keeping) -> DueItem | None:
    today, start = keeping.today, one.date.earliest
    until = one.until.latest if one.until else None
    if kind in (LENT, BORROWED):
        if until is None:
            return None
        what, deed = ("Lent out", "came back") if kind == LENT else ("Borrowed", "went back")
        text = f"{what} until {day_words(until, today)}{_note(one)}{_late(kind) if until < today else ''}."
        first = until - dt.timedelta(days=7)
        return DueItem(f"loan:{one.animal}:{start}", "loan", one.animal, False, first, until, text, deed)
    if until is not None:
        if (today - until).days > TOLD_AFTER_DAYS:
            return None
        is_over = until < today
        text = (
            f"{kind.capitalize()} {'ended' if is_over else 'ends'} on {day_words(until, today)}{_note(one)}. "
            f"{'Any sign since' if is_over else 'Before it ends: any sign'}, ask the vet."
        )
        last = until + dt.timedelta(days=7)
        return DueItem(f"{kind}:{one.animal}:{start}", kind, one.animal, False, until, last, text)
    if kind != QUARANTINE or (today - start).days > QUARANTINE_DAYS[1] + TOLD_AFTER_DAYS:
        return None
    text = (
        f"In quarantine since {day_words(start, today)}, without a last day; {QUARANTINE_DAYS[0]} to "
        f"{QUARANTINE_DAYS[1]} days are usual (common practice, no source). Write its last day."
    )
    first, last = (start + dt.timedelta(days=each) for each in QUARANTINE_DAYS)
    return DueItem(f"{kind}:{one.animal}:{start}", kind, one.animal, False, first, last, text)


def _late(kind: str) -> str:
    """What a loan past its day still waits for."""
    return ", and not back yet" if kind == LENT else ", and still here"


def _note(one: Event) -> str:
    note = one.note.strip().rstrip(".")
    return f" ({note})" if note else ""
