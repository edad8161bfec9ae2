"""The deeds of an entry, written as one batch."""

from __future__ import annotations

import datetime as dt
import uuid

from holdback.collection.event_kinds import MEAL, SHED, SIGN
from holdback.collection.units import MASS_IN_G
from holdback.web.records.models import Animal, Measurement
from holdback.web.records.services.deed import deed
from holdback.web.records.services.inbox_questions import Earlier
from holdback.web.records.services.inbox_reading import Deeds, Weight
from holdback.web.records.services.readings import add_measurement, add_observation

NOTE = "note"
"""Kind of an observation that is a note of its own; nothing is concluded from it."""


def grams_of(weight: Weight) -> float | None:
    """Gram of a weight as typed; None where it is no plain number."""
    try:
        return float(weight.typed.replace(",", "")) * MASS_IN_G[weight.unit]
    except ValueError:
        return None


def write_deeds(
    animal: Animal, deeds: Deeds, *, on: dt.date, who: str, batch: uuid.UUID, sure: bool = False
) -> list[str]:
    """What was written, in words.

    Parameters
    ----------
    animal : Animal
        The animal.
    deeds : Deeds
        What is to be written.
    on : date
        The day.
    who : str
        Who writes it.
    batch : UUID
        All of it is undone together.
    sure : bool
        Whether the keeper has said that it is so, whatever would be asked.

    Raises
    ------
    RecordError
        What the services refuse or ask.
    """
    said = []
    day = on.isoformat()
    if deeds.weight:
        value = float(deeds.weight.typed.replace(",", ""))
        reading = add_measurement(
            animal,
            who=who,
            batch=batch,
            date=day,
            value=value,
            unit=deeds.weight.unit,
            typed=deeds.weight.typed,
        )
        said.append(_weighed(reading))
    if deeds.is_fed:
        add_observation(
            animal, who=who, batch=batch, date=day, kind=MEAL, value=deeds.prey_g, unit="g", note=deeds.meal
        )
        said.append(f"meal {deeds.meal}")
    for sign in deeds.signs:
        add_observation(animal, who=who, batch=batch, date=day, kind=SIGN, note=sign)
        said.append(f"sign: {sign}")
    if deeds.shed:
        add_observation(animal, who=who, batch=batch, date=day, kind=SHED, note=deeds.shed)
        said.append(f"shed {deeds.shed}")
    if deeds.note:
        add_observation(animal, who=who, batch=batch, date=day, kind=NOTE, note=deeds.note)
        said.append("a note")
    return said


def remove_earlier(earlier: Earlier, deeds: Deeds, *, who: str, batch: uuid.UUID) -> None:
    """Take away what the deeds take the place of."""
    with deed("replace what was written", who=who, batch=batch) as done:
        if deeds.weight:
            done.delete(*earlier.weights)
        if deeds.meal:
            done.delete(*earlier.meals)


def _weighed(reading: Measurement) -> str:
    return f"{reading.value:,g} {reading.unit}"
