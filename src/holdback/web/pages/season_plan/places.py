"""Places by week that a plan takes, beside those there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holdback.answers.season.words import MONTHS, day_words
from holdback.decisions.season_plan import WeekPlaces
from holdback.web.pages.charts import Axis, Band, Curve, Figure, axis_to
from holdback.web.pages.components import Column, Table
from holdback.web.pages.wording import number

_TAKEN = 0.05
"""Places below which a week counts as free."""
_LEAST_WEEKS = 8


@dataclass(frozen=True, slots=True)
class PlacesShown:
    """Places of one kind: what they are, the message, the drawing, the numbers."""

    name: str
    message: str
    figure: Figure
    table: Table


def places_shown(load: Sequence[WeekPlaces]) -> list[PlacesShown]:
    """Each kind of place that the plan takes any of."""
    found = []
    for name in dict.fromkeys(one.name for one in load):
        weeks = _busy([one for one in load if one.name == name])
        if weeks:
            said = _message(name, weeks)
            found.append(PlacesShown(name, said, _figure(name, weeks, said), _table(weeks)))
    return found


def _busy(weeks: list[WeekPlaces]) -> list[WeekPlaces]:
    """Weeks from the first to the last in which a place is taken, one free week on each side."""
    taken = [at for at, one in enumerate(weeks) if one.planned_for > _TAKEN]
    return weeks[max(taken[0] - 1, 0) : max(taken[-1] + 2, taken[0] + _LEAST_WEEKS)] if taken else []


def _message(name: str, weeks: Sequence[WeekPlaces]) -> str:
    peak = max(weeks, key=lambda one: one.planned_for - one.places)
    when = f"in the week of {day_words(peak.week, today=weeks[0].week)}"
    if peak.planned_for > peak.places + 1e-6:
        return f"Too few {name}: {number(peak.planned_for)} of {number(peak.places)} {when}."
    return f"Enough {name}: at most {number(peak.planned_for)} of {number(peak.places)}, {when}."


def _figure(name: str, weeks: Sequence[WeekPlaces], said: str) -> Figure:
    end = len(weeks) - 1
    there = [(float(at), one.places) for at, one in enumerate(weeks)]
    curves = [
        Curve([(float(at), one.expected) for at, one in enumerate(weeks)], "me"),
        Curve(there, "other", f"{number(weeks[-1].places)} {name}"),
    ]
    upper = [(float(at), one.planned_for) for at, one in enumerate(weeks)]
    months = [(float(at), MONTHS[one.week.month - 1][:3]) for at, one in enumerate(weeks) if one.week.day <= 7]
    return Figure(
        Axis(float(end), months),
        axis_to(max(4.0, *(max(one.planned_for, one.places) for one in weeks)), ""),
        f"{name.capitalize()} by week. {said}",
        height=170,
        bands=[Band(upper, [(0.0, 0.0), (float(end), 0.0)], is_fan=True)],
        curves=curves,
    )


def _table(weeks: Sequence[WeekPlaces]) -> Table:
    heads = [
        Column(one, is_number=at > 0) for at, one in enumerate(("Week of", "Expected", "Planned for", "There are"))
    ]
    rows = [
        [
            day_words(one.week, today=weeks[0].week),
            number(one.expected, 1),
            number(one.planned_for, 1),
            number(one.places),
        ]
        for one in weeks
    ]
    return Table(heads, rows, is_cards=False)
