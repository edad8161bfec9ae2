"""Move the demo to another day."""

from __future__ import annotations

import datetime as dt
import uuid

from holdback.errors import Fault
from holdback.web.records.clock import DAY
from holdback.web.records.models import Setting
from holdback.web.records.rules import refuse
from holdback.web.records.services.deed import deed

MOVE = "move the demo"
"""Deed in the log."""
EARLIEST, LATEST = dt.date(2021, 1, 1), dt.date(2035, 12, 31)
"""Days between which the demo may be moved."""


def set_day(day: dt.date, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Move the demo to a day.

    Parameters
    ----------
    day : date
        The day.
    who : str
        Who moves it.
    batch : UUID, optional
        Deeds with the same batch are undone together.

    Raises
    ------
    RecordError
        SEA-112 if the day lies outside the years that the demo may be moved to.
    """
    if not EARLIEST <= day <= LATEST:
        what = f"The demo cannot be moved to {day}."
        refuse([Fault("SEA-112", what, f"Give a day from {EARLIEST} to {LATEST}.", field="day", value=str(day))])
    with deed(MOVE, who=who, batch=batch) as done:
        kept = Setting.objects.filter(key=DAY).first()
        if kept:
            done.change(kept, value=day.isoformat())
        else:
            done.make(Setting(key=DAY, value=day.isoformat()))
