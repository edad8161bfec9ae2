"""B5 and B6: sizes of the demo and of a large collection evaluated, from records to what is said of every animal."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

import generator
import measuring
import numpy as np
import whole_collection

from holdback.answers import Answers
from holdback.answers.size import Sizes
from holdback.collection.collection import Collection
from holdback.collection.model import Clutch, LineClaim, Measurement, PartialDate, Records, Sex, Trait
from holdback.demo_data import folder
from holdback.species import load

EFFECT, BREEDING_SD, OWN_SD, WEIGHT_SD = 0.3, 0.1, 0.12, 0.04
ADULT = {Sex.FEMALE: 1900.0, Sex.MALE: 1250.0}
AGES = (0, 60, 180, 365, 730, 1100, 1460)
"""Days after hatching of the weights of a grown animal; others have the first two."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """Both cases."""
    yield _evaluated("B5", Collection.from_folder(folder() / "collection"), limit=1.0, runs=5)
    yield _evaluated("B6", weighed(1000 if short else 10_000), limit=10.0, runs=1)


def _evaluated(case: str, collection: Collection, *, limit: float, runs: int) -> measuring.Measured:
    """Sizes with the pedigree and shares at hand; refused where the fit did not settle."""
    answers = Answers(collection, load())
    for line in answers.descent.lines:
        _ = answers.descent.share_means(line)
    seconds = []
    for _ in range(runs):
        start = time.perf_counter()
        found = Sizes(collection, answers.descent, answers.catalogue).evaluation
        said = [found.animals[one].deviation for one in collection.animals]
        seconds.append(time.perf_counter() - start)
        if not found.settled or not all(np.isfinite(one.mean) for one in said):
            raise measuring.WrongError(f"{case}: the fit did not settle")
    what = f"sizes of {len(collection.animals)} animals, {len(collection.records.measurements)} readings"
    return measuring.alone(case, what, seconds, limit=limit)


def weighed(animals: int) -> Collection:
    """About so many animals bred in lines, every fourth of them grown; the first founder begins a large line."""
    records = whole_collection.lines(animals)
    random = generator.rng("weights")
    place = {one.id: number for number, one in enumerate(records.animals)}
    value, share, born = (np.zeros(len(place)) for _ in range(3))
    readings: list[Measurement] = []
    people = []
    claims = []
    for number, one in enumerate(records.animals):
        parents = [place[parent] for parent in (one.sire, one.dam) if parent]
        if parents:
            value[number] = value[parents].mean() + random.normal(0, BREEDING_SD * 0.5**0.5)
            share[number], born[number] = share[parents].mean(), born[parents].max() + 2
        else:
            value[number] = random.normal(0, BREEDING_SD)
            share[number] = float(number % 5 == 0)
            if share[number]:
                claims.append(LineClaim(one.id, "Marrowfen", 1, 1, "invented"))
        hatched = dt.date(1990, 7, 1) + dt.timedelta(days=int(365 * born[number]))
        people.append(replace(one, genes="", hatched=PartialDate(hatched.year, hatched.month, hatched.day)))
        adult = np.log(ADULT[one.sex]) + EFFECT * share[number] + value[number] + random.normal(0, OWN_SD)
        readings += _weights(one.id, hatched, adult, AGES if number % 4 == 0 else AGES[:2], random)
    nests = tuple(Clutch(one.id, one.dam, one.sires) for one in records.clutches)
    return Collection.from_records(
        Records(animals=tuple(people), clutches=nests, measurements=tuple(readings), lines=tuple(claims))
    )


def _weights(
    animal: str, hatched: dt.date, adult: float, days: Sequence[int], random: np.random.Generator
) -> Iterator[Measurement]:
    """Weights of one animal on a Gompertz curve."""
    rate = np.exp(random.normal(0.1, 0.12))
    start = np.log(62) + random.normal(0, 0.08)
    for day in days:
        when = hatched + dt.timedelta(days=day)
        mass = np.exp(adult - (adult - start) * np.exp(-rate * day / 365.25) + random.normal(0, WEIGHT_SD))
        yield Measurement(
            animal, PartialDate(when.year, when.month, when.day), Trait.MASS, round(float(mass), 1), "g", "empty"
        )
