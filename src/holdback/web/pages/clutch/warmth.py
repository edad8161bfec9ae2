"""How warm the eggs of a clutch lay, day by day since laying."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from holdback.answers.season import Season
from holdback.collection.model import PartialDate, Temperature
from holdback.season.clutch_outlook import THERMOMETER_C
from holdback.web.pages.charts import Axis, Band, Curve, Figure, Mark
from holdback.web.pages.components import Column, Table
from holdback.web.pages.wording import GAP, counted, number
from holdback.web.records.models import Clutch
from holdback.web.records.own_rules import own_rules

SPIKE_C = 1.0
"""Degrees above or below the range that are pointed out (a choice)."""

HEIGHT = 150


@dataclass(frozen=True, slots=True)
class WarmthShown:
    """The figure of one clutch.

    Parameters
    ----------
    message, how : str
        Caption and how to read it.
    figure : SafeString
        The drawing.
    numbers : Table
        The numbers behind it.
    where : str
        Places the readings are of, in words.
    """

    message: str
    how: str
    figure: SafeString
    numbers: Table
    where: str


@dataclass(frozen=True, slots=True)
class _Day:
    """Readings of a day: number of the day since laying, mean, lowest and highest."""

    number: int
    mean: float
    low: float
    high: float


def warmth_shown(clutch: Clutch, season: Season) -> WarmthShown | None:
    """Figure of the warmth of a clutch; None where nobody wrote any, or the day of laying is not known."""
    laid = PartialDate.parse(clutch.laid) if clutch.laid else None
    if laid is None or not laid.day:
        return None
    last = _last(clutch, season)
    places = sorted({egg.box for egg in season.collection.eggs_of(clutch.tag) if egg.box})
    readings = {place: _readings(season, place, laid.earliest, last) for place in places}
    days = _by_day((one for each in readings.values() for one in each), laid.earliest)
    if not days:
        return None
    low, high, whose = _range(season)
    figure = _figure(days, (low, high), season, clutch, laid.earliest)
    since = (last - laid.earliest).days + 1
    message = _message(days, low, high)
    how = f"Box temperature by day since laying, read on {len(days)} of {since} days. Shaded: {whose}."
    said = f"{message} Mean {number(_mean(days), 1)} degrees over {counted(len(days), 'day')} with readings."
    return WarmthShown(message, how, replace(figure, said=said).svg(), _numbers(days), ", ".join(places))


def _last(clutch: Clutch, season: Season) -> dt.date:
    return min(season.on, PartialDate.parse(clutch.hatched).latest) if clutch.hatched else season.on


def _readings(season: Season, place: str, first: dt.date, last: dt.date) -> list[Temperature]:
    """Readings of a box between two days; those of what it stands in where it has none of its own."""
    parts = place.split(" / ")
    for upto in range(len(parts), 0, -1):
        found = [
            one
            for one in season.collection.temperatures_of(" / ".join(parts[:upto]))
            if one.date.day and first <= one.date.earliest <= last
        ]
        if found:
            return found
    return []


def _by_day(readings: Iterable[Temperature], laid: dt.date) -> list[_Day]:
    found: dict[int, list[float]] = defaultdict(list)
    for one in readings:
        found[(one.date.earliest - laid).days].append(one.celsius)
    return [_Day(day, sum(all_) / len(all_), min(all_), max(all_)) for day, all_ in sorted(found.items())]


def _range(season: Season) -> tuple[float, float, str]:
    """Range that the boxes are kept in, and who says so."""
    rules = own_rules()
    usual = season.catalogue.reproduction.get("incubation_temperature_c")
    low, high = rules.warm_low_c, rules.warm_high_c
    whose = "the range you set" if low is not None or high is not None else "the range of the species file"
    if usual is not None:
        return (usual.low if low is None else low), (usual.high if high is None else high), whose
    return (low or high or 0.0), (high or low or 0.0), whose if low or high else "no range is set"


def _mean(days: Sequence[_Day]) -> float:
    return sum(day.mean for day in days) / len(days)


def _message(days: Sequence[_Day], low: float, high: float) -> str:
    """What the figure says in a sentence."""
    if not high:
        return f"Mean {number(_mean(days), 1)}{GAP}°C; no range is set."
    above = [day for day in days if day.high > high + SPIKE_C]
    below = [day for day in days if day.low < low - SPIKE_C]
    outside = [day for day in days if not low - THERMOMETER_C <= day.mean <= high + THERMOMETER_C]
    if above or below:
        return f"{_steady(outside)} but for {_spikes(above, below)}."
    if not outside:
        return "Steady: every day within the range, give or take half a degree."
    return f"{counted(len(outside), 'day')} of {len(days)} outside the range, by a degree at most."


def _steady(outside: Sequence[_Day]) -> str:
    return "Steady" if len(outside) <= 2 else "Mostly in range"


def _spikes(above: Sequence[_Day], below: Sequence[_Day]) -> str:
    parts = []
    if above:
        top = max(above, key=lambda day: day.high)
        count = "one warm day" if len(above) == 1 else f"{len(above)} warm days"
        parts.append(f"{count}, {number(top.high, 1)}{GAP}°C on day {top.number}")
    if below:
        least = min(below, key=lambda day: day.low)
        count = "one cool day" if len(below) == 1 else f"{len(below)} cool days"
        parts.append(f"{count}, {number(least.low, 1)}{GAP}°C on day {least.number}")
    return " and ".join(parts)


def _figure(days: Sequence[_Day], kept: tuple[float, float], season: Season, clutch: Clutch, laid: dt.date) -> Figure:
    low, high = kept
    values = [value for day in days for value in (day.low, day.high)] + ([low, high] if high else [])
    bottom = 2.0 * int(min(values) // 2)
    top = max(bottom + 4.0, 2.0 * int(-(-max(values) // 2)))
    window = season.clutch(clutch.tag).hatching
    hatch = [day.toordinal() - laid.toordinal() for day in window.law.window(0.8)] if window else []
    end = max([days[-1].number, 14, *hatch])
    ticks = [(float(day), "" if day % 14 else str(day)) for day in range(0, end + 1, 7)]
    last = max(day for day, label in ticks if label)
    ticks = [(day, f"day {day:.0f}" if day == last else label) for day, label in ticks if label]
    bands = [Band(_flat(end, high - bottom), _flat(end, low - bottom))] if high else []
    if hatch:
        first, over = float(hatch[0]), float(hatch[1])
        bands.append(
            Band(
                [(first, top - bottom), (over, top - bottom)],
                [(first, 0.0), (over, 0.0)],
                "hatching",
                is_fan=True,
                is_word_low=True,
            )
        )
    age = (season.on - laid).days
    far_out = _far_out(days, kept, bottom)
    return Figure(
        Axis(float(end), ticks),
        Axis(
            top - bottom, [(float(step), _degrees(bottom + step, top)) for step in range(0, int(top - bottom) + 1, 2)]
        ),
        said="",
        height=HEIGHT,
        bands=bands,
        curves=[Curve([(float(day.number), day.mean - bottom) for day in days], ""), *far_out],
        marks=[Mark(*curve.points[0], is_open=True) for curve in far_out],
        here=(float(age), "today") if window and age <= end else None,
    )


def _flat(end: int, value: float) -> list[tuple[float, float]]:
    return [(0.0, value), (float(end), value)]


def _degrees(value: float, top: float) -> str:
    return f"{value:g}{GAP}°C" if value == top else f"{value:g}"


def _far_out(days: Sequence[_Day], kept: tuple[float, float], bottom: float) -> list[Curve]:
    """The warmest and the coolest reading well outside the range: one point each, with its degrees."""
    low, high = kept
    warm, cool = max(days, key=lambda day: day.high), min(days, key=lambda day: day.low)
    found = [
        *([(warm.number, warm.high)] if high and warm.high > high + SPIKE_C else []),
        *([(cool.number, cool.low)] if high and cool.low < low - SPIKE_C else []),
    ]
    return [Curve([(float(day), value - bottom)], "", f"{number(value, 1)}{GAP}°C") for day, value in found]


def _numbers(days: Sequence[_Day]) -> Table:
    """Mean, lowest and highest by fortnight."""
    heads = [
        Column("Days"),
        Column("Mean, °C", is_number=True),
        Column("Lowest, °C", is_number=True),
        Column("Highest, °C", is_number=True),
    ]
    spans: dict[int, list[_Day]] = defaultdict(list)
    for day in days:
        spans[day.number // 14].append(day)
    rows = [
        [
            f"{each[0].number}–{each[-1].number}" if len(each) > 1 else str(each[0].number),
            number(_mean(each), 1),
            number(min(day.low for day in each), 1),
            number(max(day.high for day in each), 1),
        ]
        for each in spans.values()
    ]
    return Table(heads, rows, is_cards=False)
