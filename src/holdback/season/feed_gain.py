"""Growth by feeding: what an animal gained, beside the prey it ate between two weights that count."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import is_taken
from holdback.collection.model import Event, Trait
from holdback.collection.units import MASS_IN_G
from holdback.size.readings import Reading, Readings

LEAST_DAYS = 60
"""Days between two weights from which a gain is more than water and droppings (an assumption)."""

LEAST_MEALS = 4
"""Meals from which a gain by prey is told (an assumption)."""


@dataclass(frozen=True, slots=True)
class FeedGain:
    """What one animal made of its prey in one year.

    Parameters
    ----------
    animal : str
        Animal id.
    year : int
        Calendar year.
    first, last : date
        Days of the two weights.
    gain_g : float
        What it gained between them; negative where it lost.
    prey_g : float
        Prey taken from the first day up to the day before the last one.
    meals : int
        Meals taken.
    """

    animal: str
    year: int
    first: dt.date
    last: dt.date
    gain_g: float
    prey_g: float
    meals: int

    @property
    def gain_per_prey(self) -> float:
        """Gram gained for each gram of prey."""
        return self.gain_g / self.prey_g


@dataclass(frozen=True, slots=True)
class FeedGains:
    """Gains by prey, and how many could not be told.

    Parameters
    ----------
    rows : tuple of FeedGain
        The latest year first.
    without_mass : int
        Animals and years left out because a meal taken has no mass.
    """

    rows: tuple[FeedGain, ...]
    without_mass: int


def feed_gains(collection: Collection, readings: Readings, *, today: dt.date) -> FeedGains:
    """Gain by prey of every animal and calendar year.

    Parameters
    ----------
    collection : Collection
        Records.
    readings : Readings
        Weights, for those that count.
    today : date
        Nothing recorded after it is used.

    Notes
    -----
    Between the first and the last weight of the year that count. The prey of the last day is not in the last weight:
    an animal is weighed first and fed then (common practice, no source).
    """
    rows, without = [], 0
    for animal, found in readings.by_animal.items():
        meals = [event for event in collection.events_of(animal) if event.date.day and is_taken(event)]
        for first, last in _spans(found, today) if meals else ():
            eaten = [meal for meal in meals if first.day <= meal.date.earliest.toordinal() < last.day]
            masses = [mass for meal in eaten if (mass := _prey_g(meal)) is not None]
            if len(eaten) < LEAST_MEALS:
                continue
            if len(masses) < len(eaten):
                without += 1
                continue
            start, end = dt.date.fromordinal(int(first.day)), dt.date.fromordinal(int(last.day))
            rows.append(FeedGain(animal, end.year, start, end, last.value - first.value, sum(masses), len(eaten)))
    return FeedGains(tuple(sorted(rows, key=lambda row: (-row.year, row.animal))), without)


def _spans(readings: Sequence[Reading], today: dt.date) -> Iterator[tuple[Reading, Reading]]:
    """First and last weight that count of each calendar year."""
    by_year: dict[int, list[Reading]] = {}
    for one in readings:
        is_day = bool(one.measurement.date.day)
        if one.counts and is_day and one.measurement.trait is Trait.MASS and one.day <= today.toordinal():
            by_year.setdefault(one.measurement.date.year, []).append(one)
    for found in by_year.values():
        if found[-1].day - found[0].day >= LEAST_DAYS:
            yield found[0], found[-1]


def _prey_g(meal: Event) -> float | None:
    if meal.value is None or meal.value <= 0:
        return None
    size = MASS_IN_G.get(meal.unit or "g")
    return None if size is None else meal.value * size
