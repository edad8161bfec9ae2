"""The day that pages and commands take for today; the demo, whose records stand still, keeps a day of its own."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.utils import timezone

from holdback.web.records.models import Setting

DAY = "day"
"""Name of the rule that holds the demo's day."""


def today() -> dt.date:
    """Today in the keeper's time zone; in the demo the day it was moved to."""
    if is_movable():
        kept = Setting.objects.filter(key=DAY).values_list("value", flat=True).first()
        if kept:
            return dt.date.fromisoformat(kept)
    return timezone.localdate()


def is_movable() -> bool:
    """Whether the day can be set: in the demo only."""
    return bool(getattr(settings, "HOLDBACK_DEMO", False))
