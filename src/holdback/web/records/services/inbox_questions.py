"""What an entry of a phone makes the records ask: a clock that is off, an animal that was written down twice."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.utils import timezone

from holdback.collection.event_kinds import MEAL, SHED, SIGN, is_taken, kind_of
from holdback.collection.model import Event, PartialDate, Trait
from holdback.collection.units import MASS_IN_G
from holdback.errors import Fault
from holdback.web.records.models import Animal, Change, Measurement, Observation
from holdback.web.records.services.happenings import OFFERED
from holdback.web.records.services.inbox_reading import REFUSED, TAKEN, Deeds

KEEP, BOTH, THIS, OTHER, HERE, LEAVE = "keep", "both", "this", "other", "here", "leave"
"""Answers: as typed; keep both; this in place of what is there; another value; the day by this computer; leave it."""

CLOCK, TWICE, SAME_DAY = "SEA-303", "SEA-304", "SEA-033"
NOTE = "note"
"""Kind of an observation that is a note of its own; nothing is concluded from it."""

_ABOUT = {"SEA-037": "weight", "SEA-035": "meal"}
_DAY = dt.timedelta(days=1)


class Question(Exception):
    """The keeper is to decide before anything is written.

    Parameters
    ----------
    fault : Fault
        What is asked.
    choices : sequence of str
        Answers that fit.
    **more
        What the answer needs.
    """

    def __init__(self, fault: Fault, choices: Sequence[str], **more: Any) -> None:
        super().__init__(str(fault))
        self.said: dict[str, Any] = {**fault.as_json(), "choices": list(choices), **more}


@dataclass(frozen=True, slots=True)
class Earlier:
    """What is on record of an animal on the day of an entry.

    Parameters
    ----------
    weights : tuple of Measurement
        Its weights of the day.
    meals : tuple of Observation
        Its meals of the day of which the outcome is written.
    others : frozenset of (str, str)
        Kind and note of everything else of the day.
    """

    weights: tuple[Measurement, ...]
    meals: tuple[Observation, ...]
    others: frozenset[tuple[str, str]] = frozenset()


def earlier_of(animal: Animal, day: dt.date) -> Earlier:
    """Weights and meals of an animal on a day."""
    on = day.isoformat()
    weights = animal.measurements.filter(date=on, trait=Trait.MASS.value)
    events = list(animal.observations.filter(date=on))
    meals = [seen for seen in events if kind_of(seen.kind) == MEAL and not is_offered(seen)]
    others = frozenset((kind_of(seen.kind), seen.note) for seen in events)
    return Earlier(tuple(weights), tuple(meals), others)


def events_of(deeds: Deeds) -> list[tuple[str, str]]:
    """Kind and note of each event, other than a meal, that is to be written."""
    found = [*((SIGN, sign) for sign in deeds.signs), (SHED, deeds.shed), (NOTE, deeds.note)]
    return [(kind, note) for kind, note in found if note]


def asks_about(fault: Fault) -> list[str]:
    """Names of the deeds that a question of a service is about; empty where it is about all of them."""
    name = _ABOUT.get(fault.code) or (fault.value if fault.code == SAME_DAY else "")
    return [name] if name in {"weight", MEAL, SHED} else []


def clock_question(
    made_at: dt.datetime, received_at: dt.datetime, sent_at: dt.datetime | None, *, animal: str
) -> Question | None:
    """SEA-303 where the phone's clock is more than a day off; its entries may have waited for any time.

    Parameters
    ----------
    made_at, sent_at : datetime
        When the entry was typed and when it was sent, both by the phone's clock; None where it did not say.
    received_at : datetime
        When it came, by this computer's clock.
    animal : str
        Its tag.
    """
    off = received_at - sent_at if sent_at else received_at - max(made_at, received_at)
    if abs(off) <= _DAY:
        return None
    by_phone, here = made_at.date(), (made_at + off).astimezone(made_at.tzinfo).date()
    what = f"The phone says {by_phone}, this computer {here}: one of the clocks is more than a day off."
    hint = "Choose the day on which it was done, and set the clock."
    fault = Fault(CLOCK, what, hint, field="made_at", value=str(by_phone), animal=animal)
    return Question(fault, (HERE, KEEP, LEAVE), here=here.isoformat(), phone=by_phone.isoformat())


def without_doubles(deeds: Deeds, earlier: Earlier, grams: float | None) -> Deeds:
    """The deeds without those that are on record already.

    A weight, a shed, a sign and a note that are there are left out. A meal that is there is left out where the animal
    is weighed with it, and was weighed before: then both tell of one visit. A meal alone may be a second one.
    """
    is_same_visit = bool(deeds.weight and earlier.weights)
    if grams is not None and any(_same(grams, one) for one in earlier.weights):
        deeds = replace(deeds, weight=None)
    if is_same_visit and deeds.is_fed and any(_same_meal(deeds, one) for one in earlier.meals):
        deeds = replace(deeds, meal="")
    return replace(
        deeds,
        signs=tuple(sign for sign in deeds.signs if (SIGN, sign) not in earlier.others),
        shed="" if (SHED, deeds.shed) in earlier.others else deeds.shed,
        note="" if (NOTE, deeds.note) in earlier.others else deeds.note,
    )


def twice_question(deeds: Deeds, earlier: Earlier, animal: Animal, day: dt.date) -> Question | None:
    """SEA-304 where the animal was weighed or fed that day already and the entry says something else."""
    parts, about = [], []
    records: list[Measurement | Observation] = []
    if deeds.weight and earlier.weights:
        records += earlier.weights
        about.append("weight")
        there = " and ".join(f"{one.value:,g} {one.unit}" for one in earlier.weights)
        parts.append(f"weighed already ({there}; this says {deeds.weight.typed} {deeds.weight.unit})")
    if deeds.is_fed and earlier.meals:
        records += earlier.meals
        about.append("meal")
        there = " and ".join(REFUSED if is_refused(one) else TAKEN for one in earlier.meals)
        parts.append(f"offered a meal already ({there}; this says {deeds.meal})")
    if not parts:
        return None
    what = f"On {day} {animal} was {' and '.join(parts)}. {_written(records)}".strip()
    hint = "Keep both, or say which of them is right."
    fault = Fault(TWICE, what, hint, field="animal", animal=animal.tag)
    choices = [THIS, LEAVE, BOTH, *([OTHER] if deeds.weight and earlier.weights else [])]
    return Question(fault, choices, about=about)


def is_offered(seen: Observation) -> bool:
    """Whether a meal lies in the tub and nobody wrote yet what became of it."""
    return seen.note.startswith(OFFERED)


def is_refused(seen: Observation) -> bool:
    """Whether a meal was not taken, or came up again."""
    return not is_taken(Event(str(seen.animal_id), PartialDate.parse(seen.date), seen.kind, note=seen.note))


def _same(grams: float, reading: Measurement) -> bool:
    """Whether a weight on record is this one, to a thousandth as in `weigh`."""
    return math.isclose(reading.value * MASS_IN_G[reading.unit], grams, rel_tol=1e-3)


def _same_meal(deeds: Deeds, seen: Observation) -> bool:
    """Whether a meal on record says the same."""
    return (deeds.meal == REFUSED) == is_refused(seen) and (deeds.prey_g is None or deeds.prey_g == seen.value)


def _written(records: Sequence[Measurement | Observation]) -> str:
    """Who wrote the first of some records, and when."""
    made = Change.objects.filter(record__in=[one.pk for one in records], before__isnull=True).first()
    if made is None:
        return ""
    return f"That was written by {made.who} on {timezone.localtime(made.at):%Y-%m-%d at %H:%M}."
