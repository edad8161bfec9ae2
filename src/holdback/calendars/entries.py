"""What of the season goes into a calendar: whole days, each with a name that stays the same from day to day."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from holdback.answers.season.words import day_words, in_ten, span_words, subject_words
from holdback.collection.estimate import Basis

if TYPE_CHECKING:
    from holdback.answers.season import Season
    from holdback.season.outlook import DueItem, Outlook, Window

_NAMESPACE = uuid.uuid5(uuid.NAMESPACE_DNS, "calendar.holdback.invalid")
LEAST = 0.2
"""Chance of laying below which a window is not put into the calendar."""
_ON_BANDS = frozenset({"lay", "hatch", "ready", "feed", "weigh"})
"""Kinds of due things that the windows say already, or that would fill every day of the calendar."""


class Standing(StrEnum):
    """Whether an entry is foretold or has happened; words of RFC 5545, 3.8.1.11."""

    TENTATIVE = "TENTATIVE"
    CONFIRMED = "CONFIRMED"


@dataclass(frozen=True, slots=True)
class CalendarEntry:
    """One thing in the calendar.

    Parameters
    ----------
    uid : str
        Permanent id: the same thing has the same on every day.
    summary : str
        Title.
    first, last : date
        First and last day, both part of it.
    text : str
        What it rests on.
    standing : Standing
        Foretold or happened.
    """

    uid: str
    summary: str
    first: dt.date
    last: dt.date
    text: str
    standing: Standing


def entries_of(season: Season, *, salt: str = "", days: int = 28) -> tuple[CalendarEntry, ...]:
    """Entries of a season.

    Parameters
    ----------
    season : Season
        As it stands on its day.
    salt : str
        Names the keeper's calendar, so that two keepers whose animals have the same ids do not meet in one calendar.
    days : int
        Days ahead for which single things to do are put in.

    Returns
    -------
    tuple of CalendarEntry
        In the order of their first days.
    """
    found = [*_bands(season, salt), *_other_clutches(season, salt), *_todo(season, salt, days)]
    return tuple(sorted(found, key=lambda one: (one.first, one.last, one.summary)))


def uid_of(salt: str, *parts: object) -> str:
    """Permanent id of a thing: a UUID of version 5, as RFC 7986 (5.3) asks for one that tells nothing.

    Examples
    --------
    >>> uid_of("", "lays", "A1", 2026) == uid_of("", "lays", "A1", 2026) != uid_of("x", "lays", "A1", 2026)
    True
    """
    return str(uuid.uuid5(_NAMESPACE, "\x1f".join([salt, *(str(part) for part in parts)])))


def _bands(season: Season, salt: str) -> Iterator[CalendarEntry]:
    """Laying, hatching and sale of each female, foretold or happened."""
    for outlook in season.outlooks:
        cycle = outlook.cycle
        who = subject_words(season.collection, cycle.dam, is_clutch=False)
        uid = [uid_of(salt, what, cycle.dam, season.year) for what in ("lays", "hatches", "ready")]
        if cycle.laid:
            text = f"Clutch {cycle.clutch}." if cycle.clutch else ""
            yield CalendarEntry(uid[0], f"{who} laid", cycle.laid, cycle.laid, text, Standing.CONFIRMED)
        elif outlook.laying and outlook.lays.mean >= 100 * LEAST:
            yield _foretold(season, uid[0], f"{who} lays", outlook.laying, _doubt(outlook))
        eggs = f"Clutch {cycle.clutch}" if cycle.clutch else f"Eggs of {who}"
        verb = "es" if cycle.clutch else ""
        if cycle.hatched:
            text = f"Of {who}." if cycle.clutch else ""
            yield CalendarEntry(uid[1], f"{eggs} hatched", cycle.hatched, cycle.hatched, text, Standing.CONFIRMED)
        elif outlook.hatching and outlook.lays.mean >= 100 * LEAST:
            yield _foretold(season, uid[1], f"{eggs} hatch{verb}", outlook.hatching, _doubt(outlook))
        if outlook.ready and cycle.has_laid:
            yield _foretold(season, uid[2], f"Young of {who} ready to sell", outlook.ready, "")


def _other_clutches(season: Season, salt: str) -> Iterator[CalendarEntry]:
    """Hatching and sale of clutches that no female's first of the season is: a second one, or one without a dam."""
    told = {outlook.cycle.clutch for outlook in season.outlooks}
    for name, clutch in season.clutches.items():
        if name in told:
            continue
        uid = [uid_of(salt, what, "clutch", name) for what in ("hatches", "ready")]
        hatched = season.collection.clutches[name].hatched
        if hatched is not None and hatched.day:
            day = hatched.earliest
            yield CalendarEntry(uid[0], f"Clutch {name} hatched", day, day, "", Standing.CONFIRMED)
        elif clutch.hatching is not None:
            yield _foretold(season, uid[0], f"Clutch {name} hatches", clutch.hatching, "")
        if clutch.ready is not None:
            yield _foretold(season, uid[1], f"Young of clutch {name} ready to sell", clutch.ready, "")


def _doubt(outlook: Outlook) -> str:
    """How likely it is that she lays at all, where that is not plain."""
    if outlook.cycle.has_laid or outlook.lays.mean >= 95:
        return ""
    return f"She lays this season in {in_ten(outlook.lays.mean / 100)} cases."


def _foretold(season: Season, uid: str, summary: str, window: Window, doubt: str) -> CalendarEntry:
    first, last = window.law.window()
    said = [
        f"Four times in five {span_words(first, last)}, likeliest {day_words(window.law.likeliest)}.",
        f"{window.estimate.ground.rstrip('.')}." if window.estimate.ground else "",
        "Assumed, not measured." if window.estimate.basis is Basis.ASSUMED else "",
        doubt,
    ]
    return CalendarEntry(uid, summary, first, last, " ".join(part for part in said if part), Standing.TENTATIVE)


def _todo(season: Season, salt: str, days: int) -> Iterator[CalendarEntry]:
    """Single things to do that fall due soon."""
    horizon = season.on + dt.timedelta(days=days)
    for item in season.due:
        if item.kind not in _ON_BANDS and item.first <= horizon:
            yield _thing(season, salt, item)


def _thing(season: Season, salt: str, item: DueItem) -> CalendarEntry:
    who = subject_words(season.collection, item.subject, is_clutch=item.is_clutch)
    summary = f"{who[:1].upper()}{who[1:]}: {item.kind}"
    return CalendarEntry(uid_of(salt, "due", item.key), summary, item.first, item.last, item.text, Standing.CONFIRMED)
