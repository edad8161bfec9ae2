"""Males that were with a female in a season, and the locks that were seen."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import LOCK
from holdback.collection.model import Mating, PartialDate, Sex
from holdback.season.by_season import SeasonRecords
from holdback.season.outlook import Together

_WORDS = re.compile(r"[\w-]+")


def together_of(collection: Collection, dam: str, found: SeasonRecords, *, before: dt.date) -> tuple[Together, ...]:
    """Males with a female, in the order of their first days.

    Parameters
    ----------
    collection : Collection
        Records.
    dam : str
        Animal id.
    found : SeasonRecords
        Her records of the season.
    before : date
        A last day of this day or later is not known yet.

    Returns
    -------
    tuple of Together
        One a mating, and one for each male that only a dated lock tells of, with an empty id where nobody is named.

    Notes
    -----
    A dated lock goes to the mating whose days hold it, by the male that its note names where it names one. Locks that
    a mating counts and locks that were dated are the same ones: the larger number stands.
    """
    matings = sorted(found.matings, key=_begins)
    locks: list[list[dt.date]] = [[] for _ in matings]
    alone: dict[str, list[dt.date]] = {}
    for kind, event in found.events:
        if kind != LOCK or not event.date.day:
            continue
        day = event.date.earliest
        sire = _named_male(collection, matings, event.note)
        index = _mating_of(matings, day, sire)
        if index is not None:
            locks[index].append(day)
        else:
            alone.setdefault(sire or "", []).append(day)
    spans = [_span(mating, days, before) for mating, days in zip(matings, locks, strict=True)]
    spans += [Together(sire, min(days), max(days), len(days), tuple(sorted(days))) for sire, days in alone.items()]
    return tuple(sorted(spans, key=lambda one: one.first or _month_of(matings, one.sire)))


def _begins(mating: Mating) -> PartialDate:
    date = mating.together or mating.apart
    assert date is not None, "a mating without a date is in no season"
    return date


def _month_of(matings: Sequence[Mating], sire: str) -> dt.date:
    """First day that a mating of a male with no day may have begun."""
    return min(_begins(mating).earliest for mating in matings if mating.sire == sire)


def _span(mating: Mating, lock_days: Sequence[dt.date], before: dt.date) -> Together:
    first, last = mating.together, mating.apart
    return Together(
        sire=mating.sire,
        first=first.earliest if first is not None and first.day else None,
        last=last.earliest if last is not None and last.day and last.earliest < before else None,
        locks=max(mating.locks, len(lock_days)),
        lock_days=tuple(sorted(lock_days)),
    )


def _named_male(collection: Collection, matings: Sequence[Mating], note: str) -> str | None:
    """Male that a note names by id or by name: one that was with her, else any male; None where it names none."""
    text = note.casefold()
    words = set(_WORDS.findall(text))
    for mating in matings:
        name = collection.animals[mating.sire].name.casefold()
        if mating.sire.casefold() in words or (name and re.search(rf"\b{re.escape(name)}\b", text)):
            return mating.sire
    if not words:
        return None
    named = {
        animal.id
        for animal in collection.animals.values()
        if animal.sex is Sex.MALE and (animal.id.casefold() in words or animal.name.casefold() in words)
    }
    return named.pop() if len(named) == 1 else None


def _mating_of(matings: Sequence[Mating], day: dt.date, sire: str | None) -> int | None:
    """Index of the mating that a lock belongs to: of the named male where there is one, the last that holds its day."""
    able = [i for i, mating in enumerate(matings) if sire is None or mating.sire == sire]
    holding = [i for i in able if _holds(matings[i], day)]
    if holding:
        return holding[-1]
    if sire is not None and able:
        return min(able, key=lambda i: abs((_begins(matings[i]).earliest - day).days))
    return None


def _holds(mating: Mating, day: dt.date) -> bool:
    """Whether a day lies between the first and the last of a mating; one without a last day lasts."""
    first = mating.together or mating.apart
    last = mating.apart.latest if mating.apart is not None else dt.date.max
    return first is not None and first.earliest <= day <= last
