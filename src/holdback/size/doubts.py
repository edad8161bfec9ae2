"""Words of the questions that are asked about readings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence, Set

from holdback.size.perhaps import Mend, figures, mend_of
from holdback.size.readings import HatchDay, Question, Reading
from holdback.size.sequence import Point

UNIT = "SIZ-001"
FIGURE = "SIZ-002"
NO_GROWTH = "SIZ-003"
NO_HATCHLING = "SIZ-004"
LENGTH = "SIZ-005"
TOO_EARLY = "SIZ-006"
SAME_DAY = "SIZ-007"

HATCHLING_DAYS = 30.0
"""Up to this age a weight outside every bound is that of no hatchling."""


def too_early(one: Reading, hatched: HatchDay) -> Question:
    """A reading taken before the animal can have hatched."""
    day = dt.date.fromordinal(int(hatched.earliest))
    return _question(
        TOO_EARLY, one, f"{_typed(one)} on {one.measurement.date}, and it cannot have hatched before {day}."
    )


def about_mass(place: int, points: Sequence[Point], odd: Set[int], readings: Sequence[Reading]) -> Question:
    """A weight that cannot be true beside the others of its animal, or at its age.

    Parameters
    ----------
    place : int
        Place of the reading.
    points : sequence of Point
        All weights of the animal, oldest first.
    odd : set of int
        Places of the odd ones.
    readings : sequence of Reading
        In the order of `points`.
    """
    one, point = readings[place], points[place]
    mend = _mend(place, points, odd, readings)
    beside = nearest(place, points, odd)
    if beside is not None and points[beside].day == point.day:
        message = f"{_typed(one)} and {_typed(readings[beside])} on one day, {one.measurement.date}."
        return _question(SAME_DAY, one, message, mend)
    is_first = place == 0 and point.age is not None and point.age <= HATCHLING_DAYS
    if is_first and not point.low <= point.log <= point.high:
        return _question(NO_HATCHLING, one, f"{_typed(one)} is the weight of no hatchling.", mend)
    if mend is not None:
        is_unit = mend.kind == "unit"
        why = "It fits in another unit." if is_unit else "A figure may be missing, added or swapped."
        return _question(UNIT if is_unit else FIGURE, one, f"{_beside(one, beside, readings)}. {why}", mend)
    return _question(NO_GROWTH, one, f"{_beside(one, beside, readings)}. No growth, fast or laying explains it.")


def about_length(place: int, points: Sequence[Point], odd: Set[int], readings: Sequence[Reading]) -> Question:
    """A length that cannot be true beside the others of its animal, or beside its weight; parameters as for a mass."""
    beside = nearest(place, points, odd)
    trait = readings[place].measurement.trait
    message = f"A {trait} of {_beside(readings[place], beside, readings, 'for its weight')}."
    return _question(LENGTH, readings[place], message, _mend(place, points, odd, readings))


def nearest(place: int, points: Sequence[Point], odd: Set[int]) -> int | None:
    """Place of the nearest reading in time that is not odd, else of the nearest odd one that disagrees; None alone."""
    others = [other for other in range(len(points)) if other != place]
    return min(others, key=lambda other: (other in odd, abs(points[other].day - points[place].day)), default=None)


def _mend(place: int, points: Sequence[Point], odd: Set[int], readings: Sequence[Reading]) -> Mend | None:
    expected = _expected(place, points, odd)
    return None if expected is None else mend_of(readings[place].measurement, expected)


def _expected(place: int, points: Sequence[Point], odd: Set[int]) -> float | None:
    """What it should have been: between its neighbours, or along usual growth from one; None where nothing is known."""
    one = points[place]
    before = next((points[other] for other in range(place - 1, -1, -1) if other not in odd), None)
    after = next((points[other] for other in range(place + 1, len(points)) if other not in odd), None)
    if before is not None and after is not None:
        span = after.day - before.day
        return before.log + (after.log - before.log) * ((one.day - before.day) / span if span else 0.5)
    beside = before or after
    if beside is None:
        return one.usual
    if one.usual is None or beside.usual is None:
        return beside.log
    return beside.log + one.usual - beside.usual


def _beside(one: Reading, beside: int | None, readings: Sequence[Reading], alone: str = "at its age") -> str:
    if beside is None:
        return f"{_typed(one)} on {one.measurement.date}, {alone}"
    other = readings[beside]
    return f"{_typed(one)} on {one.measurement.date}, beside {_typed(other)} on {other.measurement.date}"


def _typed(one: Reading) -> str:
    return f"{figures(one.measurement.value)} {one.measurement.unit}"


def _question(code: str, one: Reading, message: str, mend: Mend | None = None) -> Question:
    measured = one.measurement
    perhaps = str(mend) if mend else ""
    return Question(code, measured.animal, measured.date, measured.trait, _typed(one), message, perhaps)
