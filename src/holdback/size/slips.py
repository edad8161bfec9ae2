"""Readings that look like slips of the pen: asked about, never repaired."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import Animal, Sex, Trait
from holdback.size import doubts
from holdback.size.ages import span_of
from holdback.size.plausible import Usual
from holdback.size.readings import HatchDay, Question, Reading
from holdback.size.sequence import LENGTH, MASS, Point, odd_ones
from holdback.size.shape import PART_OF_LENGTH, Shape

CLUTCH_SPREAD_DAYS = 4.0
"""Young of one clutch come out over some days, so a day that is only that of the clutch is no sharper than this."""

UNTOLD = (-0.25, 0.15)
"""How far a grown female may stray down and up for eggs that nobody wrote of (common practice, no source)."""

NEAR_DAYS = 120.0
"""A length is held against a weight within this many days."""


@dataclass(frozen=True)
class Known:
    """What is known of the animals whose readings are looked at.

    Parameters
    ----------
    animals : mapping of str to Animal
        By id.
    hatched : mapping of str to HatchDay
        By animal.
    usual : Usual
        Usual masses by age.
    shape : Shape or None
        How long an animal of a mass is; None where the species file does not say.
    grown_g : float
        Mass in gram from which a female may have eggs in her that nobody wrote of.
    sway : callable
        How far eggs, or laying, may have moved a weight down and up, on the logarithm; None where no laying is near.
    """

    animals: Mapping[str, Animal]
    hatched: Mapping[str, HatchDay]
    usual: Usual
    shape: Shape | None
    grown_g: float
    sway: Callable[[Reading], tuple[float, float] | None]


def questions_about(animal: str, readings: Sequence[Reading], known: Known) -> dict[int, Question]:
    """Questions on readings of one animal, by their place in the sequence.

    Parameters
    ----------
    animal : str
        Id.
    readings : sequence of Reading
        All of the animal, oldest first; those known to the year only are not looked at.
    known : Known
        What is known of it.
    """
    hatched = known.hatched.get(animal)
    dated = [place for place, one in enumerate(readings) if one.measurement.date.month]
    found = dict(_too_early(readings, dated, hatched)) if hatched else {}
    by_trait: dict[Trait, list[int]] = {}
    for place in dated:
        if place not in found:
            by_trait.setdefault(readings[place].measurement.trait, []).append(place)
    places = by_trait.pop(Trait.MASS, [])
    masses = [readings[place] for place in places]
    points = _mass_points(masses, known.animals[animal].sex, hatched, known)
    odd = odd_ones(points, MASS)
    found |= {places[at]: doubts.about_mass(at, points, odd, masses) for at in odd}
    right = [point for at, point in enumerate(points) if at not in odd] if by_trait else []
    for trait, places in by_trait.items():
        lengths = [readings[place] for place in places]
        points = [_length_point(one, trait, right, known.shape) for one in lengths]
        odd = odd_ones(points, LENGTH)
        found |= {places[at]: doubts.about_length(at, points, odd, lengths) for at in odd}
    return found


def _too_early(readings: Sequence[Reading], dated: Sequence[int], hatched: HatchDay) -> Iterator[tuple[int, Question]]:
    """Readings taken before the animal can have hatched."""
    earliest = hatched.earliest - (CLUTCH_SPREAD_DAYS if hatched.ground.startswith("clutch") else 0.0)
    for place in dated:
        one = readings[place]
        if one.day < earliest and span_of(one.measurement.date)[1] < earliest:
            yield place, doubts.too_early(one, hatched)


def _mass_points(readings: Sequence[Reading], sex: Sex, hatched: HatchDay | None, known: Known) -> list[Point]:
    points = []
    for one in readings:
        log = math.log(one.value)
        low, high = known.usual.bounds(sex, hatched, one.day)
        age = max(one.day - hatched.middle, 0.0) if hatched else None
        usual = known.usual.middle(sex, age) if age is not None else None
        sway = known.sway(one)
        if sway is None:
            sway = UNTOLD if sex is not Sex.MALE and one.value >= known.grown_g else (0.0, 0.0)
        points.append(Point(one.day, log, age, low, high, sway, usual))
    return points


def _length_point(one: Reading, trait: Trait, masses: Sequence[Point], shape: Shape | None) -> Point:
    """A length with bounds by the nearest weight in time."""
    near = min(masses, key=lambda mass: abs(mass.day - one.day), default=None)
    log = math.log(one.value)
    if shape is None or near is None or abs(near.day - one.day) > NEAR_DAYS:
        return Point(one.day, log, None, -math.inf, math.inf, (0.0, 0.0), None)
    expected, slack = shape.expected(trait, near.log), PART_OF_LENGTH[trait][1]
    return Point(one.day, log, near.age, expected - slack, expected + slack, (0.0, 0.0), expected)
