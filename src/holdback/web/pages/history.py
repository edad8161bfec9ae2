"""What was written, by whom, and the way back."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.db.models import Q
from django.urls import reverse

from holdback.collection.model import PartialDate
from holdback.species.naming import title_of
from holdback.web.pages.readings import copies_in_words
from holdback.web.pages.wording import about, day, quantity
from holdback.web.records.models import (
    Animal,
    AnimalName,
    Change,
    Claim,
    LineClaim,
    Look,
    Mating,
    Measurement,
    Observation,
    Parentage,
    Photo,
    PhotoMarks,
    PlaceOfOrigin,
    Record,
    SexDetermination,
)

_DEGREES = frozenset({"latitude", "longitude"})
_QUIET = frozenset({"derived", "living", "put_away", "animal_id", "clutch_id"})
_OF_ANIMALS = (
    AnimalName,
    Look,
    Claim,
    LineClaim,
    Measurement,
    Observation,
    SexDetermination,
    Parentage,
    PlaceOfOrigin,
    Photo,
)

Columns = Mapping[str, Any]


def _reading(new: Columns) -> str:
    parts = [f"{new['trait']} {quantity(new['value'], new['unit'], 2)}", _day(new["date"]), new["condition"]]
    return ", ".join(part for part in parts if part)


def _look(new: Columns) -> str:
    seen = ("looked for and not there", "one copy", "two copies")[new["copies"]]
    sure = "" if new["sure"] >= 1 else f"{about(new['sure'])} sure"
    parts = [title_of(new["allele"]), seen, sure, _day(new["date"]), new["note"]]
    return ", ".join(part for part in parts if part)


def _claim(new: Columns) -> str:
    chances = (new["none"], new["one"], new["two"])
    parts = [title_of(new["allele"]), copies_in_words(chances), new["said_by"], new["ground"]]
    return ", ".join(part for part in parts if part)


def _sire(new: Columns) -> str:
    return "no sire" if new["no_sire"] else f"sire, weight {new['weight']:g}"


def _event(new: Columns) -> str:
    number = quantity(new["value"], new["unit"], 1) if new["value"] is not None else ""
    until = f"until {_day(new['until'])}" if new["until"] else ""
    return ", ".join(part for part in (new["kind"], number, _day(new["date"]), until, new["note"]) if part)


def _mating(new: Columns) -> str:
    days = " to ".join(part for part in (_day(new["together"]), _day(new["apart"])) if part)
    return f"mating, {days}" if days else "mating"


def _origin(new: Columns) -> str:
    north, east = new["latitude"], new["longitude"]
    near = f"near {north:.1f}, {east:.1f}" if north is not None else ""
    return ", ".join(part for part in ("from " + new["place"], new["country"], near, new["ground"]) if part)


def _day(text: str) -> str:
    return day(PartialDate.parse(text)) if text else ""


_NEW: Mapping[str, Callable[[Columns], str]] = {
    "measurement": _reading,
    "observation": _event,
    "mating": _mating,
    "look": _look,
    "claim": _claim,
    "parentage": _sire,
    "photo": lambda new: f"photo of {_day(new['taken'])}" if new["taken"] else "photo",
    "photomarks": lambda new: f"{new['kind']} marked",
    "placeoforigin": _origin,
    "animalname": lambda new: f"called {new['name']}",
    "sexdetermination": lambda new: f"found {new['sex']}" + (f", {new['method']}" if new["method"] else ""),
}
"""What a new record of a kind says, in words."""


@dataclass(frozen=True, slots=True)
class Deed:
    """One deed of the log: when, by whom, what, and whether it can be taken back."""

    at: dt.datetime
    who: str
    what: str
    details: tuple[str, ...]
    undo: str
    is_undone: bool
    is_shared: bool


def undo_address(record: Record) -> str:
    """Address that takes back the last deed on a record; empty where the log has none."""
    batch = Change.objects.filter(record=record.pk).order_by("-id").values_list("batch", flat=True).first()
    return reverse("pages:undo", args=[batch]) if batch else ""


def deeds_on(animal: Animal, *, limit: int | None = None) -> list[Deed]:
    """Deeds on an animal and on what is recorded of it, newest first."""
    keys: list[uuid.UUID] = [animal.pk]
    for model in _OF_ANIMALS:
        keys += model._default_manager.filter(animal=animal).values_list("pk", flat=True)
    keys += Mating.objects.filter(Q(dam=animal) | Q(sire=animal)).values_list("pk", flat=True)
    keys += PhotoMarks.objects.filter(photo__animal=animal).values_list("pk", flat=True)
    changes = Change.objects.filter(record__in=keys).select_related("undone_by").order_by("-id")
    rows = list(changes[: 12 * limit] if limit else changes)
    shared = set(
        Change.objects.filter(batch__in={change.batch for change in rows})
        .exclude(record__in=keys)
        .values_list("batch", flat=True)
        .distinct()
    )
    found = [_deed(list(group), shared) for _, group in groupby(rows, key=lambda change: (change.batch, change.deed))]
    return found[:limit] if limit else found


def _deed(changes: list[Change], shared: set[uuid.UUID]) -> Deed:
    """One deed; what was written together with other animals is not taken back from the page of one."""
    first = changes[0]
    is_undone = any(hasattr(change, "undone_by") for change in changes)
    return Deed(
        at=first.at,
        who=first.who,
        what=first.deed,
        details=tuple(dict.fromkeys(line for change in reversed(changes) for line in _lines(change))),
        undo="" if is_undone or first.batch in shared else reverse("pages:undo", args=[first.batch]),
        is_undone=is_undone,
        is_shared=first.batch in shared,
    )


def _lines(change: Change) -> Iterable[str]:
    """What a change did, in words: a new reading, look or claim as one line, else column by column."""
    before, after = change.before or {}, change.after or {}
    if change.before is None and (said := _NEW.get(change.model)):
        yield said(after)
        return
    if change.model == "photomarks":
        return  # marks are set anew as a whole, and the new ones are told
    for name in dict.fromkeys([*before, *after]):
        old, new = before.get(name), after.get(name)
        if (
            name in _QUIET
            or name.endswith("_id")
            or old == new
            or (change.before is None and new in {None, "", "unknown"})
        ):
            continue
        word = name.removesuffix("_text").replace("_", " ")
        if name in _DEGREES:
            # Exact places are shown on the form only, not in a list that may be printed.
            old, new = (value if value is None else f"{value:.1f}" for value in (old, new))
        if change.before is None:
            yield f"{word}: {new}"
        else:
            yield f"{word}: {old or 'empty'} → {'empty' if new in {None, ''} else new}"
