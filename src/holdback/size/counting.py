"""Every reading with whether it counts for size, at what age, and what has to be asked."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from holdback.collection.collection import Collection
from holdback.collection.model import Measurement, PartialDate, Trait
from holdback.collection.units import in_base_unit
from holdback.size.ages import egg_masses, hatch_days
from holdback.size.laying import MOST_SWAY, Laying, Windows, layings_of
from holdback.size.meals import is_fed, meals_of
from holdback.size.plausible import Usual
from holdback.size.readings import HatchDay, Question, Reading, Readings
from holdback.size.rearing import rearing_of
from holdback.size.shape import Shape
from holdback.size.slips import Known, questions_about
from holdback.size.state import AFTER_LAYING, EMPTY, FED, GRAVID, state_of
from holdback.species.catalogue import Catalogue

ASKED = "asked about"
"""Why a reading that looks like a slip does not count."""

GROWN_SHARE = 0.8
"""Part of the least mass to breed from which a female may have eggs in her."""

YOUNG_DAYS = 365.0
"""Under this age a weight needs its day: half a month is a fifth of a hatchling's mass."""


@dataclass(frozen=True)
class _Circumstances:
    """What bears on whether a weight counts.

    Parameters
    ----------
    windows : Windows
        Days before and after laying.
    empty_after_days : float
        Days that a meal takes.
    layings, meals : mapping
        By animal.
    hatched : mapping of str to HatchDay
        By animal.
    """

    windows: Windows
    empty_after_days: float
    layings: Mapping[str, Sequence[Laying]]
    meals: Mapping[str, Sequence[int]]
    hatched: Mapping[str, HatchDay]


def readings_of(collection: Collection, catalogue: Catalogue) -> Readings:
    """All readings of a collection with whether they count.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        For the days around laying and after a meal.

    Returns
    -------
    Readings
        A weight does not count where it was coded as gravid, after laying, in shed or fed; where nothing was coded and
        it fell near a laying or a meal; or where its day is not known well enough.
    """
    hatched = hatch_days(collection, catalogue)
    around = _Circumstances(
        Windows.of(catalogue),
        catalogue.size["empty_after_meal_days"].value,
        layings_of(collection, catalogue),
        meals_of(collection),
        hatched,
    )
    by_animal: dict[str, list[Reading]] = {}
    for one in collection.records.measurements:
        by_animal.setdefault(one.animal, []).append(_reading(one, around))
    known = Known(
        collection.animals,
        hatched,
        Usual.of(catalogue),
        Shape.of(catalogue),
        grown_mass(catalogue),
        lambda one: _sway(one, around),
    )
    questions: list[Question] = []
    return Readings(
        {animal: _asked(animal, found, known, questions) for animal, found in by_animal.items()},
        hatched,
        egg_masses(collection),
        rearing_of(collection, hatched),
        tuple(questions),
    )


def grown_mass(catalogue: Catalogue) -> float:
    """Mass in gram from which a female may have eggs in her, without limit where the species file does not say."""
    least = catalogue.reproduction.get("female_breeding_mass_g")
    return GROWN_SHARE * least.low if least else math.inf


def _asked(animal: str, found: list[Reading], known: Known, questions: list[Question]) -> tuple[Reading, ...]:
    """Readings of an animal, oldest first, those left out that are asked about; the questions are added."""
    found.sort(key=lambda one: one.day)
    asked = questions_about(animal, found, known)
    for place in sorted(asked):
        questions.append(asked[place])
        found[place] = replace(found[place], left_out=ASKED)
    return tuple(found)


def _sway(one: Reading, around: _Circumstances) -> tuple[float, float] | None:
    """How far eggs or laying may have moved a weight; None where nothing is written of either."""
    layings = around.layings.get(one.measurement.animal)
    if one.left_out in (GRAVID, AFTER_LAYING):
        down, up = around.windows.sway_on(one.day, layings or ())
        return (min(down, MOST_SWAY[0]), up) if one.left_out == AFTER_LAYING else (down, max(up, MOST_SWAY[1]))
    return around.windows.sway_on(one.day, layings) if layings else None


def _reading(one: Measurement, around: _Circumstances) -> Reading:
    day = middle_of(one.date)
    left_out = _why_left_out(one, day, around) if one.trait is Trait.MASS else ""
    return Reading(one, in_base_unit(one), day, left_out)


def _why_left_out(one: Measurement, day: float, around: _Circumstances) -> str:
    """Why a weight does not count; empty where it does."""
    state = state_of(one.condition)
    if state not in ("", EMPTY):
        return state
    if not one.date.month:
        return "date known to the year only"
    if not one.date.day and one.animal in around.hatched and day - around.hatched[one.animal].middle < YOUNG_DAYS:
        return "day not known"
    if (layings := around.layings.get(one.animal)) and (found := around.windows.state_on(day, state, layings)):
        return found
    if state != EMPTY and (meals := around.meals.get(one.animal)) and is_fed(day, meals, around.empty_after_days):
        return FED
    return ""


def middle_of(date: PartialDate) -> float:
    """Ordinal day, the middle of a date known to the month or year."""
    earliest = date.earliest.toordinal()
    return float(earliest) if date.day else (earliest + date.latest.toordinal()) / 2
