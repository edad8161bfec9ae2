"""Lengths that are on record from end to end: from ovulation to laying, from laying to hatching, and so on.

Both ends have to be known to the day. A date known to the month is left out: it would add a fortnight of doubt to
lengths that differ by days. A clutch that was set aside is left out. A start so near to today that a slow one would not
have ended yet is left out too, else only the quick ones of this season would count.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import MEAL, READY, SHED, is_taken, kind_of
from holdback.collection.model import Animal, EggOutcome, EggState
from holdback.season.incubation import warmth_of
from holdback.season.outlook import Cycle
from holdback.season.spans import Span, usual
from holdback.species.catalogue import Catalogue

TOO_LONG = 3.0
"""A length above this many times what is usual, or below one part in as many, is asked about and not counted."""

SLOW = 1.25
"""A start counts once this many times the upper end of the usual range has passed."""

_FIRST: Mapping[Span, str] = {Span.HATCHING_TO_SHED: SHED, Span.HATCHING_TO_MEAL: MEAL, Span.HATCHING_TO_READY: READY}
"""Lengths that end with the first event of a kind; a very long one means that nobody wrote the first ones down."""


@dataclass(frozen=True, slots=True)
class Completed:
    """One length on record.

    Parameters
    ----------
    span : Span
        Which.
    subject : str
        Clutch, or animal where it is one young's own.
    dam : str
        Her id; empty where it is not known.
    start : date
        First day.
    days : int
        Length.
    celsius : float or None
        Mean warmth of the eggs; None where nobody wrote any or it does not matter.
    """

    span: Span
    subject: str
    dam: str
    start: dt.date
    days: int
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths that count, and those that cannot be right.

    Parameters
    ----------
    counted : dict of Span to list of Completed
        In the order of the records.
    asked : tuple of Completed
        Left out and worth a question.
    """

    counted: Mapping[Span, Sequence[Completed]]
    asked: tuple[Completed, ...]


def lengths(collection: Collection, cycles: Sequence[Cycle], catalogue: Catalogue, *, before: dt.date) -> Lengths:
    """Lengths on record that had ended before a day.

    Parameters
    ----------
    collection : Collection
        Records.
    cycles : sequence of Cycle
        Of all seasons.
    catalogue : Catalogue
        For what is usual.
    before : date
        What ended on this day or later is not known yet.
    """
    counted: dict[Span, list[Completed]] = defaultdict(list)
    asked = []
    limits = {span: value for span in Span if (value := usual(catalogue, span)) is not None}
    for one in _all(collection, cycles):
        value = limits.get(one.span)
        if value is None or one.start.toordinal() + one.days >= before.toordinal():
            continue
        if not value.value / TOO_LONG <= max(one.days, 0.5) <= value.value * TOO_LONG:
            if one.days < 0 or one.span not in _FIRST:
                asked.append(one)
        elif one.start.toordinal() + SLOW * value.high < before.toordinal():
            counted[one.span].append(one)
    return Lengths(counted, tuple(asked))


def _all(collection: Collection, cycles: Sequence[Cycle]) -> Iterator[Completed]:
    for cycle in cycles:
        clutch = collection.clutches.get(cycle.clutch or "")
        if clutch is None or not clutch.set_aside:
            yield from _of_cycle(collection, cycle)
    in_cycles = {cycle.clutch for cycle in cycles}
    for clutch in collection.records.clutches:
        laid, hatched = clutch.laid, clutch.hatched
        if clutch.id in in_cycles or clutch.set_aside or laid is None or hatched is None:
            continue
        if laid.day and hatched.day:
            yield _in_egg(collection, clutch.id, clutch.dam or "", laid.earliest, hatched.earliest)
    yield from _out_of_shells(collection)
    for animal in collection.animals.values():
        if animal.clutch is not None and animal.hatched is not None and animal.hatched.day:
            yield from _of_young(collection, animal)


def paired_on(cycle: Cycle) -> dt.date | None:
    """First day with a male, or the first lock where that is dated earlier."""
    days = [day for one in cycle.together for day in (one.first, *one.lock_days) if day is not None]
    return min(days, default=None)


def _of_cycle(collection: Collection, cycle: Cycle) -> Iterator[Completed]:
    """Lengths of one female in one season."""
    ends = (
        (Span.OVULATION_TO_SHED, cycle.ovulated, cycle.shed),
        (Span.OVULATION_TO_LAYING, cycle.ovulated, cycle.laid),
        (Span.SHED_TO_LAYING, cycle.shed, cycle.laid),
        (Span.PAIRING_TO_LAYING, paired_on(cycle), cycle.laid),
    )
    for span, start, end in ends:
        if start is not None and end is not None:
            yield Completed(span, cycle.clutch or cycle.dam, cycle.dam, start, (end - start).days)
    if cycle.laid is not None and cycle.hatched is not None and cycle.clutch is not None:
        yield _in_egg(collection, cycle.clutch, cycle.dam, cycle.laid, cycle.hatched)


def _in_egg(collection: Collection, clutch: str, dam: str, laid: dt.date, hatched: dt.date) -> Completed:
    """Days in the egg of a clutch, with its warmth."""
    celsius = warmth_of(collection, clutch, first=laid, last=hatched)
    return Completed(Span.LAYING_TO_HATCHING, clutch, dam, laid, (hatched - laid).days, celsius)


def _out_of_shells(collection: Collection) -> Iterator[Completed]:
    """From the first look at a pipped egg to the day it came out."""
    pipped: dict[tuple[str, str], dt.date] = {}
    out: dict[tuple[str, str], dt.date] = {}
    for look in collection.records.egg_looks:
        days = {EggState.PIPPED: pipped, EggState.OUT: out}.get(look.state)
        if days is not None and look.date.day:
            egg = (look.clutch, look.egg)
            days[egg] = min(days.get(egg, look.date.earliest), look.date.earliest)
    for one in collection.records.eggs:
        if one.outcome is EggOutcome.HATCHED and one.ended is not None and one.ended.day:
            out[one.clutch, one.egg] = one.ended.earliest
    for egg in sorted(pipped.keys() & out.keys()):
        clutch = collection.clutches.get(egg[0])
        if clutch is not None and not clutch.set_aside:
            days_out = (out[egg] - pipped[egg]).days
            yield Completed(Span.OUT_AFTER_PIP, egg[0], clutch.dam or "", pipped[egg], days_out)


def _of_young(collection: Collection, animal: Animal) -> Iterator[Completed]:
    """First shed, first meal and the day it was held to be ready."""
    clutch = collection.clutches.get(animal.clutch or "")
    if animal.hatched is None or clutch is None or clutch.set_aside:
        return
    hatched = animal.hatched.earliest
    wanted = dict(_FIRST)
    for event in collection.events_of(animal.id):
        if not wanted:
            return
        kind = kind_of(event.kind)
        for span in [span for span, word in wanted.items() if word == kind]:
            if kind == MEAL and not is_taken(event):
                continue
            del wanted[span]
            if event.date.day:
                days = (event.date.earliest - hatched).days
                yield Completed(span, animal.id, animal.dam or "", hatched, days)
