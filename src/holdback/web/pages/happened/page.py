"""Events, readings and matings of an animal as one list, the latest first."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass

from django.core.paginator import Page, Paginator

from holdback.collection.event_kinds import BORROWED, LENT, MEAL, kind_of
from holdback.collection.model import PartialDate
from holdback.web.pages.log.page import told
from holdback.web.pages.wording import counted, day, quantity
from holdback.web.records.happening_rules import shares_on
from holdback.web.records.lifetimes import whereabouts
from holdback.web.records.models import Animal, Mating, Measurement, Observation

PAGE_SIZE = 20
FIRST = 8
"""Entries shown on the page of the animal."""

EVENT, READING, MATING = "event", "reading", "mating"
DAILY = "daily"
"""What is left out where only the rest is asked for: meals and readings."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened.

    Parameters
    ----------
    kind : str
        `EVENT`, `READING` or `MATING`.
    key : UUID
        Of its record.
    date : str
        As recorded; empty where not known.
    when, what : str
        In words.
    """

    kind: str
    key: uuid.UUID
    date: str
    when: str
    what: str


def entries(animal: Animal, *, but_daily: bool = False) -> list[Entry]:
    """Everything that happened to an animal, the latest first; four queries.

    Parameters
    ----------
    animal : Animal
        The animal.
    but_daily : bool
        Whether meals and readings are left out.
    """
    found = [_event(seen) for seen in animal.observations.all() if not (but_daily and kind_of(seen.kind) == MEAL)]
    if not but_daily:
        found += [_reading(one) for one in animal.measurements.all()]
    found += [_mating(one, one.sire) for one in animal.matings_as_dam.select_related("sire")]
    found += [_mating(one, one.dam) for one in animal.matings_as_sire.select_related("dam")]
    return sorted(found, key=lambda one: (one.date, one.key), reverse=True)


def page_of(animal: Animal, *, number: str = "1", but_daily: bool = False) -> Page[Entry]:
    """One page of the list; a number out of range gives the nearest."""
    return Paginator(entries(animal, but_daily=but_daily), PAGE_SIZE).get_page(number)


def event_words(seen: Observation) -> str:
    """An event in words, without its day."""
    number = quantity(seen.value, seen.unit, 1) if seen.value is not None else ""
    until = f"until {_day(seen.until)}" if seen.until else ""
    rest = ", ".join(part for part in (number, told(seen), until) if part)
    return f"{seen.kind[:1].upper()}{seen.kind[1:]}" + (f": {rest}" if rest else "")


def reading_words(one: Measurement) -> str:
    """A reading in words, without its day."""
    state = f", {one.condition}" if one.condition else ""
    name = "Weight" if one.trait == "mass" else f"{one.trait[:1].upper()}{one.trait[1:]}"
    return f"{name}: {quantity(one.value, one.unit, 2)}{state}"


def mating_words(one: Mating, other: Animal) -> str:
    """A mating in words, without its first day."""
    parts = [
        f"With {other}",
        f"until {_day(one.apart)}" if one.apart else "not parted on record",
        counted(one.locks, "lock") if one.locks else "",
        one.notes.strip(),
    ]
    return ", ".join(part for part in parts if part)


def whose(animal: Animal, on: dt.date) -> list[str]:
    """Who else has to do with an animal: where it is lent to, of whom it is borrowed, who owns a part of it."""
    day_on = PartialDate(on.year, on.month, on.day)
    last = next(reversed(whereabouts(animal)), None)
    said = []
    words = {LENT: "Lent out", BORROWED: "Borrowed"}.get(kind_of(last.kind) if last else "")
    if last and words:
        is_over = bool(last.until) and PartialDate.parse(last.until).latest < on
        late = " That day is past, and nobody wrote that it went back." if is_over else ""
        said.append(_since(last, words) + late)
    shares = [one for one in shares_on(animal, day_on) if PartialDate.parse(one.date).earliest <= on]
    return said + [_since(one, "Co-owned") for one in shares]


def _since(one: Observation, words: str) -> str:
    """What lasts, since when and with whom, in a sentence."""
    until = f", until {_day(one.until)}" if one.until else ""
    part = quantity(one.value, "%", 1) if one.value is not None else ""
    who = ", ".join(each for each in (one.note.strip().rstrip("."), part) if each)
    return f"{words} since {_day(one.date)}{until}" + (f": {who}." if who else ".")


def _event(seen: Observation) -> Entry:
    return Entry(EVENT, seen.pk, seen.date, _day(seen.date), event_words(seen))


def _reading(one: Measurement) -> Entry:
    return Entry(READING, one.pk, one.date, _day(one.date), reading_words(one))


def _mating(one: Mating, other: Animal) -> Entry:
    date = one.together or one.apart
    return Entry(MATING, one.pk, date, _day(date) or "a day not known", mating_words(one, other))


def _day(text: str) -> str:
    return day(PartialDate.parse(text)) if text else ""
