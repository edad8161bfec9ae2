"""The deeds of an entry, written as one batch."""

from __future__ import annotations

import datetime as dt
import uuid

from holdback.collection.event_kinds import SHED, SIGN
from holdback.web.records.models import Animal, Measurement
from holdback.web.records.services.happenings import log_event, log_meal
from holdback.web.records.services.inbox_questions import Earlier
from holdback.web.records.services.inbox_reading import TAKEN, Deeds
from holdback.web.records.services.observations import remove_observation
from holdback.web.records.services.readings import remove_measurement
from holdback.web.records.services.weighing import weigh

NOTE = "note"
"""Kind of an observation that is a note of its own; nothing is concluded from it."""


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
    if weight := deeds.weight:
        is_sure = sure or weight.sure
        reading = weigh(animal, who=who, typed=weight.typed, unit=weight.unit, on=on, sure=is_sure, batch=batch)
        said.append(_weighed(reading))
    if deeds.is_fed:
        is_taken = deeds.meal == TAKEN
        log_meal(animal, who=who, taken=is_taken, on=on, prey_g=deeds.prey_g, sure=sure, batch=batch)
        said.append(f"meal {deeds.meal}")
    events = [*((SIGN, sign) for sign in deeds.signs), (SHED, deeds.shed), (NOTE, deeds.note)]
    for kind, note in events:
        if note:
            log_event(animal, who=who, kind=kind, on=on, note=note, sure=sure, batch=batch)
            said.append(f"{kind}: {note}")
    return said


def remove_earlier(earlier: Earlier, deeds: Deeds, *, who: str, batch: uuid.UUID) -> None:
    """Take away what the deeds take the place of."""
    for reading in earlier.weights if deeds.weight else ():
        remove_measurement(reading, who=who, batch=batch)
    for meal in earlier.meals if deeds.meal else ():
        remove_observation(meal, who=who, batch=batch)


def _weighed(reading: Measurement) -> str:
    return f"{reading.value:,g} {reading.unit}"
