"""Rows of the keeper's own sheet, each with what a right import ends with or asks.

Ordinary rows are the animals that were kept, written in the keeper's three date styles and two scales; the odd rows are
written by hand. The expectation stands beside the cells and is not worked out by the import.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from barn import Barn, Snake
from chance import Chance
from sizes import Sizes

WEIGHED = dt.date(2026, 5, 10)
NOT_IN_SHEET = ("18-01", "21-21", "25-11", "26-20")
OUNCE_G = 28.349523125

CellValue = str | int | float | dt.date


@dataclass(frozen=True)
class MessyRow:
    """One row: nine cells, and what is expected of it."""

    cells: tuple[CellValue, ...]
    expected: dict[str, object] = field(default_factory=dict)


def messy_rows(barn: Barn, sizes: Sizes) -> list[MessyRow]:
    """All rows below the headings, blank ones and totals among them."""
    kept = [snake for snake in barn.snakes.values() if snake.kept and snake.id not in NOT_IN_SHEET]
    ordinary = [_ordinary(snake, number, barn, sizes) for number, snake in enumerate(kept)]
    blank = MessyRow((), {"left_out": "blank"})
    heading = MessyRow(("KEPT FROM OUR OWN CLUTCHES",), {"left_out": "a heading, no animal"})
    founders = [row for row, snake in zip(ordinary, kept, strict=True) if not snake.clutch]
    young = [row for row, snake in zip(ordinary, kept, strict=True) if snake.clutch]
    total = MessyRow(
        ("", "Total", f"{len(ordinary) + len(_ODD)} snakes", "", "", "", "", "=SUM(H5:H200)"),
        {"left_out": "a total, no animal"},
    )
    return [*founders, blank, heading, *young[:20], blank, *_ODD[:8], *young[20:], *_ODD[8:], blank, total]


def _ordinary(snake: Snake, number: int, barn: Barn, sizes: Sizes) -> MessyRow:
    """Row of an animal that was kept."""
    chance = Chance("messy", snake.id)
    male = snake.written_sex == "male"
    sex = chance.pick(("1.0", "m", "M", "male") if male else ("0.1", "F", "f", "fem."))
    born, hatched = _born(snake, number)
    expected: dict[str, object] = {
        "id": snake.id,
        "name": snake.name,
        "sex": snake.written_sex,
        "hatched": hatched,
        "genes": snake.written_genes,
    }
    parents = ""
    if snake.clutch and snake.sire in barn.snakes:
        sire, dam = barn.snakes[snake.sire], barn.snakes[snake.dam]
        parents = f"{sire.name} x {dam.name}" if chance.happens(0.7) else f"{sire.id} x {dam.id}"
        expected |= {"sire": sire.id, "dam": dam.id}
    weight, value, unit = _weight(snake, chance, sizes)
    if unit:
        expected |= {"mass": value, "unit": unit}
    space = "  " if chance.happens(0.12) else ""
    genes = snake.written_genes + (" " if chance.happens(0.1) else "")
    cells = (_tub(number), snake.id, snake.name + space, sex, born, parents, genes, weight, "", _note(snake))
    return MessyRow(cells, expected)


def _tub(number: int) -> str:
    """Place in the rack, six to a shelf."""
    return f"{1 + number // 6}-{'ABCDEF'[number % 6]}"


def _note(snake: Snake) -> str:
    """Free text."""
    return "WC, no hatch date" if snake.origin == "wild caught" else snake.notes


def _born(snake: Snake, number: int) -> tuple[CellValue, str]:
    """Hatch date in one of the keeper's styles, and as it is meant."""
    if not snake.clutch:
        year_only = len(snake.written_hatched) == 4
        return (int(snake.written_hatched) if year_only else snake.written_hatched), snake.written_hatched
    day = snake.hatched
    styles: tuple[tuple[CellValue, str], ...] = (
        (f"{day.month}/{day.day}/{day:%y}", day.isoformat()),
        (f"{day.day} {day:%B} {day.year}", day.isoformat()),
        (day, day.isoformat()),
        (f"{day:%Y-%m}", f"{day:%Y-%m}"),
    )
    return styles[0 if snake.id == "22-11" else number % 4]


def _weight(snake: Snake, chance: Chance, sizes: Sizes) -> tuple[CellValue, float, str]:
    """Cell, value and unit of the last weight; ounces carry their sign, gram does not."""
    if snake.id == "22-11":
        return "106.2 oz", 106.2, "oz"
    if chance.happens(0.06):
        return "", 0.0, ""
    mass = round(sizes.mass(snake, WEIGHED))
    if chance.happens(0.25):
        ounces = round(mass / OUNCE_G, 1)
        return f"{ounces} oz", ounces, "oz"
    if chance.happens(0.08):
        return f"{mass / 1000:.2f} kg", round(mass / 1000, 2), "kg"
    return mass, float(mass), "g"


def _asks(about: str, *cells: CellValue) -> MessyRow:
    """Odd row that must not land without a question, or must be listed with the reason."""
    return MessyRow(cells, {"asks": about})


_ODD = [
    _asks(
        "two rows have the id 20-04", "12-A", "20-04", "Flicker", "F", "6/21/20", "", "Pastel", 1710, "", "tag reused?"
    ),
    _asks(
        "hatched in the year its dam hatched", "12-B", "22-20", "Sprig", "?", "8/30/22", "Ledger x Umber", "Clown", 640
    ),
    _asks("three alleles of one complex", "12-C", "23-20", "Hassock", "m", "2023-07", "", "Mojave Lesser Phantom", 580),
    _asks("Karoo is no known gene", "12-D", "23-21", "Dell", "0.1", "7/19/23", "", "Pastel Karoo", 1120),
    _asks(
        "Pastal is no known gene; Pastel is near",
        "12-E",
        "23-22",
        "Copse",
        "1.0",
        "21 July 2023",
        "",
        "Pastal Enchi",
        890,
    ),
    MessyRow(
        ("12-F", "24-20", "Lintel", "m", "7/22/24", "", "Enchi poss YB", "1 lb 4 oz", "", "café tub, ½ price"),
        {
            "id": "24-20",
            "name": "Lintel",
            "sex": "male",
            "hatched": "2024-07-22",
            "genes": "Enchi poss YB",
            "mass_g": 20 * OUNCE_G,
        },
    ),
    _asks("Baron is not in the sheet", "13-A", "24-21", "Purlin", "F", "7/27/24", "Baron x Mallow", "Normal", 610),
    _asks("52.1 has no unit and is too little for gram", "13-B", "19-20", "Gable", "m", "7/14/19", "", "Enchi", 52.1),
    _asks("two rows have the id 20-04", "13-C", "20-04", "Jetty", "1.0", "2020-07", "", "Yellow Belly", 1240),
    _asks("no calendar has 30 February", "13-D", "23-23", "Eave", "F", "2/30/23", "", "Pastel", 760),
    _asks("the date cannot be read", "13-E", "21-20b", "Corbel", "m", "summer 21", "", "Enchi", 1180),
    _asks("a formula without a stored value", "13-F", "22-21", "Truss", "f", "7/23/22", "", "Normal", "=1200+640"),
    _asks("the weight cannot be read", "14-A", "22-22", "Joist", "M", "24 June 2022", "", "Pastel", "heavy"),
    _asks("no id", "14-B", "", "Rafter", "?", "2024-08", "", "Normal", 420, "", "came with the rack"),
    MessyRow(
        (
            "14-C",
            "25-20 ",
            " Sill ",
            "?",
            "7/29/25",
            "",
            "100% het Clown 66% het Pied",
            215,
            "",
            'says "shy"; bites, once',
        ),
        {
            "id": "25-20",
            "name": "Sill",
            "sex": "unknown",
            "hatched": "2025-07-29",
            "genes": "100% het Clown 66% het Pied",
            "mass": 215.0,
            "unit": "g",
        },
    ),
]
