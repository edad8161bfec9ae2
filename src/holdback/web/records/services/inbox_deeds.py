"""The deeds of an entry, written as one batch."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from functools import partial
from typing import TypedDict, TypeVar

from holdback.errors import RecordError
from holdback.web.records.asking import is_question
from holdback.web.records.models import Animal, Measurement, Observation
from holdback.web.records.services.happenings import log_event, log_meal
from holdback.web.records.services.inbox_questions import Earlier, events_of
from holdback.web.records.services.inbox_reading import TAKEN, Deeds
from holdback.web.records.services.observations import remove_observation
from holdback.web.records.services.readings import remove_measurement
from holdback.web.records.services.weighing import weigh

SLIP = "SEA-037"
T = TypeVar("T")


class _At(TypedDict):
    """When, by whom, and to which batch something is written."""

    on: dt.date
    who: str
    batch: uuid.UUID


def write_deeds(
    animal: Animal, deeds: Deeds, *, on: dt.date, who: str, batch: uuid.UUID, kept: frozenset[str] = frozenset()
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
    kept : frozenset of str
        Codes of questions, or questions word by word, to which the keeper has said that it is so.

    Raises
    ------
    RecordError
        What the services refuse, or ask and was not answered.
    """
    said = []
    at: _At = {"on": on, "who": who, "batch": batch}
    if weight := deeds.weight:
        number = {"typed": weight.typed, "unit": weight.unit}
        sure = kept | {SLIP} if weight.sure else kept
        said.append(_weighed(_settled(lambda yes: weigh(animal, **number, **at, sure=yes), sure)))
    if deeds.is_fed:
        is_taken = deeds.meal == TAKEN
        _settled(lambda yes: log_meal(animal, taken=is_taken, prey_g=deeds.prey_g, **at, sure=yes), kept)
        said.append(f"meal {deeds.meal}")
    for kind, note in events_of(deeds):
        _settled(partial(_log, animal, kind, note, at), kept)
        said.append(f"{kind}: {note}")
    return said


def _log(animal: Animal, kind: str, note: str, at: _At, sure: bool) -> Observation:
    return log_event(animal, kind=kind, note=note, **at, sure=sure)


def _settled(write: Callable[[bool], T], kept: frozenset[str]) -> T:
    """What was written; the keeper counts as sure where all that is asked was answered so.

    Raises
    ------
    RecordError
        What is refused; else what was asked and not answered.
    """
    try:
        return write(False)
    except RecordError as error:
        if not all(is_question(fault) for fault in error.faults):
            raise
        if left := [fault for fault in error.faults if not {fault.code, fault.as_json()["message"]} & kept]:
            raise RecordError(left) from error
    return write(True)


def remove_earlier(earlier: Earlier, deeds: Deeds, *, who: str, batch: uuid.UUID) -> None:
    """Take away what the deeds take the place of."""
    for reading in earlier.weights if deeds.weight else ():
        remove_measurement(reading, who=who, batch=batch)
    for meal in earlier.meals if deeds.is_fed else ():
        remove_observation(meal, who=who, batch=batch)


def _weighed(reading: Measurement) -> str:
    return f"{reading.value:,g} {reading.unit}"
