"""Move the demo to another day."""

from __future__ import annotations

import datetime as dt

from holdback.web.records.clock import DAY
from holdback.web.records.models import Setting
from holdback.web.records.services.deed import deed


def set_day(day: dt.date, *, who: str) -> None:
    """Move the demo to a day.

    Parameters
    ----------
    day : date
        The day.
    who : str
        Who moves it.
    """
    with deed("set the day", who=who) as done:
        kept = Setting.objects.filter(key=DAY).first()
        if kept:
            done.change(kept, value=day.isoformat())
        else:
            done.make(Setting(key=DAY, value=day.isoformat()))
