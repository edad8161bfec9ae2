"""Correct a clutch, with what was written down for the day it was laid."""

from __future__ import annotations

import uuid
from typing import Unpack

from holdback.collection.event_kinds import KINDS, LAID
from holdback.collection.model import EggOutcome, Trait
from holdback.web.records.models import Clutch, Measurement, Observation
from holdback.web.records.services.clutches import ClutchFields, change_clutch
from holdback.web.records.services.deed import Deed, deed

AFTER_LAYING = "after laying"


def correct_clutch(
    clutch: Clutch, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[ClutchFields]
) -> Clutch:
    """The clutch with some fields changed, as `change_clutch` takes them.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    who : str
        Who corrects it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        See `add_clutch`.

    Raises
    ------
    RecordError
        As `change_clutch`; REC-012 where a weight or an event would have no day.

    Notes
    -----
    Another day of laying moves what was written down with the laying: slugs that ended that day, the event of the dam,
    and her weight after laying.
    """
    with deed("correct clutch", who=who, batch=batch) as done:
        laid = str(fields.get("laid", clutch.laid)).strip()
        if clutch.laid and laid and laid != clutch.laid:
            _move_laying(done, clutch, laid)
        return change_clutch(clutch, who=who, batch=done.batch, **fields)


def _move_laying(done: Deed, clutch: Clutch, laid: str) -> None:
    for egg in clutch.egg_records.filter(outcome=EggOutcome.SLUG.value, ended=clutch.laid):
        done.change(egg, ended=laid)
    if clutch.dam is None:
        return
    words = [LAID, *KINDS[LAID].also]
    for event in Observation.objects.filter(animal=clutch.dam, date=clutch.laid, kind__in=words):
        done.change(event, date=laid)
    weights = Measurement.objects.filter(animal=clutch.dam, date=clutch.laid, trait=Trait.MASS.value)
    for weight in weights.filter(condition=AFTER_LAYING):
        done.change(weight, date=laid)
