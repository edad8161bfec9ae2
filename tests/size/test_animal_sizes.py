"""What is said of single animals: how well they are known, by what, and whether their weights follow the curve."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace

import numpy as np
from tests.size.growth.invented import LINE, answers_over, records

from holdback.collection.model import Animal, LineClaim, Measurement, PartialDate, Records, Sex, Trait

BORN = dt.date(2018, 1, 1)


def reading(animal: str, days: int, value: float, trait: Trait = Trait.MASS, condition: str = "") -> Measurement:
    """A reading so many days after hatching, in gram or centimetre."""
    day = BORN + dt.timedelta(days=days)
    unit = "g" if trait is Trait.MASS else "cm"
    return Measurement(animal, PartialDate(day.year, day.month, day.day), trait, value, unit, condition)


def one_female(*readings: Measurement) -> Records:
    """A collection of one animal without kin."""
    return Records(
        animals=(Animal("A", sex=Sex.FEMALE, hatched=PartialDate(2018, 1, 1)),),
        measurements=readings,
    )


def test_reliability__a_doubtful_claim_does_not_make_a_founder_with_young_unknown() -> None:
    claimed = replace(records(), lines=(LineClaim("S", LINE, 0.0, 1.0), LineClaim("E", "Other", 0.0, 1.0)))
    found = answers_over(claimed).sizes.evaluation.animals
    assert found["S"].reliability > 0.1
    assert found["E"].reliability > 0.01


def test_misfit__is_not_found_by_weighing_often() -> None:
    found = []
    for seed in range(6):
        random = np.random.default_rng(np.random.SeedSequence([20260514, seed]))
        weights = []
        for days in range(7, 2800, 9):
            mass = 1800 * (1 - (1 - (65 / 1800) ** (1 / 3)) * math.exp(-0.75 * days / 365.25)) ** 3
            weights.append(reading("A", days, round(mass * math.exp(random.normal(0, 0.04)))))
        found.append(answers_over(one_female(*weights)).sizes.of("A").fits)
    assert sum(found) >= 5


def test_ground__names_what_stands_behind_it() -> None:
    def ground(*readings: Measurement) -> str:
        return answers_over(one_female(*readings)).sizes.of("A").deviation.ground

    assert ground() == "Never weighed: by its lines and sex alone."
    assert ground(reading("A", 800, 1500)) == "Its own 1 weight; no kin is on record."
    assert ground(reading("A", 1200, 2500, condition="gravid")) == "No weight counts: by its lines and sex alone."
    length = reading("A", 1200, 130, Trait.SNOUT_VENT_LENGTH)
    assert ground(length) == "Never weighed: by its lengths, lines and sex."


def test_ground__young_speak_of_a_parent_that_was_never_weighed() -> None:
    given = records()
    unweighed = replace(given, measurements=tuple(one for one in given.measurements if one.animal != "D"))
    assert answers_over(unweighed).sizes.of("D").deviation.ground == "Never weighed: by its kin, lines and sex."
