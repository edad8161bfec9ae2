"""What every record shares: a permanent key, the scope it belongs to, and columns computed from others."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import ClassVar

from django.db import models

from holdback.collection.model import PartialDate

ANIMALS = "animals"
READINGS = "readings"
PLACES = "places"
CATALOGUE = "catalogue"
PHOTOS = "photos"
SETTINGS = "settings"
PROJECTS = "projects"
SCOPES = (ANIMALS, READINGS, PLACES, CATALOGUE, PHOTOS, SETTINGS, PROJECTS)
"""What a change can outdate: the animals and their parents, readings and events, places, the genes,
photos and what is marked on them, the keeper's own rules, what the keeper works towards."""


class Record(models.Model):
    """A row of the records, written by services only."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    scope: ClassVar[str] = ANIMALS
    computed: ClassVar[frozenset[str]] = frozenset()
    """Columns that `compute` fills from others; the log leaves them out."""

    class Meta:
        abstract = True

    def compute(self) -> None:
        """Fill the computed columns."""


def first_day(text: str) -> dt.date | None:
    """Earliest day of a date written to the year, month or day; None for no text."""
    return PartialDate.parse(text).earliest if text else None


class PartialDateField(models.CharField):  # type: ignore[type-arg]  # generic in the stubs only, not at run time
    """A date as ``YYYY``, ``YYYY-MM`` or ``YYYY-MM-DD``; empty is not known. Sorts as text."""

    def __init__(self, *args: object, **kwargs: object) -> None:
        kwargs.setdefault("max_length", 10)
        kwargs.setdefault("blank", True)
        kwargs.setdefault("default", "")
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # handed through as they came
