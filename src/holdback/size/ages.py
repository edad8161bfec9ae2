"""When animals hatched, as far as it is known, and what their eggs weighed."""

from __future__ import annotations

from collections.abc import Iterator

from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Clutch, EggOutcome, Origin, PartialDate
from holdback.size.readings import HatchDay
from holdback.species.catalogue import Catalogue

INCUBATION_DAYS = (50.0, 70.0)
"""Least and most days in the egg where the species file states none (common practice, no source)."""


def hatch_days(collection: Collection, catalogue: Catalogue) -> dict[str, HatchDay]:
    """Day of hatching of each animal for which it is known at least to the year.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        For the days in the egg.

    Returns
    -------
    dict of str to HatchDay
        The animal's own date comes first; its clutch sharpens it where both can be true, and stands in for it where
        it has none. An animal taken from the wild as grown has no day, whatever was guessed of it, nor has
        one that died in the egg.
    """
    incubation = catalogue.reproduction.get("incubation_days")
    least, most = (incubation.low, incubation.high) if incubation else INCUBATION_DAYS
    found = {}
    for animal in collection.animals.values():
        if animal.origin is Origin.WILD_CAUGHT or animal.id in collection.died_in_egg:
            continue
        clutch = collection.clutches[animal.clutch] if animal.clutch else None
        sharpest = _sharpest(list(_grounds(animal, clutch, least, most)))
        if sharpest is not None:
            found[animal.id] = sharpest
    return found


def _grounds(animal: Animal, clutch: Clutch | None, least: float, most: float) -> Iterator[HatchDay]:
    """What the records say, the nearest to the animal first."""
    if animal.hatched is not None:
        yield HatchDay(*span_of(animal.hatched), _OWN[bool(animal.hatched.month), bool(animal.hatched.day)])
        if animal.hatched.day:
            return
    if clutch is not None and clutch.hatched is not None:
        yield HatchDay(*span_of(clutch.hatched), "clutch hatched")
    if clutch is not None and clutch.laid is not None:
        first, last = span_of(clutch.laid)
        yield HatchDay(first + least, last + most, "clutch laid")


_OWN = {(True, True): "hatch date", (True, False): "hatch month", (False, False): "hatch year"}


def _sharpest(grounds: list[HatchDay]) -> HatchDay | None:
    """The narrowest of those that can be true together with the first."""
    if not grounds:
        return None
    first = grounds[0]
    fits = [one for one in grounds if one.earliest <= first.latest and first.earliest <= one.latest]
    best = min(fits, key=lambda one: one.latest - one.earliest)
    return HatchDay(max(best.earliest, first.earliest), min(best.latest, first.latest), best.ground)


def span_of(date: PartialDate) -> tuple[float, float]:
    """First and last ordinal day that a date may mean."""
    earliest = float(date.earliest.toordinal())
    return (earliest, earliest) if date.day else (earliest, float(date.latest.toordinal()))


def egg_masses(collection: Collection) -> dict[str, float]:
    """Mass in gram of the egg, by the animal that hatched from it."""
    hatched = (egg for egg in collection.records.eggs if egg.outcome is not EggOutcome.DIED)
    return {egg.animal: egg.mass_g for egg in hatched if egg.animal and egg.mass_g}
