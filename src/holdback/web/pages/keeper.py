"""Whose records these are."""

from __future__ import annotations

from django.conf import settings


def name() -> str:
    """Name of the keeper or the place, as the setting ``HOLDBACK_KEEPER`` gives it; may be empty."""
    return str(getattr(settings, "HOLDBACK_KEEPER", ""))
