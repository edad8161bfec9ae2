"""Hand-made sizes for tests of pages: every number is set here, none is fitted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from holdback.answers.size.responses import Cohort, LineResponse
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import PartialDate, Sex, Trait
from holdback.size.confounding import Design
from holdback.size.evaluation import (
    AnimalSize,
    Compared,
    Hatchling,
    LineEffect,
    Sharpening,
    SizeEvaluation,
    Variances,
)
from holdback.size.growth.curves_of import FloatArray, Range, YoungSize
from holdback.size.readings import HatchDay, Question, Reading, Readings
from holdback.size.response import Chosen, Expected, Realised

MONTH_DAYS = 30.436875
ADULT = {Sex.FEMALE: 1800.0, Sex.MALE: 1300.0, Sex.UNKNOWN: 1550.0}
COUNTED = frozenset({"", "empty"})


def percent(mean: float, spread: float, basis: Basis = Basis.BY_DESCENT, ground: str = "") -> Estimate:
    """Deviation with a 90 % range of so many percent to either side on the log scale."""
    factor = 1 + mean / 100
    low, high = 100 * (factor / (1 + spread / 100) - 1), 100 * (factor * (1 + spread / 100) - 1)
    return Estimate(mean, low, high, "%", basis, ground)


@dataclass
class Curves:
    """Curves that rise from 65 g to an adult mass, one factor an animal."""

    factors: Mapping[str, float]
    sexes: Mapping[str, Sex]
    hatched: Mapping[str, float]

    def of(self, animal: str, age_months: Sequence[float] | FloatArray) -> Range:
        return self._range(self.sexes[animal], self.factors[animal], 0.08, age_months)

    def ordinary(self, sex: Sex, age_months: Sequence[float] | FloatArray) -> Range:
        return self._range(sex, 1.0, 0.25, age_months)

    def age_at(self, animal: str, day: float) -> float:
        return (day - self.hatched.get(animal, day)) / MONTH_DAYS

    def young(self, sire: str, dam: str) -> YoungSize:
        mean = 50 * (self.factors[sire] + self.factors[dam]) - 100
        return YoungSize(
            percent(mean, 9.0),
            percent(mean, 26.0),
            Estimate(18 * (100 + mean), 14 * (100 + mean), 23 * (100 + mean), "g", Basis.BY_DESCENT),
            Estimate(13 * (100 + mean), 10 * (100 + mean), 16 * (100 + mean), "g", Basis.BY_DESCENT),
        )

    def _range(self, sex: Sex, factor: float, spread: float, ages: Sequence[float] | FloatArray) -> Range:
        months = np.asarray(ages, dtype=np.float64)
        adult = ADULT[sex] * factor
        middle = adult * (65 / adult) ** np.exp(-months / 11)
        return Range(months, middle * (1 - spread), middle, middle * (1 + spread))


@dataclass
class Example:
    """What the evaluation is to say, by animal; the rest is filled in."""

    deviations: Mapping[str, float]
    spread: float = 20.0
    misfits: Mapping[str, str] = field(default_factory=dict)
    questions: tuple[Question, ...] = ()
    settled: bool = True


def evaluation_of(collection: Collection, example: Example) -> SizeEvaluation:
    """Evaluation of a collection that says what the example sets; animals it does not name are ordinary."""
    readings = _readings(collection, example.questions)
    factors = {one: 1 + example.deviations.get(one, 0.0) / 100 for one in collection.animals}
    curves = Curves(
        factors,
        {one: animal.sex for one, animal in collection.animals.items()},
        {one: day.middle for one, day in readings.hatched.items()},
    )
    animals = {one: _size(collection, one, example, readings, curves) for one in collection.animals}
    lines = {one: _line(one) for one in dict.fromkeys(claim.line for claim in collection.records.lines)}
    clutches = {clutch.id: _hatchlings(collection, clutch.id, animals) for clutch in collection.records.clutches}
    return SizeEvaluation(
        animals,
        lines,
        Variances(Estimate(0.35, 0.15, 0.6, "", Basis.ASSUMED, "h"), 0.16, 0.08, 0.05, 0.15, 0.05, 0.1, True),
        readings,
        curves,
        ("Kin are alike by half of what is assumed of heritability.",),
        example.settled,
        clutches,
    )


def _readings(collection: Collection, questions: tuple[Question, ...]) -> Readings:
    by_animal: dict[str, list[Reading]] = {}
    asked = {(one.animal, one.date) for one in questions}
    for one in collection.records.measurements:
        reason = "" if one.condition in COUNTED else one.condition
        reason = "asked about" if (one.animal, one.date) in asked else reason
        by_animal.setdefault(one.animal, []).append(Reading(one, one.value, _middle(one.date), reason))
    hatched = {
        one: HatchDay(animal.hatched.earliest.toordinal(), animal.hatched.latest.toordinal(), "hatch date")
        for one, animal in collection.animals.items()
        if animal.hatched
    }
    return Readings({one: tuple(found) for one, found in by_animal.items()}, hatched, {}, {}, questions)


def _middle(date: PartialDate) -> float:
    return (date.earliest.toordinal() + date.latest.toordinal()) / 2


def _size(collection: Collection, animal: str, example: Example, readings: Readings, curves: Curves) -> AnimalSize:
    sex = collection.animals[animal].sex
    weights = [one for one in readings.by_animal.get(animal, ()) if one.measurement.trait is Trait.MASS]
    counted = [one for one in weights if one.counts]
    deviation = percent(example.deviations.get(animal, 0.0), example.spread, ground="Its weights and its kin.")
    adult = ADULT[sex] * (1 + deviation.mean / 100)
    is_compared = bool(counted) and animal in readings.hatched
    note = example.misfits.get(animal, "")
    return AnimalSize(
        animal,
        sex,
        len(counted),
        len(weights) - len(counted),
        _compared(sex, counted[-1], curves, animal) if is_compared else None,
        Estimate(adult, 0.8 * adult, 1.25 * adult, "g", Basis.BY_DESCENT, "Its own curve."),
        False,
        deviation,
        percent(2.0, 8.0, ground="Its first weight."),
        percent(deviation.mean / 2, 15.0, ground="Takes heritability 0.35: assumed."),
        percent(deviation.mean / 4, 15.0),
        0.41 if counted else 0.15,
        not note,
        note,
        (Sharpening("weigh it empty at two years", 22.0, 9.0, 0.41, 0.52),) if counted else (),
    )


def _compared(sex: Sex, last: Reading, curves: Curves, animal: str) -> Compared:
    months = curves.age_at(animal, last.day)
    ordinary = curves.ordinary(sex, [months])
    return Compared(
        Estimate(93.4, 85.0, 98.2, "%", Basis.MEASURED),
        months,
        last.measurement.date,
        last.value,
        float(ordinary.low[0]),
        float(ordinary.median[0]),
        float(ordinary.high[0]),
        f"{sex.value}s of {months:.0f} months: 31 of yours and the usual figures",
    )


def _line(name: str) -> LineEffect:
    return LineEffect(
        name,
        percent(22.0, 14.0, ground="Weights of 12 animals of the line."),
        percent(17.0, 10.0, ground="These founders against the others here."),
        0.94,
        percent(3.0, 6.0, Basis.MEASURED),
        1,
        12,
        False,
        ("Only 1 founder of the line has weighed descendants: under four, line and animal cannot be told apart.",),
        Design(
            "room",
            (("Room 2", 9, 0.6), ("Room 1", 5, 0.0)),
            False,
            0.12,
            "Share and room nearly coincide.",
            ("Move three half-line young from Room 2 to Room 1.",),
        ),
    )


def response_of(collection: Collection, line: str) -> LineResponse:
    """What is said of the change in a line: two hatch years with a rise of 2 % a year, and a plan."""
    made = [one.hatched.year for one in collection.animals.values() if one.hatched and (one.dam or one.sires)]
    years = sorted(set(made))
    cohorts = tuple(
        Cohort(year, made.count(year), 0.5, percent(6.0 + 10 * number, 5.0)) for number, year in enumerate(years)
    )
    per_year = percent(2.0, 1.0)
    rose = Realised(per_year, 0.02, 0.006, 0.99, "Breeding values rose from year to year.")
    expected = Expected(percent(9.0, 8.0, Basis.ASSUMED), percent(2.0, 2.0, Basis.ASSUMED), 1.4, 1.5, 4.5, 0.04, 0.97)
    is_told = len(cohorts) > 1
    return LineResponse(
        line,
        cohorts,
        rose if is_told else None,
        rose if is_told else None,
        expected,
        (Chosen(8, 1, 0.4, 4.5), Chosen(10, 1, 0.4, 4.5)),
        None,
        (rose.said if is_told else "Fewer than two years.", "Keeping the best 1 of 8 males and 1 of 10 females."),
        ("Candidates count as unrelated.",),
    )


def _hatchlings(collection: Collection, clutch: str, animals: Mapping[str, AnimalSize]) -> tuple[Hatchling, ...]:
    young = [one.id for one in collection.animals.values() if one.clutch == clutch]
    return tuple(
        Hatchling(
            one, f"{clutch}-{index}", 80.0 + index, 60.0 + index, animals[one].hatching, animals[one].adult_mass_g,
            animals[one].deviation, 1 / len(young),
        )
        for index, one in enumerate(young, start=1)
    )  # fmt: skip


def question(animal: str, date: str, typed: str, message: str, perhaps: str = "") -> Question:
    """A reading that is asked about."""
    when = PartialDate.parse(date)
    assert when is not None
    return Question("SIZ-003", animal, when, Trait.MASS, typed, message, perhaps)
