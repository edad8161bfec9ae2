"""Invented collections whose weights are honest, and slips of each kind put into them one at a time."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Callable
from typing import Any

DAY_ONE = 735_000
"""Some day in 2013."""

OUNCE, POUND = 28.349523125, 453.59237


def weights_of(rng: random.Random, animal: str) -> tuple[dict[str, Any], list[dict[str, Any]], list[dict[str, Any]]]:
    """Row of one animal, its clutches and its honest weights.

    Half of the adult masses are ordinary, the rest those of large-bodied animals up to some 8 kg. Growth is that of
    von Bertalanffy at very different rates; a weight strays by 5 %, one in ten was taken after a meal; a dam gains 30 %
    in the months before laying, is 35 % lighter after it and regains that; a male fasts in winter.
    """
    is_female = rng.random() < 0.5
    hatched = DAY_ONE + rng.randrange(1500)
    large = rng.random() * 1.3 if rng.random() < 0.5 else 0.0
    adult = (1950 if is_female else 1250) * math.exp(rng.gauss(0, 0.16) + large)
    start = (min(65 * (adult / 1800) ** 0.35 * math.exp(rng.gauss(0, 0.1)), 140) / adult) ** (1 / 3)
    rate = math.exp(rng.gauss(math.log(0.75), 0.2))
    laid = [day for day in range(hatched + 1150, hatched + 4000, 365) if is_female and rng.random() < 0.7]
    clutches = [{"id": f"{animal}-{day}", "dam": animal, "laid": _iso(day)} for day in laid if rng.random() < 0.9]
    weights, day = [], hatched
    last = hatched + rng.choice([100, 400, 1500, 2500, 3500])
    while day <= last:
        years = (day - hatched) / 365.25
        mass = adult * (1 - (1 - start) * math.exp(-rate * years)) ** 3
        if is_female:
            mass *= _sway(day, laid)
        elif years > 1.5:
            mass *= 1 - 0.15 * max(math.sin(2 * math.pi * years), 0.0)
        if rng.random() < 0.1:
            mass *= 1.1
        mass *= math.exp(rng.gauss(0, 0.05))
        condition = "gravid" if any(0 < one - day < 60 for one in laid) and rng.random() < 0.5 else ""
        weights.append(_row(animal, day, mass, rng, condition))
        day += rng.choice([7, 14, 30, 45, 60, 90]) if day < hatched + 500 else rng.choice([30, 60, 90, 150, 200])
    row = {"id": animal, "sex": "female" if is_female else "male", "hatched": _iso(hatched)}
    if rng.random() < 0.2:
        row["hatched"] = row["hatched"][:4] if rng.random() < 0.5 else ""
    return row, clutches, weights


def _sway(day: int, laid: list[int]) -> float:
    factor = 1.0
    for one in laid:
        if 0 < one - day <= 150:
            factor *= 1 + 0.3 * (1 - (one - day) / 150)
        elif 0 <= day - one < 250:
            factor *= 1 - 0.35 * (1 - (day - one) / 250)
    return factor


def _row(animal: str, day: int, mass: float, rng: random.Random, condition: str) -> dict[str, Any]:
    unit = rng.choice(["g", "g", "g", "oz", "kg"])
    value = {"g": round(mass), "oz": round(mass / OUNCE, 1), "kg": round(mass / 1000, 3)}[unit]
    return {"animal": animal, "date": _iso(day), "trait": "mass", "value": value, "unit": unit, "condition": condition}


def _iso(day: int) -> str:
    return str(dt.date.fromordinal(day))


def _grams(row: dict[str, Any]) -> float:
    return float(row["value"]) * {"g": 1.0, "oz": OUNCE, "kg": 1000.0, "lb": POUND}[row["unit"]]


def _as(unit: str, size: float, written: str) -> Callable[[dict[str, Any]], dict[str, Any]]:
    """A value read off in one unit and written down with another."""
    return lambda row: row | {"value": round(_grams(row) / size, 3), "unit": written}


def _figures(change: Callable[[str], str]) -> Callable[[dict[str, Any]], dict[str, Any]]:
    """A change to the figures of a weight in gram."""
    return lambda row: row | {"value": float(change(str(max(round(_grams(row)), 1)))), "unit": "g"}


SLIPS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "ounces as gram": _as("oz", OUNCE, "g"),
    "gram as ounces": _as("g", 1.0, "oz"),
    "pounds as ounces": _as("lb", POUND, "oz"),
    "ounces as pounds": _as("oz", OUNCE, "lb"),
    "pounds as gram": _as("lb", POUND, "g"),
    "kilogram as gram": _as("kg", 1000.0, "g"),
    "gram as kilogram": _as("g", 1.0, "kg"),
    "pounds as kilogram": _as("lb", POUND, "kg"),
    "kilogram as pounds": _as("kg", 1000.0, "lb"),
    "last figure left out": _figures(lambda text: text[:-1]),
    "figure doubled": _figures(lambda text: text[0] + text),
    "nought added": _figures(lambda text: text + "0"),
    "two noughts added": _figures(lambda text: text + "00"),
}
