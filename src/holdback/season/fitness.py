"""Who may breed now, and every reason for and against it.

A verdict is that of the gravest reason. What is not known is said and asked for; it never counts as good or bad.
Fasts are no reason, mass is. Welfare of genes is told elsewhere.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Sex
from holdback.season.fit_female import female_reasons
from holdback.season.fit_male import Turn, male_reasons, turns_of
from holdback.season.keeping import Keeping
from holdback.season.outlook import Cycle, Fitness, Reason, Verdict
from holdback.size.readings import Readings
from holdback.species.catalogue import Catalogue

NEAR_SHARE = 0.8
"""Part of the least mass, or age where no mass is known, from which an animal is near-grown, and told of."""

GRAVITY = (Verdict.STOP, Verdict.REST, Verdict.NOT_YET, Verdict.ASK, Verdict.MAY)
"""Verdicts, gravest first."""


def fitness(
    collection: Collection,
    cycles: Mapping[str, Cycle],
    *,
    today: dt.date,
    catalogue: Catalogue,
    readings: Readings | None = None,
) -> tuple[Fitness, ...]:
    """Whether each grown or near-grown animal that is here may breed, in the order of the collection.

    Parameters
    ----------
    collection : Collection
        Records.
    cycles : mapping of str to Cycle
        What is on record of each female in the season, by her id.
    today : date
        Nothing recorded after it is used.
    catalogue : Catalogue
        Species: least masses and ages, rest, load, alarms.
    readings : Readings, optional
        Of the collection, where they are at hand.

    Returns
    -------
    tuple of Fitness
        Males and females; animals of unknown sex, and young far from grown, are left out.
    """
    keeping = Keeping(collection, catalogue, today, readings)
    turns: dict[str, list[Turn]] = defaultdict(list)
    for sire, turn in turns_of(cycles, today):
        turns[sire].append(turn)
    return tuple(
        _fitness(animal, cycles.get(animal.id), turns.get(animal.id, []), keeping)
        for animal in keeping.here
        if animal.sex is not Sex.UNKNOWN and _is_near_grown(animal, keeping, bool(turns.get(animal.id)))
    )


def _fitness(animal: Animal, cycle: Cycle | None, turns: list[Turn], keeping: Keeping) -> Fitness:
    if animal.sex is Sex.FEMALE:
        reasons = female_reasons(animal, cycle, keeping)
        load = 0
    else:
        reasons = male_reasons(animal, turns, keeping)
        load = len({turn.dam for turn in turns})
    ordered = tuple(sorted(reasons, key=_gravity))
    trend = keeping.trend(animal.id)
    return Fitness(
        animal.id,
        ordered[0].verdict if ordered else Verdict.ASK,
        ordered,
        trend.mass_g if trend else None,
        trend.change_percent if trend else None,
        load,
    )


def _gravity(reason: Reason) -> int:
    return GRAVITY.index(reason.verdict)


def _is_near_grown(animal: Animal, keeping: Keeping, was_used: bool) -> bool:
    """Whether an animal is worth a verdict: by mass, age or use, or because nothing tells either way."""
    if was_used or keeping.last_laid(animal.id) is not None:
        return True
    numbers = keeping.catalogue.reproduction
    is_female = animal.sex is Sex.FEMALE
    mass = numbers.get("female_breeding_mass_g" if is_female else "male_breeding_mass_g")
    age = numbers.get("female_breeding_age_years" if is_female else "male_breeding_age_months")
    months = keeping.age_months(animal.id)
    trend = keeping.trend(animal.id)
    if (trend is None and months is None) or (mass is None and age is None):
        return True
    if trend is not None and mass is not None and trend.mass_g.mean >= NEAR_SHARE * mass.low:
        return True
    # Of a known mass that is far off, only full age makes a case; where no mass is known, age alone has to tell.
    wanted = age.value if age and trend else NEAR_SHARE * age.low if age else 0.0
    return months is not None and age is not None and months[0] >= wanted * (12.0 if is_female else 1.0)
