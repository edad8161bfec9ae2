"""What the page of a round knows of each animal, so that it can speak without a network."""

from __future__ import annotations

import datetime as dt
import math
import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from django.urls import reverse

from holdback.collection.event_kinds import LAID, MEAL, OVULATION, PRELAY_SHED, kind_of
from holdback.collection.model import PartialDate, Sex, Trait
from holdback.collection.units import MASS_IN_G
from holdback.size.state import GRAVID, state_of
from holdback.web.pages.rounds.routes import Stop
from holdback.web.pages.wording import day, quantity
from holdback.web.records.models import Clutch, Measurement, Observation
from holdback.web.records.services.inbox_questions import is_offered, is_refused
from holdback.web.records.services.weighing import LONGEST_DAYS
from holdback.web.records.weights import FALL, GROWTH, LOOK_BACK_DAYS, RISE

LATELY = dt.timedelta(days=400)
"""Events before that say nothing of today."""


@dataclass(frozen=True, slots=True)
class Tub:
    """One stop in words and numbers.

    Parameters
    ----------
    key, url : str
        Key of the animal, and address of its page.
    title : str
        Where it is ("Tub 3-B").
    who, sex : str
        Name and tag; sex in a word.
    last_g : float or None
        Last weight in gram.
    last : str
        The same in words, with its day.
    low_g, high_g : float or None
        Bounds in gram outside which a weight looks like a slip beside the last one; None where nothing bounds it.
    gravid : bool
        Whether she is gravid by the records.
    refusals : int
        Meals refused in a row until now.
    weighed, fed : str
        What is on record of the round's day; empty where nothing is.
    """

    key: str
    url: str
    title: str
    who: str
    sex: str
    last_g: float | None = None
    last: str = ""
    low_g: float | None = None
    high_g: float | None = None
    gravid: bool = False
    refusals: int = 0
    weighed: str = ""
    fed: str = ""


def tubs_of(stops: Sequence[Stop], *, on: dt.date, above: int = 0) -> list[dict[str, Any]]:
    """What the page needs of each stop, as JSON; three queries.

    Parameters
    ----------
    stops : sequence of Stop
        Animals in their order.
    on : date
        Day of the round.
    above : int
        Outer places that all stops share and that need not be said.
    """
    keys = [stop.animal.pk for stop in stops]
    weights, events, laid = _weights(keys), _events(keys, on - LATELY), _laid(keys)
    found = []
    for stop in stops:
        key = stop.animal.pk
        tub = _tub(stop, weights[key], events[key], on, above)
        if stop.animal.sex != Sex.MALE:
            tub = replace(tub, gravid=_is_gravid(weights[key], events[key], laid.get(key, ""), on))
        found.append(asdict(tub))
    return found


def _tub(stop: Stop, weights: Sequence[Measurement], events: Sequence[Observation], on: dt.date, above: int) -> Tub:
    animal, today = stop.animal, on.isoformat()
    before = [one for one in weights if one.date <= today]
    last = before[-1] if before else None
    meals = [one for one in events if kind_of(one.kind) == MEAL and one.date <= today and not is_offered(one)]
    low, high = _bounds(last, on)
    return Tub(
        key=str(animal.pk),
        url=reverse("pages:animal", args=[animal.pk]),
        title=_title(stop, above),
        who=f"{animal.name} {animal.tag}".strip(),
        sex=animal.sex,
        last_g=round(last.value * MASS_IN_G[last.unit], 2) if last else None,
        last=f"{quantity(last.value, last.unit, 2)} on {day(PartialDate.parse(last.date))}" if last else "",
        low_g=low,
        high_g=high,
        refusals=_refusals(meals),
        weighed=" and ".join(quantity(one.value, one.unit, 2) for one in weights if one.date == today),
        fed=" and ".join("refused" if is_refused(one) else "taken" for one in meals if one.date == today),
    )


def _title(stop: Stop, above: int) -> str:
    """Where it is, without what all share."""
    if not stop.path:
        return "No tub"
    *outer, name = stop.path[above:] or stop.path[-1:]
    kind = stop.kind.casefold()
    said = name if not kind or name.casefold().startswith(kind) else f"{kind} {name}"
    words = ", ".join([*outer, said])
    return words[:1].upper() + words[1:]


def _is_gravid(weights: Sequence[Measurement], events: Sequence[Observation], laid: str, on: dt.date) -> bool:
    """Whether she carries eggs: ovulation or pre-lay shed lately, or last weighed as gravid, and not laid since."""
    last_laid = max([laid, *(one.date for one in events if kind_of(one.kind) == LAID)])
    if weights and state_of(weights[-1].condition) == GRAVID and weights[-1].date > last_laid:
        return True
    since = max((on - dt.timedelta(days=LONGEST_DAYS)).isoformat(), last_laid)
    return any(since < one.date <= on.isoformat() for one in events if kind_of(one.kind) in {OVULATION, PRELAY_SHED})


def _bounds(last: Measurement | None, on: dt.date) -> tuple[float | None, float | None]:
    """Lightest and heaviest weight in gram that can follow upon the last one."""
    if last is None:
        return None, None
    date = PartialDate.parse(last.date)
    n_days = (on - date.earliest).days
    if not date.month or n_days > LOOK_BACK_DAYS:
        return None, None
    grams = last.value * MASS_IN_G[last.unit]
    rate = next(rate for below, rate in GROWTH if grams < below)
    return grams * math.exp(FALL), grams * math.exp(RISE + rate * n_days)


def _refusals(meals: Sequence[Observation]) -> int:
    count = 0
    for meal in reversed(meals):
        if not is_refused(meal):
            break
        count += 1
    return count


def _weights(keys: Iterable[uuid.UUID]) -> Mapping[uuid.UUID, list[Measurement]]:
    found = defaultdict(list)
    weights = Measurement.objects.filter(animal__in=keys, trait=Trait.MASS.value)
    for one in weights.only("animal_id", "date", "value", "unit", "condition").order_by("date", "id"):
        found[one.animal_id].append(one)
    return found


def _events(keys: Iterable[uuid.UUID], since: dt.date) -> Mapping[uuid.UUID, list[Observation]]:
    found = defaultdict(list)
    lately = Observation.objects.filter(animal__in=keys, date__gte=since.isoformat())
    for one in lately.only("animal_id", "date", "kind", "note").order_by("date", "id"):
        found[one.animal_id].append(one)
    return found


def _laid(keys: Iterable[uuid.UUID]) -> Mapping[uuid.UUID, str]:
    """Day of the last clutch of each dam."""
    clutches = Clutch.objects.filter(dam__in=keys, removed_at__isnull=True).exclude(laid="").order_by("laid")
    return dict(clutches.values_list("dam_id", "laid"))
