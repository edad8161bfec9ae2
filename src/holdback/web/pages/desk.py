"""What the Desk says: what does not fit, what is asked, what was written since last time."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Max, Min
from django.http import HttpRequest
from django.utils import timezone

from holdback.answers import Answers
from holdback.web.pages.conflict_words import SUGGESTED, TALLY, Misfit, misfits_of
from holdback.web.pages.family import linked
from holdback.web.pages.wording import counted, day
from holdback.web.records.models import Animal, Change
from holdback.web.records.services.day import MOVE

LISTED = 12
"""Deeds listed."""

_PAUSE = dt.timedelta(hours=1)
"""Time without a visit after which the next one is another time."""
_KEY = "desk"


@dataclass(frozen=True, slots=True)
class Written:
    """One deed of the log: when, by whom, what, of which animal, and of how many more records."""

    at: dt.datetime
    who: str
    what: str
    label: str
    more: str


@dataclass(frozen=True, slots=True)
class News:
    """What was written since last time.

    Parameters
    ----------
    since : datetime or None
        End of the last time; None on the first visit.
    deeds : tuple of Written
        Newest first.
    more : int
        Deeds not listed.
    """

    since: dt.datetime | None
    deeds: tuple[Written, ...]
    more: int

    @property
    def title(self) -> str:
        """Head of the entry."""
        return f"New since {day(timezone.localdate(self.since))}" if self.since else "Written lately"


@dataclass(frozen=True, slots=True)
class Fit:
    """How the records fit each other.

    Parameters
    ----------
    misfits : list of Misfit
        What cannot be true together, worst first.
    suggested : list of Misfit
        Records that want completing or correcting; nothing contradicts itself.
    asked : list of Misfit
        Counts that do not add up.
    """

    misfits: list[Misfit]
    suggested: list[Misfit]
    asked: list[Misfit]


def fit_of(answers: Answers) -> Fit:
    """How the records of a collection fit each other."""
    found = misfits_of(answers.conflicts, answers)
    return Fit(
        [one for one in found if one.code != TALLY and one.code not in SUGGESTED],
        [one for one in found if one.code in SUGGESTED],
        [one for one in found if one.code == TALLY],
    )


def lede(fit: Fit | None) -> tuple[str, str]:
    """What the page answers, and the part of it that wants an answer first (may be empty)."""
    if fit is None:
        return "The records are being held against each other.", ""
    short = f"{counted(len(fit.asked), 'clutch', 'clutches')} {'is' if len(fit.asked) == 1 else 'are'} short of eggs"
    rest = [
        f"{counted(len(fit.suggested), 'record')} could be put right" if fit.suggested else "",
        short if fit.asked else "",
    ]
    said = ", ".join(part for part in rest if part)
    said = f"{said[:1].upper()}{said[1:]}." if said else ""
    if fit.misfits:
        verb = "do not fit" if len(fit.misfits) > 1 else "does not fit"
        return said, f"{counted(len(fit.misfits), 'thing')} in the records {verb}."
    return f"Nothing in the records is at odds. {said}".strip(), ""


def since_last_time(request: HttpRequest) -> News:
    """What was written since the keeper last sat here; a visit goes on until an hour has passed without one."""
    now = timezone.now()
    seen = request.session.get(_KEY)
    if seen is None or now - dt.datetime.fromisoformat(seen["at"]) > _PAUSE:
        last = Change.objects.aggregate(last=Max("id"))["last"] or 0
        before = {"from": seen["upto"], "since": seen["at"]} if seen else {"from": 0, "since": ""}
        seen = {**before, "upto": last}
    seen["at"] = now.isoformat()
    seen["upto"] = Change.objects.aggregate(last=Max("id"))["last"] or 0
    request.session[_KEY] = seen
    batches = (
        Change.objects.filter(id__gt=seen["from"])
        .exclude(deed=MOVE)
        .order_by()
        .values("batch")
        .annotate(first=Min("id"), last=Max("id"), count=Count("record", distinct=True))
        .order_by("-last")
    )
    found = list(batches[: LISTED + 1])
    since = dt.datetime.fromisoformat(seen["since"]) if seen["since"] else None
    more = batches.count() - LISTED if len(found) > LISTED else 0
    return News(since, tuple(_written(found[:LISTED])), more)


def _written(batches: Sequence[Mapping[str, Any]]) -> list[Written]:
    """Deeds of some batches, in their order, told by the first change of each; two queries."""
    first = Change.objects.in_bulk([batch["first"] for batch in batches])
    keys = {batch["first"]: _animal_key(first[batch["first"]]) for batch in batches}
    animals = Animal.objects.in_bulk([key for key in keys.values() if key])
    found = []
    for batch in batches:
        change = first[batch["first"]]
        animal = animals.get(keys[batch["first"]])
        more = f"and {counted(batch['count'] - 1, 'more record')}" if batch["count"] > 1 else ""
        found.append(Written(change.at, change.who, change.deed, linked(animal) if animal else change.label, more))
    return found


def _animal_key(change: Change) -> uuid.UUID | None:
    """Key of the animal that a change is about."""
    if change.model == "animal":
        return change.record
    key = (change.after or change.before or {}).get("animal_id")
    return uuid.UUID(key) if key else None
