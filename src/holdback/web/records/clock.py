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
    if getattr(settings, "HOLDBACK_DEMO", False):
        kept = Setting.objects.filter(key=DAY).values_list("value", flat=True).first()
        if kept:
            return dt.date.fromisoformat(kept)
    return timezone.localdate()
