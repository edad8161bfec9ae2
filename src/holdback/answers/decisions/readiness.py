"""From which season on an animal may have young, and how many seasons a hatchling needs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from holdback.collection.model import Animal, Sex
from holdback.decisions.stock import NEVER
from holdback.season.by_season import season_of
from holdback.season.outlook import Fitness, Verdict
from holdback.size.evaluation import SizeEvaluation
from holdback.species.catalogue import Catalogue

DAYS_PER_YEAR = 365.25
DAYS_PER_MONTH = DAYS_PER_YEAR / 12
_LATEST_PAIRING, _HATCHED = 76.0, 167.0
"""Days of the year that stand in where a species file says nothing of its season (17 March, 16 June)."""
MOST_SEASONS = 13
"""Seasons looked ahead."""
_PASSES = frozenset({"rests", "since clutch", "regained", "condition", "load", "rest days"})
"""Rules that the time until the next season is held to settle."""
_GROWS = frozenset({"mass", "age"})
"""Rules that growing up settles."""


def latest_pairing(year: int, catalogue: Catalogue) -> dt.date:
    """Last day on which a pair put together is still expected to lay in a season.

    Parameters
    ----------
    year : int
        Season, by the year of laying.
    catalogue : Catalogue
        Species: the latest of nine in ten laying days, and the usual time from pairing to laying.
    """
    values = catalogue.reproduction
    day = _LATEST_PAIRING
    if "laying_day_of_year" in values and "laying_after_pairing_days" in values:
        day = values["laying_day_of_year"].high - values["laying_after_pairing_days"].value
    return dt.date(year, 1, 1) + dt.timedelta(days=round(day) - 1)


def next_open(on: dt.date, catalogue: Catalogue) -> int:
    """First season for which a pair can still be put together on a day."""
    year = season_of(on, catalogue)
    return year if on <= latest_pairing(year, catalogue) else year + 1


def matures(sex: Sex, catalogue: Catalogue) -> int:
    """Seasons from hatching to the first own young of an animal that grows as usual.

    By dates: hatched at the usual time, it must have its breeding age by the last usual pairing day.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> matures(Sex.MALE, load()), matures(Sex.FEMALE, load())
    (2, 4)
    """
    values = catalogue.reproduction
    hatched = _HATCHED
    if "laying_day_of_year" in values and "incubation_days" in values:
        hatched = values["laying_day_of_year"].value + values["incubation_days"].value
    last = (latest_pairing(2001, catalogue) - dt.date(2001, 1, 1)).days + 1
    years = _breeding_years(sex, catalogue)
    return max(1, int(np.ceil(years - (last - hatched) / DAYS_PER_YEAR - 1e-9)))


def _breeding_years(sex: Sex, catalogue: Catalogue, *, is_least: bool = False) -> float:
    """Age at which one breeds, in years; the least of the usual range for one that has its weight early."""
    if sex is Sex.MALE:
        value = catalogue.reproduction.get("male_breeding_age_months")
        return (value.low if is_least else value.value) / 12 if value else 1.0
    value = catalogue.reproduction.get("female_breeding_age_years")
    return (value.low if is_least else value.value) if value else 3.0


@dataclass(frozen=True, eq=False)
class Readiness:
    """Who may have young from which season on.

    Parameters
    ----------
    on : date
        The day that it is asked on.
    catalogue : Catalogue
        Species.
    fitness : mapping of str to Fitness
        Verdicts of the day, by animal.
    sizes : SizeEvaluation or None
        For the age at which a young animal has its breeding mass; without it age alone tells.
    """

    on: dt.date
    catalogue: Catalogue
    fitness: Mapping[str, Fitness]
    sizes: SizeEvaluation | None = None

    @property
    def year(self) -> int:
        """Season of the day, which is season 0."""
        return season_of(self.on, self.catalogue)

    @property
    def open_from(self) -> int:
        """First season, from 0, for which a pair can still be put together."""
        return next_open(self.on, self.catalogue) - self.year

    def of(self, animal: Animal) -> tuple[int, str]:
        """First season from 0 in which an animal may have young, and why not earlier; empty where nothing speaks.

        Notes
        -----
        What passes by itself (rest after a clutch, condition) is held to be over by the next season; a sign that wants
        a vet keeps it out of that season too; a welfare reason keeps it out for good.
        """
        verdict = self.fitness.get(animal.id)
        if verdict is None:
            return self._grown_by(animal)
        if verdict.verdict in (Verdict.MAY, Verdict.ASK):
            return self.open_from, ""
        against = [one for one in verdict.reasons if one.verdict not in (Verdict.MAY, Verdict.ASK)]
        why = against[0].text if against else ""
        if any(one.rule == "welfare" and one.verdict is Verdict.STOP for one in against):
            return NEVER, why
        rules = {one.rule for one in against}
        if any(one.verdict is Verdict.STOP for one in against if one.rule not in _PASSES | _GROWS):
            return self.open_from + 1, f"{why} A vet first."
        if rules & _GROWS:
            season, said = self._grown_by(animal)
            return season, why or said
        return max(self.open_from, 1) if rules <= _PASSES else self.open_from + 1, why

    def _grown_by(self, animal: Animal) -> tuple[int, str]:
        """First season by whose last usual pairing day an animal has age and mass."""
        hatched = animal.hatched
        if hatched is None:
            return self.open_from, ""
        born = hatched.earliest + (hatched.latest - hatched.earliest) / 2
        has_mass = self._has_mass(animal)
        for season in range(self.open_from, MOST_SEASONS):
            years = (latest_pairing(self.year + season, self.catalogue) - born).days / DAYS_PER_YEAR
            usual = years >= _breeding_years(animal.sex, self.catalogue)
            early = animal.sex is Sex.FEMALE and years >= _breeding_years(animal.sex, self.catalogue, is_least=True)
            told = has_mass(years * 12) if usual or early else False
            if told or (told is None and usual):
                return season, "" if season == self.open_from else "Not grown yet."
        return NEVER, "Not expected to reach its breeding weight."

    def _has_mass(self, animal: Animal) -> _HasMass:
        key = "male_breeding_mass_g" if animal.sex is Sex.MALE else "female_breeding_mass_g"
        value = self.catalogue.reproduction.get(key)
        is_weighed = self.sizes is not None and self.sizes.animals[animal.id].compared is not None
        return _HasMass(animal.id, value.value if value else 0.0, self.sizes if is_weighed and value else None)


@dataclass(frozen=True, eq=False)
class _HasMass:
    """Whether an animal has its breeding mass at an age in months; None where no weight of it counts."""

    animal: str
    least_g: float
    sizes: SizeEvaluation | None

    def __call__(self, months: float) -> bool | None:
        if self.sizes is None:
            return None
        return bool(self.sizes.curves.of(self.animal, [months]).median[0] >= self.least_g)
