"""What was weighed, measured and noted of each animal, day by day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import barren
import care
import racks
import season_2026
from barn import Barn, Snake
from chance import Chance
from plan import END
from season_2026 import WITH_EGGS
from sizes import Sizes

from holdback.collection.model import Event, Measurement, PartialDate, Trait

DAYS_OF_KEPT = (
    0,
    35,
    63,
    95,
    130,
    185,
    240,
    300,
    370,
    450,
    545,
    640,
    735,
    830,
    925,
    1020,
    1110,
    1200,
    1300,
    1400,
    1500,
)
DAYS_OF_SOLD = (0, 33, 64, 98)
IN_OUNCES = (dt.date(2021, 9, 1), dt.date(2022, 8, 1))
"""The big scale showed ounces in this time."""

STORY_WEIGHTS = (
    ("22-11", "2026-03-02", Trait.MASS, 3010.0, "g", "empty"),
    ("22-11", "2026-05-06", Trait.MASS, 3140.0, "g", "gravid"),
    ("22-11", "2026-05-02", Trait.SNOUT_VENT_LENGTH, 141.0, "cm", ""),
    ("22-11", "2026-05-02", Trait.HEAD_WIDTH, 38.2, "mm", "three readings"),
    ("22-05", "2026-05-10", Trait.MASS, 1420.0, "g", "empty"),
    ("22-07", "2026-04-12", Trait.MASS, 1652.0, "g", "empty"),
    ("22-07", "2026-05-03", Trait.MASS, 166.0, "g", "empty"),
    ("17-02", "2026-01-18", Trait.MASS, 1980.0, "g", "empty"),
    ("16-01", "2016-05-04", Trait.MASS, 3.9, "lb", ""),
    ("16-01", "2026-01-18", Trait.MASS, 2310.0, "g", "empty"),
    ("19-01", "2025-03-01", Trait.MASS, 2390.0, "g", "empty"),
    ("18-07", "2026-01-25", Trait.MASS, 1255.0, "g", "empty"),
    ("18-07", "2026-04-12", Trait.MASS, 1120.0, "g", "empty"),
    ("18-07", "2026-05-09", Trait.MASS, 1090.0, "g", "empty"),
    ("26-20", "2026-04-12", Trait.MASS, 1010.0, "g", "empty"),
)
"""Bracken's 166 g is a figure left out: he weighed about 1,660."""


def measurements(barn: Barn, sizes: Sizes) -> Iterator[Measurement]:
    """All readings: weights through life, and once each length and head width of the grown ones."""
    for animal, written, trait, value, unit, condition in STORY_WEIGHTS:
        yield Measurement(animal, PartialDate.parse(written), trait, value, unit, condition)
    for snake in barn.snakes.values():
        for day in _weighing_days(snake):
            yield _weight(snake, day, sizes)
        if snake.kept and snake.id != "22-11" and snake.hatched.year <= 2023 and Chance("tape", snake.id).happens(0.7):
            day = dt.date(2025, 9, 6) + dt.timedelta(days=Chance("tape day", snake.id).below(60))
            length = sizes.length_cm(snake, day)
            yield Measurement(snake.id, _date(day), Trait.SNOUT_VENT_LENGTH, round(length), "cm")
            head = Chance("head", snake.id).normal(0.271, 0.006) * length
            yield Measurement(snake.id, _date(day), Trait.HEAD_WIDTH, round(head, 1), "mm")


def _weighing_days(snake: Snake) -> list[dt.date]:
    """Days on which it was put on the scale."""
    chance = Chance("weighing", snake.id)
    if snake.clutch:
        steps = DAYS_OF_KEPT if snake.kept else DAYS_OF_SOLD
        days = [snake.hatched + dt.timedelta(days=step + (chance.below(15) if step else 0)) for step in steps]
        spring = Chance("spring weight", snake.id)
        if not snake.kept and snake.left is None and spring.happens(0.8):
            days.append(dt.date(2026, 4, 10) + dt.timedelta(days=spring.below(30)))
    else:
        first = dt.date(2000 + int(snake.id[:2]), 9, 1)
        days = [first + dt.timedelta(days=190 * step + chance.below(60)) for step in range(22)]
        days = [day for day in days if day >= (snake.arrived or day)]
    return [day for day in days if day <= snake.last_day and not chance.happens(0.08 if snake.kept else 0.15)]


def _weight(snake: Snake, day: dt.date, sizes: Sizes) -> Measurement:
    """One reading: empty, after a meal, gravid or before a shed, with what the scale adds."""
    chance = Chance("scale", snake.id, day)
    mass, condition = sizes.mass(snake, day), "empty"
    if sizes.is_gravid(snake, day):
        mass, condition = mass * 1.05, "gravid"
    elif chance.happens(0.08):
        mass, condition = mass * 1.06, "fed"
    elif chance.happens(0.05):
        condition = "in shed"
    elif chance.happens(0.2):
        condition = ""
    mass *= 1 + chance.normal(0.0, 0.012)
    if mass > 500 and IN_OUNCES[0] <= day < IN_OUNCES[1]:
        return Measurement(snake.id, _date(day), Trait.MASS, round(mass / 28.349523125, 1), "oz", condition)
    return Measurement(
        snake.id, _date(day), Trait.MASS, float(round(mass) if mass < 500 else 5 * round(mass / 5)), "g", condition
    )


def events(barn: Barn, sizes: Sizes) -> Iterator[Event]:
    """Meals of this year, sheds of the last one, and what announced each clutch."""
    for animal, written, kind, value, unit, note in (*season_2026.EVENTS, *barren.EVENTS):
        yield Event(animal, PartialDate.parse(written), kind, value, unit, note)
    yield from care.lasting()
    yield from care.first_weeks(barn, sizes)
    yield from racks.moves(barn)
    for nest in barn.nests.values():
        chance = Chance("signs", nest.plan.id)
        if nest.plan.id == "24-07":
            continue
        shed = nest.plan.laid - dt.timedelta(days=26 + chance.below(9))
        if chance.happens(0.6):
            day = shed - dt.timedelta(days=17 + chance.below(5))
            yield Event(nest.plan.dam, _date(day), "ovulation")
        yield Event(nest.plan.dam, _date(shed), "pre-lay shed")
    for snake in barn.snakes.values():
        if snake.kept:
            yield from _meals(snake, sizes)
            yield from _sheds(snake)
        elif snake.hatched.year >= 2024 and not snake.status.startswith("died"):
            chance = Chance("first", snake.id)
            yield Event(snake.id, _date(snake.hatched + dt.timedelta(days=8 + chance.below(6))), "shed", note="first")
            day = snake.hatched + dt.timedelta(days=12 + chance.below(10))
            yield Event(snake.id, _date(day), "meal", 8.0 + chance.below(5), "g", "first, hopper mouse")


def _meals(snake: Snake, sizes: Sizes) -> Iterator[Event]:
    """Meals offered since the new year; the gravid refuse, and some others do."""
    chance = Chance("meals", snake.id)
    day = dt.date(2026, 1, 2) + dt.timedelta(days=chance.below(12))
    while day <= END:
        mass = sizes.mass(snake, day)
        refused = chance.happens(0.95 if sizes.is_gravid(snake, day) else 0.14)
        prey = max(5 * round(mass * (0.055 if mass > 1000 else 0.085) / 5), 10)
        refused = refused or _refuses(snake, day)
        if (snake.id != "22-11" or day < dt.date(2026, 4, 10)) and day >= (snake.arrived or day):
            yield Event(snake.id, _date(day), "meal", float(prey), "g", "refused" if refused else "taken")
        day += dt.timedelta(days=(12 if mass > 1000 else 7) + chance.below(5))


def _refuses(snake: Snake, day: dt.date) -> bool:
    """Whether it fasts by the story: with eggs in her, or a male that will not eat."""
    with_eggs, fast = WITH_EGGS.get(snake.id), care.FASTS.get(snake.id)
    return (with_eggs is not None and day >= dt.date.fromisoformat(with_eggs)) or (fast is not None and day >= fast)


def _sheds(snake: Snake) -> Iterator[Event]:
    """Sheds since last summer."""
    chance = Chance("sheds", snake.id)
    first = max(snake.arrived or dt.date(2025, 7, 1), snake.hatched + dt.timedelta(days=9))
    day = first + dt.timedelta(days=chance.below(50))
    while day <= END:
        yield Event(snake.id, _date(day), "shed", note="in pieces" if chance.happens(0.06) else "")
        day += dt.timedelta(days=42 + chance.below(40))


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)
