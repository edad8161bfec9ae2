"""Whose records these are, and in whose name the pages write."""

from __future__ import annotations

from django.conf import settings


def name() -> str:
    """Name of the keeper or the place, as the setting ``HOLDBACK_KEEPER`` gives it; may be empty."""
    return str(getattr(settings, "HOLDBACK_KEEPER", ""))


def writer() -> str:
    """Name that the log keeps for what is written on a page."""
    return name() or "the keeper"
