"""How big: an animal's own weights against ordinary animals of its sex."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.model import PartialDate, Trait
from holdback.collection.units import MASS_IN_G
from holdback.species.catalogue import Catalogue
from holdback.species.model import GrowthRow
from holdback.web.pages.charts import Axis, Band, Curve, Figure, Mark, axis_to
from holdback.web.pages.components import Column, Table
from holdback.web.pages.weights import counts
from holdback.web.pages.wording import day, number, quantity, span
from holdback.web.records.models import Animal, Measurement

MONTH_DAYS = 30.436875
"""Days in a mean month of the Gregorian calendar."""

_SPANS = ((6, 1), (12, 2), (24, 6), (36, 6), (48, 6), (60, 12), (84, 12), (120, 24), (240, 48), (360, 60))
"""Ends of the age axis in months, with the step between ticks."""


@dataclass(frozen=True, slots=True)
class Growth:
    """The figure with its words; without a figure where ages are not known.

    Parameters
    ----------
    message, how : str
        Caption.
    figure : Figure or None
        None where the hatch date is not known to the month.
    numbers : Table
        All weights.
    """

    message: str
    how: str
    figure: Figure | None
    numbers: Table


@dataclass(frozen=True, slots=True)
class _Weighing:
    date: str
    months: float | None
    grams: float
    typed: str
    condition: str
    counts: bool


def growth(animal: Animal, readings: Sequence[Measurement], catalogue: Catalogue) -> Growth | None:
    """Growth figure of an animal; None where it was never weighed.

    Parameters
    ----------
    animal : Animal
        The animal.
    readings : sequence of Measurement
        All readings, oldest first; only masses are used.
    catalogue : Catalogue
        Its growth table gives the band.
    """
    weighings = [_weighing(animal, reading) for reading in readings if reading.trait == Trait.MASS.value]
    if not weighings:
        return None
    aged = [weighing for weighing in weighings if weighing.months is not None and weighing.months >= 0]
    rows = sorted(
        (row for row in catalogue.growth if row.sex in {animal.sex, "any", ""}), key=lambda row: row.age_months
    )
    numbers = _numbers(animal, weighings, rows)
    if not aged:
        message = "Weights are listed, ages are not known."
        return Growth(message, "The hatch date is not known to the month, so no age is drawn.", None, numbers)
    message = _message(animal, aged, rows)
    how = (
        "Weight in grams by age in months. Filled dots: empty, or nothing noted against it. Open dots are left out."
        + (f" Shaded: ordinary {_plural(animal)}, {rows[0].mark}." if rows else "")
        + " Feeding moves weight more than age does."
    )
    return Growth(message, how, _figure(animal, aged, rows, message), numbers)


def _weighing(animal: Animal, reading: Measurement) -> _Weighing:
    hatched, date = animal.hatch_date, PartialDate.parse(reading.date)
    months = None
    if hatched and hatched.month and date.month:
        months = (_middle(date) - _middle(hatched)) / MONTH_DAYS
    return _Weighing(
        reading.date,
        months,
        reading.value * MASS_IN_G.get(reading.unit, 1.0),
        quantity(reading.value, reading.unit, 1),
        reading.condition,
        counts(reading),
    )


def _middle(date: PartialDate) -> float:
    return (date.earliest.toordinal() + date.latest.toordinal()) / 2


def _plural(animal: Animal) -> str:
    return f"{animal.sex}s" if animal.sex in {"male", "female"} else "animals"


def _message(animal: Animal, aged: Sequence[_Weighing], rows: Sequence[GrowthRow]) -> str:
    """One sentence on the last weight that counts; only where the table covers its age."""
    counted = [weighing for weighing in aged if weighing.counts]
    name = animal.name or animal.tag
    if not counted:
        return f"No empty weight of {name} is on record."
    last = counted[-1]
    assert last.months is not None, "only aged weighings come here"
    weight = quantity(round(last.grams), "g")
    age = f"{last.months:.0f} months"
    band = _band_at(last.months, rows)
    if band is None:
        return f"{weight} at {age}."
    ordinary = f"ordinary {_plural(animal)} {span(round(band[0], -1), round(band[1], -1))}\u00a0g"
    word = "above" if last.grams > band[1] else "below" if last.grams < band[0] else "within"
    return f"{weight} at {age}, {word} the band: {ordinary}."


def _band_at(months: float, rows: Sequence[GrowthRow]) -> tuple[float, float] | None:
    """Band at an age, straight between the rows of the table; None outside them."""
    for before, after in itertools.pairwise(rows):
        if before.age_months <= months <= after.age_months:
            share = (months - before.age_months) / (after.age_months - before.age_months)
            return (
                before.low_g + share * (after.low_g - before.low_g),
                before.high_g + share * (after.high_g - before.high_g),
            )
    return None


def age_axis(last: float) -> Axis:
    """Axis of ages in months that holds the last.

    Examples
    --------
    >>> age_axis(43).end
    48.0
    """
    end, step = next((pair for pair in _SPANS if pair[0] >= last), (600, 120))
    ticks = [(float(month), f"{month}" + (" mo" if month == end else "")) for month in range(0, end + 1, step)]
    return Axis(float(end), ticks)


def _figure(animal: Animal, aged: Sequence[_Weighing], rows: Sequence[GrowthRow], message: str) -> Figure:
    points = [(weighing.months or 0.0, weighing.grams, weighing) for weighing in aged]
    last = max(point[0] for point in points)
    ages = age_axis(last)
    end = ages.end
    inside = [(row.age_months, row.low_g, row.high_g) for row in rows if row.age_months < end]
    if (edge := _band_at(end, rows)) is not None:
        inside.append((end, *edge))
    top = max([point[1] for point in points] + [high for _, _, high in inside])
    bands = [
        Band(
            [(age, high) for age, _, high in inside],
            [(age, low) for age, low, _ in inside],
            f"ordinary {_plural(animal)}",
        )
    ]
    counted = [(x, y) for x, y, weighing in points if weighing.counts]
    return Figure(
        x=ages,
        y=axis_to(top, "g"),
        said=message,
        height=280,
        bands=bands if len(inside) > 1 else [],
        curves=[Curve(counted, "me", animal.name or animal.tag, at=-min(3, len(counted)))] if len(counted) > 1 else [],
        marks=[
            Mark(x, y, "" if weighing.counts else f"{weighing.condition}, left out", is_open=not weighing.counts)
            for x, y, weighing in points
        ],
    )


def _numbers(animal: Animal, weighings: Sequence[_Weighing], rows: Sequence[GrowthRow]) -> Table:
    """Every weight, newest first."""
    heads = [
        Column("Day"),
        Column("Age, months", is_number=True),
        Column("Weight", is_number=True),
        Column(f"Ordinary {_plural(animal)}, g", is_number=True),
        Column("Condition"),
    ]
    lines = []
    for weighing in reversed(weighings):
        band = _band_at(weighing.months, rows) if weighing.months is not None else None
        lines.append(
            [
                day(PartialDate.parse(weighing.date)),
                "—" if weighing.months is None else number(weighing.months, 0),
                weighing.typed,
                span(round(band[0], -1), round(band[1], -1)) if band else "—",
                weighing.condition or "not noted",
            ]
        )
    return Table(heads, lines)
