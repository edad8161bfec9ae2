"""A small invented collection: a line founder, his daughters and their young, weighed now and then."""

from __future__ import annotations

import datetime as dt

import numpy as np

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.collection.model import (
    Animal,
    Candidate,
    Clutch,
    Egg,
    LineClaim,
    Measurement,
    PartialDate,
    Records,
    Sex,
    Trait,
)
from holdback.size.counting import readings_of
from holdback.size.growth.data import GrowthData, growth_data
from holdback.species import load

LINE = "Marrowfen"
PARENTS: dict[str, tuple[str, str] | None] = {
    "S": None,
    "D": None,
    "E": None,
    "A": ("S", "D"),
    "B": ("S", "D"),
    "C": ("S", "E"),
    "F": ("S", "A"),
    "G": ("S", "A"),
    "H": ("B", "C"),
}
BORN = {"S": 2010, "D": 2010, "E": 2011, "A": 2014, "B": 2014, "C": 2014, "F": 2018, "G": 2018, "H": 2018}
MALES = {"S", "B", "F"}


def records(*, doubtful: bool = False) -> Records:
    """The collection; `doubtful` gives the clutch of F and G a second candidate sire."""
    random = np.random.default_rng(np.random.SeedSequence(20260514))
    animals, measurements, clutches, eggs = [], [], {}, []
    for number, (name, parents) in enumerate(PARENTS.items()):
        hatched = dt.date(BORN[name], 7, 1 + number)
        clutch = f"{parents[0]}{parents[1]}" if parents else None
        sires: tuple[Candidate, ...] = (Candidate(parents[0]),) if parents else ()
        if doubtful and clutch == "SA":
            sires = (Candidate("S", 0.7), Candidate("B", 0.3))
        if parents and clutch:
            clutches[clutch] = Clutch(clutch, parents[1], sires)
            eggs.append(Egg(clutch, name, 85.0 + number, animal=name))
        animals.append(
            Animal(
                name,
                sex=Sex.MALE if name in MALES else Sex.FEMALE,
                hatched=PartialDate(hatched.year, hatched.month, hatched.day),
                sires=sires,
                dam=parents[1] if parents else None,
                clutch=clutch,
            )
        )
        adult = np.log(1900.0) + random.normal(0, 0.2)
        for days in (0, 90, 400, 900)[: 4 if number % 2 else 2]:
            mass = np.exp(adult - (adult - np.log(62.0)) * np.exp(-1.1 * days / 365.25) + random.normal(0, 0.04))
            day = hatched + dt.timedelta(days=days)
            when = PartialDate(day.year, day.month, day.day)
            measurements.append(Measurement(name, when, Trait.MASS, round(float(mass), 1), "g", "empty"))
    return Records(
        animals=tuple(animals),
        measurements=tuple(measurements),
        clutches=tuple(clutches.values()),
        eggs=tuple(eggs),
        lines=(LineClaim("S", LINE, 1, 1, "invented"), LineClaim("D", LINE, 0, 0, "invented")),
    )


def answers_over(made: Records) -> Answers:
    """Answers over some records."""
    return Answers(Collection.from_records(made), load())


def data_of(answers: Answers) -> GrowthData:
    """Arrays of some answers."""
    readings = readings_of(answers.collection, answers.catalogue)
    return growth_data(
        answers.collection, answers.descent.pedigree, answers.sizes.line_shares, readings, answers.catalogue
    )
