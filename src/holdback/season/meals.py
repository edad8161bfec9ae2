"""When each animal is to be fed next, and what; fasts are usual, a loss of mass is not."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import MEAL, came_up, is_taken, kind_of
from holdback.collection.model import Animal, Event
from holdback.season.day_words import day_words, days_words
from holdback.season.keeping import Keeping
from holdback.season.outlook import Cycle, MealPlan, PreyNeed
from holdback.season.signs import feeding_caution
from holdback.season.trend import Trend
from holdback.size.plausible import DAYS_PER_MONTH
from holdback.size.readings import Readings
from holdback.species.catalogue import Catalogue
from holdback.species.feeding import FeedingRow, row_for
from holdback.species.model import Value

SILENT_DAYS = 183
"""After half a year without a meal on record nothing is planned: nobody writes them down, and it may be fed."""

NEW_MONTHS = 6.0
"""An animal that never took a meal is a slow starter up to this age (an assumption)."""

SLOW_START = "Slow starters are not rare: weigh it every week, and see a reptile vet before it has lost a tenth."
"""What is said of a young that has not taken its first meal in time."""

PREY_EDGES_G = (0.0, 10.0, 20.0, 35.0, 50.0, 80.0, 120.0, 180.0, 250.0, 350.0, 500.0)
"""Edges of the classes that prey is counted in, in gram: by mass, as the trade's words for sizes differ (our own)."""

_WITH_DAM = re.compile(r"\b(?:with (?:the |her )?(?:dam|mother)|under (?:the |her )?dam|brood\w*)\b")


@dataclass(frozen=True)
class _Meals:
    """Meals of one animal: days they were offered, taken, and came up; how many were refused since the last taken."""

    offered: dt.date | None
    taken: dt.date | None
    vomited: dt.date | None
    refused: int

    @classmethod
    def of(cls, events: Iterable[Event]) -> _Meals:
        offered = taken = vomited = None
        refused = 0
        for one in events:
            if kind_of(one.kind) != MEAL or not one.date.day:
                continue
            offered = one.date.earliest
            if came_up(one):
                vomited = offered
            if is_taken(one):
                taken, refused = offered, 0
            else:
                refused += 1
        return cls(offered, taken, vomited, refused)


def meal_plans(
    collection: Collection,
    cycles: Mapping[str, Cycle],
    *,
    today: dt.date,
    catalogue: Catalogue,
    readings: Readings | None = None,
) -> tuple[MealPlan, ...]:
    """Next meal of every animal that is here, in the order of the collection.

    Parameters
    ----------
    collection : Collection
        Records.
    cycles : mapping of str to Cycle
        What is on record of each female in the season, by her id.
    today : date
        Nothing recorded after it is used.
    catalogue : Catalogue
        Species: rows of ``feeding``.
    readings : Readings, optional
        Of the collection, where they are at hand.

    Returns
    -------
    tuple of MealPlan
        One for each. No meal is planned for a female with eggs in her or on them, where the species file has no rows,
        where the mass is not known, or where no meal was written down for half a year.
    """
    keeping = Keeping(collection, catalogue, today, readings)
    return tuple(_plan(animal, cycles.get(animal.id), keeping) for animal in keeping.here)


def prey_needed(plans: Iterable[MealPlan], *, first: dt.date, last: dt.date) -> tuple[PreyNeed, ...]:
    """Prey wanted from one day to another, by classes of mass, the smallest first.

    Parameters
    ----------
    plans : iterable of MealPlan
        Next meals.
    first, last : date
        Days, both counted.

    Returns
    -------
    tuple of PreyNeed
        Only classes of which any is wanted. Each animal is fed at the middle of its interval, the first time at the
        middle of its window or on the first day where that is past, and is counted whether or not it will take it.
    """
    wanted: Counter[tuple[float, float]] = Counter()
    for plan in plans:
        if plan.due_first is None or plan.due_last is None or math.isnan(plan.prey_low_g):
            continue
        start = plan.due_first + (plan.due_last - plan.due_first) / 2
        count = _times(max(start, first), last, plan.interval_days)
        if count:
            wanted[_class_of((plan.prey_low_g + plan.prey_high_g) / 2)] += count
    return tuple(PreyNeed(low, high, count) for (low, high), count in sorted(wanted.items()))


def _times(start: dt.date, last: dt.date, interval: tuple[float, float] | None) -> int:
    if start > last:
        return 0
    return 1 + (math.floor((last - start).days / max(sum(interval) / 2, 1.0)) if interval else 0)


def _class_of(grams: float) -> tuple[float, float]:
    """Class of prey that a mass falls in; above the last edge classes go on by doubling."""
    edges = list(PREY_EDGES_G)
    while edges[-1] <= grams:
        edges.append(edges[-1] * 2)
    at = next(place for place, edge in enumerate(edges) if edge > grams)
    return edges[at - 1], edges[at]


def _plan(animal: Animal, cycle: Cycle | None, keeping: Keeping) -> MealPlan:
    meals = _Meals.of(keeping.events(animal.id))
    trend = keeping.trend(animal.id)
    caution = feeding_caution(animal.id, keeping, meals.vomited)
    row = _row(animal, trend, keeping)
    state = _without_meals(cycle, keeping)
    low, high = _prey(row, trend)
    if not keeping.catalogue.feeding:
        window, basis = None, "How it feeds is not known for this species."
    elif state:
        window, basis = None, _GROUNDS[state]
    elif row is None or trend is None:
        window, basis = _of_unweighed(animal, meals, keeping)
    else:
        window, basis = _window(animal, meals, row, trend, keeping)
        low, high = _smaller(low, high, meals)
    return MealPlan(
        animal=animal.id,
        stage=state or (row.stage if row else ""),
        last_taken=meals.taken,
        refused=meals.refused,
        due_first=window[0] if window else None,
        due_last=window[1] if window else None,
        prey_low_g=low,
        prey_high_g=high,
        loss_percent=trend.loss_percent if trend else None,
        caution=caution or _slow_start(animal, meals, keeping),
        basis=basis,
        interval_days=row.interval_days if window and row else None,
    )


_GROUNDS = {
    "gravid": "She has eggs in her: most take nothing or little until they have laid (common practice, no source).",
    "brooding": "She lies on her eggs: most take nothing until they are taken from her or hatch (common practice, no "
    "source).",
}


def _row(animal: Animal, trend: Trend | None, keeping: Keeping) -> FeedingRow | None:
    if trend is None:
        return None
    months = keeping.age_months(animal.id)
    age = None if months is None or math.isinf(months[1]) else sum(months) / 2
    return row_for(keeping.catalogue.feeding, trend.mass_g.mean, animal.sex, age)


def _prey(row: FeedingRow | None, trend: Trend | None) -> tuple[float, float]:
    if row is None or trend is None:
        return math.nan, math.nan
    return trend.mass_g.mean * row.prey_share[0], trend.mass_g.mean * row.prey_share[1]


def _smaller(low: float, high: float, meals: _Meals) -> tuple[float, float]:
    """Prey half as heavy after a meal that came up (common practice, no source)."""
    if meals.vomited and (meals.taken is None or meals.taken <= meals.vomited):
        return low / 2, high / 2
    return low, high


def _without_meals(cycle: Cycle | None, keeping: Keeping) -> str:
    """Why a female is not fed: gravid or brooding; empty where she is."""
    if cycle is None:
        return ""
    if not cycle.has_laid:
        return "gravid" if cycle.ovulated or cycle.shed else ""
    if cycle.clutch is None or cycle.has_hatched:
        return ""
    boxes = [one.box.casefold() for one in keeping.collection.eggs_of(cycle.clutch)]
    return "brooding" if any(_WITH_DAM.search(box) for box in boxes) else ""


def _window(
    animal: Animal, meals: _Meals, row: FeedingRow, trend: Trend, keeping: Keeping
) -> tuple[tuple[dt.date, dt.date] | None, str]:
    """Days between which the next meal falls, and what that rests on."""
    stage = f"{row.stage[:1].upper()}{row.stage[1:]}"
    basis = f"{stage}: every {_span(row.interval_days)} days ({row.mark}); prey by its {trend.mass_g.ground}"
    laid = keeping.last_laid(animal.id)
    after_laying = keeping.catalogue.reproduction.get("feed_after_laying_days")
    wait = keeping.catalogue.reproduction.get("wait_after_regurgitation_days")
    if meals.vomited and wait and meals.offered == meals.vomited:
        basis = f"Its last meal came up: {_span((wait.low, wait.high))} days of rest, then a smaller one ({wait.mark})."
        return _from(meals.vomited, (wait.low, wait.high)), basis
    if laid and after_laying and (meals.offered is None or meals.offered < laid):
        if (keeping.today - laid).days > SILENT_DAYS:
            return None, f"No meal was written down since she laid on {day_words(laid, keeping.today)}."
        basis = f"First meal {_span((after_laying.low, after_laying.high))} days after laying ({after_laying.mark})."
        return _from(laid, (after_laying.low, after_laying.high)), basis
    if meals.offered is None:
        return _first_meal(animal, keeping)
    if (keeping.today - meals.offered).days > SILENT_DAYS:
        return None, f"No meal was written down since {day_words(meals.offered, keeping.today)}."
    return _from(meals.offered, row.interval_days), basis


def _of_unweighed(animal: Animal, meals: _Meals, keeping: Keeping) -> tuple[tuple[dt.date, dt.date] | None, str]:
    """The first meal of a young, which does not wait for a weight; of others nothing."""
    if meals.taken is None and meals.offered is None:
        window, basis = _first_meal(animal, keeping)
        if window is not None:
            return window, basis
    return None, "Its mass is not known: weigh it, and its meals can be planned."


def _first_meal(animal: Animal, keeping: Keeping) -> tuple[tuple[dt.date, dt.date] | None, str]:
    """Window of the first meal of a young of known day of hatching."""
    days, hatched = keeping.catalogue.reproduction.get("first_meal_days"), keeping.hatched.get(animal.id)
    if days is None or hatched is None or not is_young(animal.id, keeping):
        return None, "No meal of it is on record."
    born = dt.date.fromordinal(int(hatched.middle))
    return _from(born, (days.low, days.high)), f"First meal {_span((days.low, days.high))} days out ({days.mark})."


def is_young(animal: str, keeping: Keeping) -> bool:
    """Whether an animal is young enough for its first meal to be awaited."""
    age = keeping.age_days(animal)
    return age is not None and age <= NEW_MONTHS * DAYS_PER_MONTH


def _slow_start(animal: Animal, meals: _Meals, keeping: Keeping) -> str:
    """Sentence on a young that has not taken its first meal in time; empty where it has."""
    days: Value | None = keeping.catalogue.reproduction.get("first_meal_days")
    if meals.taken is not None or days is None or not is_young(animal.id, keeping):
        return ""
    age = keeping.age_days(animal.id)
    if age is None or age <= days.high:
        return ""
    return f"{days_words(age)} out and no meal taken; most take one by day {days.high:g} ({days.mark}). {SLOW_START}"


def _from(day: dt.date, days: Sequence[float]) -> tuple[dt.date, dt.date]:
    return day + dt.timedelta(days=round(days[0])), day + dt.timedelta(days=round(days[1]))


def _span(bounds: Sequence[float]) -> str:
    return f"{bounds[0]:g}" if bounds[0] == bounds[1] else f"{bounds[0]:g} to {bounds[1]:g}"
