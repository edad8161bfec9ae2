"""What is due of single animals: meals, weights, first sheds and sale of young."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from holdback.collection.event_kinds import MEAL, READY, SHED, is_taken, kind_of
from holdback.collection.model import Animal, Event, Measurement, Sex, Trait
from holdback.season.day_words import day_words
from holdback.season.fit_male import Turn, is_in_use, turns_of
from holdback.season.fit_reasons import OLD_DAYS
from holdback.season.keeping import Keeping
from holdback.season.meals import SILENT_DAYS, SLOW_START, is_young
from holdback.season.outlook import ClutchOutlook, Cycle, DueItem, Fitness, MealPlan, Outlook, Reason, Verdict
from holdback.season.signs import SEEN, WEIGH_AGAIN, open_sign

YOUNG_DAYS = 365
"""Young are weighed every month, and told ready for sale, up to this age."""

SHED_TOLD_DAYS = 60
"""After this age nobody waits for the first shed: it was not written."""

_KEPT = re.compile(r"^(?:breeder|holdback|kept|keeper|for sale|reserved|on hold)\b")
_HELPED = re.compile(r"assist|forced?\b|tube|by hand|helped")


def feeding_items(plans: Sequence[MealPlan], keeping: Keeping) -> Iterator[DueItem]:
    """Meals, first meals, and what wants a vet or a second weight first.

    Parameters
    ----------
    plans : sequence of MealPlan
        Next meals.
    keeping : Keeping
        Records up to the day.
    """
    today = keeping.today
    for plan in plans:
        subject = plan.animal
        if WEIGH_AGAIN in plan.caution or SEEN in plan.caution:
            yield DueItem(f"weigh:{subject}", "weigh", subject, False, today, today, plan.caution, level="think")
        elif plan.caution and SLOW_START not in plan.caution:
            yield DueItem(f"vet:{subject}", "vet", subject, False, today, today, plan.caution, "seen by a vet", "stop")
        if plan.due_first is None or plan.due_last is None:
            continue
        is_first = plan.last_taken is None and is_young(subject, keeping)
        kind, key = ("first meal", "first-meal") if is_first else ("feed", "feed")
        text = f"{_prey(plan)}{_last_meal(plan, today)}"
        if SLOW_START in plan.caution:
            text = f"{text} {plan.caution}"
        level = "think" if plan.caution else ""
        yield DueItem(
            f"{key}:{subject}", kind, subject, False, plan.due_first, plan.due_last, text, "meal taken", level
        )


def _prey(plan: MealPlan) -> str:
    return "" if math.isnan(plan.prey_low_g) else f"Prey of {plan.prey_low_g:.0f} to {plan.prey_high_g:.0f} g. "


def _last_meal(plan: MealPlan, today: dt.date) -> str:
    last = f"Last taken {day_words(plan.last_taken, today)}" if plan.last_taken else "None taken yet"
    if not plan.refused:
        return f"{last}."
    return f"{last}, {plan.refused} not taken since." if plan.last_taken else f"{last}, {plan.refused} offered."


def weighing_items(
    fitness: Sequence[Fitness], outlooks: Sequence[Outlook], keeping: Keeping, *, males: int, others: int
) -> Iterator[DueItem]:
    """Weights of males in use, of females on their way to be ready, and of young.

    Parameters
    ----------
    fitness : sequence of Fitness
        Who may breed.
    outlooks : sequence of Outlook
        Where each female stands.
    keeping : Keeping
        Records up to the day.
    males, others : int
        Days between weights.
    """
    cycles = {one.cycle.dam: one.cycle for one in outlooks}
    turns: dict[str, list[Turn]] = defaultdict(list)
    for sire, turn in turns_of(cycles, keeping.today):
        turns[sire].append(turn)
    wanted = {one.animal: reason for one in fitness if (reason := _wants_weight(one)) is not None}
    for animal in keeping.here:
        cycle = cycles.get(animal.id)
        age = keeping.age_days(animal.id)
        reason = wanted.get(animal.id)
        if is_in_use(turns.get(animal.id, ()), keeping.today):
            yield _weighing(animal.id, keeping, males, f"In use. {_told(animal.id, keeping)}")
        elif animal.sex is Sex.FEMALE and reason and not (cycle and not cycle.has_laid and _has_eggs(cycle)):
            every = others if reason.verdict is Verdict.NOT_YET or reason.rule == "regained" else OLD_DAYS
            yield _weighing(animal.id, keeping, every, reason.text)
        elif age is not None and age <= YOUNG_DAYS and not _is_silent(animal.id, keeping):
            yield _weighing(animal.id, keeping, others, _told(animal.id, keeping))


def _has_eggs(cycle: Cycle) -> bool:
    return cycle.ovulated is not None or cycle.shed is not None


def _wants_weight(one: Fitness) -> Reason | None:
    """Rule that a weight would settle, or that is not met yet; None where there is none."""
    for reason in one.reasons:
        if reason.rule in ("mass", "regained") and reason.verdict in (Verdict.NOT_YET, Verdict.ASK):
            return reason
    return None


def _weighing(animal: str, keeping: Keeping, every: int, text: str) -> DueItem:
    """Weight due some days after the last one, or after laying where that is later."""
    last, laid = _last_weight(animal, keeping), keeping.last_laid(animal)
    first = keeping.today if last is None else last.date.earliest + dt.timedelta(days=every)
    if laid is not None:
        first = max(first, laid)
    late = first + dt.timedelta(days=min(max(every // 4, 3), 14))
    return DueItem(f"weigh:{animal}", "weigh", animal, False, first, late, text)


def _told(animal: str, keeping: Keeping) -> str:
    last = _last_weight(animal, keeping)
    if last is None:
        return "No weight on record."
    return f"Last weight {last.value:,g} {last.unit} on {day_words(last.date.earliest, keeping.today)}."


def _is_silent(animal: str, keeping: Keeping) -> bool:
    """Whether nobody wrote a weight of it for half a year."""
    last = _last_weight(animal, keeping)
    return last is not None and (keeping.today - last.date.latest).days > SILENT_DAYS


def _last_weight(animal: str, keeping: Keeping) -> Measurement | None:
    for one in reversed(keeping.collection.measurements_of(animal)):
        if one.trait is Trait.MASS and one.date.earliest <= keeping.today:
            return one
    return None


def young_items(
    plans: Sequence[MealPlan],
    clutches: Mapping[str, ClutchOutlook],
    keeping: Keeping,
    *,
    meals: int,
    least_days: int | None,
) -> Iterator[DueItem]:
    """First sheds, and young that may be held ready for sale.

    Parameters
    ----------
    plans : sequence of MealPlan
        Next meals; a young with a caution is not ready.
    clutches : mapping of str to ClutchOutlook
        By id, for the window in which young are ready.
    keeping : Keeping
        Records up to the day.
    meals : int
        Meals in a row that a young takes without help before it is ready.
    least_days : int or None
        Least age for sale; None takes that of the species file.
    """
    cautioned = {plan.animal for plan in plans if plan.caution}
    for animal in keeping.here:
        age = keeping.age_days(animal.id)
        if age is None or age > YOUNG_DAYS:
            continue
        events = keeping.events(animal.id)
        yield from _first_shed(animal, age, events, keeping)
        if animal.id not in cautioned:
            yield from _ready(animal, events, clutches, keeping, meals, least_days)


def _first_shed(animal: Animal, age: int, events: Sequence[Event], keeping: Keeping) -> Iterator[DueItem]:
    days = keeping.catalogue.reproduction.get("first_shed_days")
    if days is None or age > SHED_TOLD_DAYS or any(kind_of(one.kind) == SHED for one in events):
        return
    born = keeping.today - dt.timedelta(days=age)
    first, last = born + dt.timedelta(days=round(days.low)), born + dt.timedelta(days=round(days.high))
    text = f"First shed {days.low:g} to {days.high:g} days out ({days.mark})."
    yield DueItem(f"first-shed:{animal.id}", "first shed", animal.id, False, first, last, text, "first shed")


def _ready(
    animal: Animal,
    events: Sequence[Event],
    clutches: Mapping[str, ClutchOutlook],
    keeping: Keeping,
    meals: int,
    least_days: int | None,
) -> Iterator[DueItem]:
    days = keeping.catalogue.reproduction.get("ready_to_sell_days")
    least = least_days if least_days is not None else (round(days.low) if days else None)
    taken = _unaided(events)
    if least is None or len(taken) < meals or _KEPT.match(animal.status.casefold()):
        return
    if open_sign(events, keeping.today) or any(kind_of(one.kind) == READY for one in events):
        return
    age = keeping.age_days(animal.id) or 0
    ready = [keeping.today - dt.timedelta(days=age - least), *taken[meals - 1 : meals]]
    outlook = clutches.get(animal.clutch or "")
    if outlook is not None and outlook.ready is not None:
        ready.append(outlook.ready.law.window()[0])
    first = max(ready)
    text = f"{len(taken)} meals in a row without help, {age} days old. It may be held ready for sale."
    yield DueItem(
        f"ready:{animal.id}", "ready", animal.id, False, first, first + dt.timedelta(days=14), text, "ready to sell"
    )


def _unaided(events: Sequence[Event]) -> list[dt.date]:
    """Days of the meals taken without help since the last that was not, oldest first."""
    days: list[dt.date] = []
    for one in events:
        if kind_of(one.kind) != MEAL:
            continue
        if is_taken(one) and not _HELPED.search(one.note.casefold()):
            days.append(one.date.earliest)
        else:
            days = []
    return days
