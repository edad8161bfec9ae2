"""What was written, by whom, and the way back."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.urls import reverse

from holdback.web.records.models import (
    Animal,
    Change,
    Claim,
    LineClaim,
    Look,
    Measurement,
    Parentage,
    Record,
    SexDetermination,
)

_QUIET = frozenset({"derived", "living", "animal_id", "clutch_id"})


@dataclass(frozen=True, slots=True)
class Deed:
    """One deed of the log: when, by whom, what, and whether it can be taken back."""

    at: dt.datetime
    who: str
    what: str
    details: tuple[str, ...]
    undo: str
    is_undone: bool


def undo_address(record: Record) -> str:
    """Address that takes back the last deed on a record; empty where the log has none."""
    batch = Change.objects.filter(record=record.pk).order_by("-id").values_list("batch", flat=True).first()
    return reverse("pages:undo", args=[batch]) if batch else ""


def deeds_on(animal: Animal, *, limit: int | None = None) -> list[Deed]:
    """Deeds on an animal and on what is recorded of it, newest first."""
    keys: list[uuid.UUID] = [animal.pk]
    for model in (Look, Claim, LineClaim, Measurement, SexDetermination, Parentage):
        keys += model._default_manager.filter(animal=animal).values_list("pk", flat=True)
    changes = Change.objects.filter(record__in=keys).select_related("undone_by").order_by("-id")
    rows = list(changes[: 12 * limit] if limit else changes)
    found = [_deed(list(group)) for _, group in groupby(rows, key=lambda change: (change.batch, change.deed))]
    return found[:limit] if limit else found


def _deed(changes: list[Change]) -> Deed:
    first = changes[0]
    is_undone = any(hasattr(change, "undone_by") for change in changes)
    return Deed(
        at=first.at,
        who=first.who,
        what=first.deed,
        details=tuple(dict.fromkeys(line for change in reversed(changes) for line in _lines(change))),
        undo="" if is_undone else reverse("pages:undo", args=[first.batch]),
        is_undone=is_undone,
    )


def _lines(change: Change) -> Iterable[str]:
    """What a change did to each column, in words."""
    before, after = change.before or {}, change.after or {}
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
        if change.before is None:
            yield f"{word}: {new}"
        else:
            yield f"{word}: {old or 'empty'} → {'empty' if new in {None, ''} else new}"
