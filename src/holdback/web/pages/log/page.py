"""What the pages of the log say beside their forms."""

from __future__ import annotations

from urllib.parse import urlencode

from django.urls import reverse

from holdback.collection.event_kinds import MEAL, kind_of
from holdback.collection.model import PartialDate
from holdback.web.pages.log.deeds import Deed
from holdback.web.pages.wording import day, quantity
from holdback.web.records.models import Animal, Observation


def last_words(animal: Animal, deed: Deed) -> str:
    """What was written of the same kind last, in a sentence; empty where nothing was."""
    if not deed.kind:
        return ""
    rows = animal.observations.order_by("-date", "-id")
    found = next((seen for seen in rows if kind_of(seen.kind) == deed.kind), None)
    return f"Last time: {observed(found)}." if found else ""


def observed(seen: Observation) -> str:
    """Day, number and note of an observation."""
    number = quantity(seen.value, seen.unit, 1) if seen.value is not None else ""
    until = f"until {day(PartialDate.parse(seen.until))}" if seen.until else ""
    return ", ".join(part for part in (day(PartialDate.parse(seen.date)), until, number, told(seen)) if part)


def told(seen: Observation) -> str:
    """The note; of a meal without one, that it was taken."""
    note = seen.note.strip().rstrip(".")
    return note or ("taken" if kind_of(seen.kind) == MEAL else "")


def laying_address(animal: Animal) -> str:
    """Page on which her new clutch is written, with its eggs."""
    return f"{reverse('pages:lay-clutch')}?{urlencode({'dam': animal.tag})}"
