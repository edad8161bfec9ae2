"""Write down how warm a place is: one reading, or the table of a logger."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypedDict, Unpack

from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.clutch_rules import Day, come_faults
from holdback.web.records.logger_text import celsius_of, number_of, read_logger
from holdback.web.records.models import Place, Warmth
from holdback.web.records.rules import length_faults, refuse
from holdback.web.records.services.deed import deed

UNITS = ("C", "F")
CAN_BE_C = (-20.0, 60.0)
"""A reading that is not between these is none of a room for snakes."""
LIKELY_C = (15.0, 40.0)
"""A reading beyond these is asked about; eggs are kept at 28 to 33 °C (common practice, no source)."""
MEANT_C = (26.0, 36.0)
"""Warmth that is held to be meant where a reading cannot be."""


class Reading(TypedDict, total=False):
    """What else is said of a reading."""

    unit: str
    time: dt.time | str | None
    note: str


def log_warmth(
    place: Place,
    *,
    value: float | str,
    date: Day,
    who: str,
    batch: uuid.UUID | None = None,
    sure: bool = False,
    **more: Unpack[Reading],
) -> Warmth:
    """One reading of a place; the one on record where the same was written already.

    Parameters
    ----------
    place : Place
        The incubator, box, rack or room.
    value : float or str
        Degrees, or as they were typed, with a point or a comma.
    date : date or str
        The day.
    who : str
        Who read it.
    batch : UUID, optional
        Batch that the change belongs to.
    sure : bool
        Whether what is asked about is meant so.
    **more
        ``unit`` (C, which it is if left out, or F), ``time`` (HH:MM, or a time), ``note``.

    Raises
    ------
    RecordError
        REC-011, REC-012, SEA-002, SEA-021, all together; as questions SEA-020, and SEA-028 where another reading of
        that time is on record.
    """
    with deed("log warmth", who=who, batch=batch) as done:
        number = number_of(value) if isinstance(value, str) else value
        unit, note = more.get("unit", "C"), more.get("note", "").strip()
        clock, late = _clock(more.get("time"))
        faults = [*come_faults(str(date), field="date"), *late, *length_faults(note, 200, field="note")]
        if len(str(date)) < 10 and not faults:
            faults.append(Fault("REC-012", f"{date} is no day.", "Write the day: 2026-04-02.", field="date"))
        if unit not in UNITS or number is None:
            what = f"{value!r} {unit} is no warmth."
            faults.append(Fault("SEA-021", what, "Write degrees, and C or F.", field="value", value=str(value)))
        refuse(faults)
        assert number is not None, "refused above"
        celsius, day = celsius_of(number, unit), dt.date.fromisoformat(str(date))
        kept = Warmth.objects.filter(place=place, date=day, time=clock).first()
        if kept and kept.celsius == celsius and note in {"", kept.note}:
            return kept
        judge([*_warmth_faults(number, unit), *_other_faults(kept, celsius)], sure=sure)
        if kept:
            done.change(kept, celsius=celsius, note=note or kept.note)
            return kept
        reading = Warmth(place=place, date=day, time=clock, celsius=celsius, note=note)
        done.make(reading)
    return reading


def _clock(time: dt.time | str | None) -> tuple[dt.time | None, list[Fault]]:
    """Time of day out of its text, and what is wrong with it."""
    if not isinstance(time, str):
        return time, []
    try:
        return dt.time.fromisoformat(time.strip()) if time.strip() else None, []
    except ValueError:
        return None, [Fault("SEA-021", f"{time!r} is no time of day.", "Write 08:30.", field="time", value=time)]


def _warmth_faults(value: float, unit: str) -> Iterator[Fault]:
    """SEA-021 where a reading cannot be, the question SEA-020 where it is out of the ordinary."""
    celsius = celsius_of(value, unit)
    if LIKELY_C[0] <= celsius <= LIKELY_C[1]:
        return
    meant = {f"{value / 10:g} °{unit}": celsius_of(value / 10, unit), f"{value:g} °F": celsius_of(value, "F")}
    meant[f"{value:g} °C"] = value
    likely = [text for text, degrees in meant.items() if MEANT_C[0] <= degrees <= MEANT_C[1]]
    what = f"{value:g} °{unit}" + (f": was {' or '.join(likely)} meant?" if likely else " is out of the ordinary.")
    if CAN_BE_C[0] < celsius < CAN_BE_C[1]:
        yield Fault("SEA-020", what, "Correct it, or confirm.", field="value", value=f"{value:g}")
    else:
        yield Fault("SEA-021", what, "Correct the number or the unit.", field="value", value=f"{value:g}")


def _other_faults(kept: Warmth | None, celsius: float) -> Iterator[Fault]:
    """The question SEA-028 where another reading of that time is on record."""
    if kept and kept.celsius != celsius:
        when = f"{kept.date} {kept.time:%H:%M}" if kept.time else str(kept.date)
        what = f"{kept.celsius:g} °C is on record of {when}. Is it {celsius:g} °C?"
        yield Fault("SEA-028", what, "Give a time of its own, or confirm to change it.", field="value")


@dataclass(frozen=True, slots=True)
class Logged:
    """What became of the table of a logger.

    Parameters
    ----------
    made : int
        Readings written.
    known : int
        Readings that were on record, or stood twice.
    differing : int
        Of these, those that say another warmth than the record, which stays.
    unit : str
        Unit that the table was in, C or F.
    is_unit_said : bool
        Whether somebody said so; else it was told by the size of the numbers.
    unread : tuple of Fault
        SEA-023 for each row left out.
    """

    made: int
    known: int
    differing: int
    unit: str
    is_unit_said: bool
    unread: tuple[Fault, ...]


def log_warmth_table(
    place: Place,
    text: str,
    *,
    who: str,
    unit: str = "",
    day_first: bool | None = None,
    batch: uuid.UUID | None = None,
    sure: bool = False,
) -> Logged:
    """Write the readings of a logger's table; each time of a place is written once.

    Parameters
    ----------
    place : Place
        Where the logger lay.
    text : str
        The table; see `logger_text.read_logger`.
    who : str
        Who brings it in.
    unit : str
        C or F; empty lets the table tell.
    day_first : bool, optional
        Whether 3/4/2026 is 3 April.
    batch : UUID, optional
        Batch that the change belongs to.
    sure : bool
        Whether readings out of the ordinary are meant so.

    Raises
    ------
    RecordError
        SEA-021, SEA-022; as a question SEA-020.
    """
    with deed("log warmth of a logger", who=who, batch=batch) as done:
        if unit and unit not in UNITS:
            refuse([Fault("SEA-021", f"{unit!r} is no unit of warmth.", "Say C or F.", field="unit", value=unit)])
        found = read_logger(text, unit=unit, day_first=day_first)
        low, high = CAN_BE_C
        readings = [one for one in found.readings if low < one[2] < high]
        judge(_table_questions([celsius for *_, celsius in readings]), sure=sure)
        days = [day for day, *_ in found.readings]
        kept = Warmth.objects.filter(place=place, date__range=(min(days), max(days)))
        on_record = {(day, time): celsius for day, time, celsius in kept.values_list("date", "time", "celsius")}
        made, known, differing = [], 0, 0
        for day, time, celsius in readings:
            if (day, time) in on_record:
                known += 1
                differing += on_record[day, time] != celsius
                continue
            on_record[day, time] = celsius
            made.append(Warmth(place=place, date=day, time=time, celsius=celsius))
        done.make(*made)
        broken = [_broken(*one) for one in found.readings if not low < one[2] < high]
    return Logged(len(made), known, differing, found.unit, found.is_unit_said, (*found.unread, *broken))


def _table_questions(readings: list[float]) -> Iterator[Fault]:
    """The question SEA-020 where readings of a table are out of the ordinary."""
    low, high = LIKELY_C
    odd = [celsius for celsius in readings if not low <= celsius <= high]
    if odd:
        span = f"({min(odd):g} to {max(odd):g})"
        what = f"{len(odd)} of {len(readings)} readings lie below {low:g} or above {high:g} °C {span}."
        yield Fault("SEA-020", what, "Look at the unit, cut them off, or confirm.", field="text")


def _broken(day: dt.date, time: dt.time | None, celsius: float) -> Fault:
    """SEA-023 for a reading that no place can have."""
    when = f"{day} {time:%H:%M}" if time else str(day)
    return Fault("SEA-023", f"{celsius:g} °C on {when} cannot be.", "It is left out.", field="text")
