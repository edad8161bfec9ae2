"""Checks of the looks at eggs: the egg is there, the days are in order, and its end is the one that was seen."""

from __future__ import annotations

from collections.abc import Iterator

from holdback.collection.model import Egg, EggLook, EggOutcome, EggState, PartialDate, Records
from holdback.collection.places import Places
from holdback.errors import Fault

_ENDS = frozenset({EggState.OUT, EggState.LOST, EggState.SLUG})


def looks_faults(records: Records, places: Places) -> Iterator[Fault]:
    """Everything in which looks at eggs contradict the eggs.

    Parameters
    ----------
    records : Records
        As read.
    places : Places
        Where they came from.

    Yields
    ------
    Fault
        COL-032, COL-041 or COL-043.
    """
    if not records.egg_looks:
        return
    eggs = {(egg.clutch, egg.egg): egg for egg in records.eggs}
    laid = {clutch.id: clutch.laid for clutch in records.clutches}
    for index, look in enumerate(records.egg_looks):
        row, egg = ("egg_looks", index), eggs.get((look.clutch, look.egg))
        if egg is None and look.clutch in laid:
            what = f"Egg {look.egg} of {look.clutch} is not in eggs.csv."
            hint = "Add it there, or correct the egg."
            yield places.fault("COL-032", what, hint, row=row, field="egg", value=look.egg)
        day = laid.get(look.clutch)
        if day is not None and look.date.latest < day.earliest:
            what = f"Egg {look.egg} of {look.clutch} was looked at {look.date}, before it was laid {day}."
            yield places.fault("COL-041", what, "Correct one date.", row=row, field="date", value=look.date)
        if egg is not None:
            yield from _against_end(look, egg, row, places)


def _against_end(look: EggLook, egg: Egg, row: tuple[str, int], places: Places) -> Iterator[Fault]:
    """Faults of a look against what became of the egg."""
    if look.state not in _ENDS and _after(look.date, egg.ended):
        what = f"Egg {egg.egg} of {egg.clutch} was looked at {look.date}, and ended {egg.ended}."
        yield places.fault("COL-041", what, "Correct one date.", row=row, field="date", value=look.date)
    is_out = look.state is EggState.OUT and egg.outcome in (EggOutcome.SLUG, EggOutcome.DIED)
    is_lost = look.state is EggState.LOST and egg.outcome is EggOutcome.HATCHED
    if is_out or is_lost:
        what = f"Egg {egg.egg} of {egg.clutch} was found {look.state} on {look.date}, and is written as {egg.outcome}."
        yield places.fault("COL-043", what, "Correct the look or the egg.", row=row, field="state", value=look.state)


def _after(date: PartialDate, end: PartialDate | None) -> bool:
    """Whether a day surely lies after another."""
    return end is not None and date.earliest > end.latest
