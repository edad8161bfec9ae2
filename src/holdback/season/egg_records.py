"""Clutches as far as their eggs were counted: sizes, slugs, losses."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.model import Clutch, EggOutcome, EggState, PartialDate, Trait
from holdback.collection.units import in_base_unit
from holdback.season.by_season import laid_about
from holdback.season.clutch_sizes import SizeRecord
from holdback.species.catalogue import Catalogue

OVER_DAYS = 90
"""Days after laying when an egg that has not hatched will not (common practice, no source)."""

MASS_DAYS = 240
"""Days before laying whose weights tell how big she is."""

FIRST_BY_YEARS = 5.0
"""A dam without a clutch on record that is younger has not laid before (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Counted:
    """One clutch: its size; slugs (None is not counted); good eggs that hatched and that are known to the end."""

    size: SizeRecord
    slugs: int | None
    hatched: int
    ended: int
    loss_days: tuple[int, ...]


def counted_clutches(collection: Collection, catalogue: Catalogue, *, before: dt.date) -> Iterator[Counted]:
    """Clutches laid before a day whose eggs were counted; those set aside are left out."""
    layings = first_layings(collection, catalogue)
    for clutch in collection.records.clutches:
        laid = laid_about(collection, clutch, catalogue)
        n_eggs = eggs_laid(collection, clutch)
        if laid is None or laid.earliest >= before or n_eggs < 1 or clutch.set_aside or clutch.dam is None:
            continue
        day = laid.earliest
        first = first_chance(collection, clutch.dam, layings, before=day)
        size = SizeRecord(clutch.dam, n_eggs, mass_before(collection, clutch.dam, day), first)
        is_over = (clutch.hatched or laid).latest + dt.timedelta(days=0 if clutch.hatched else OVER_DAYS) < before
        yield Counted(size, slugs_of(collection, clutch), *(_ends(collection, clutch) if is_over else (0, 0, ())))


def first_out(collection: Collection, clutch: Clutch) -> PartialDate | None:
    """When the first young of a clutch came out: as written, else by its eggs, looks and young; None if untold."""
    if clutch.hatched is not None:
        return clutch.hatched
    eggs, looks = collection.eggs_of(clutch.id), collection.looks_at(clutch.id)
    dates = [egg.ended for egg in eggs if egg.outcome is EggOutcome.HATCHED]
    dates += [look.date for look in looks if look.state is EggState.OUT]
    dates += [one.hatched for one in collection.clutch_mates(clutch.id)]
    return min((date for date in dates if date is not None), default=None)


def eggs_laid(collection: Collection, clutch: Clutch) -> int:
    """Eggs of a clutch, slugs among them: the larger of what is written and of the eggs listed; 0 is not counted."""
    return max(clutch.eggs or 0, len(collection.eggs_of(clutch.id)))


def slugs_of(collection: Collection, clutch: Clutch) -> int | None:
    """Slugs of a clutch: the larger of what is written of it and of the eggs listed; None where nobody counted."""
    eggs = collection.eggs_of(clutch.id)
    listed = sum(egg.outcome is EggOutcome.SLUG for egg in eggs)
    if clutch.slugs is None and not listed:
        return None
    return max(clutch.slugs or 0, listed)


def _ends(collection: Collection, clutch: Clutch) -> tuple[int, int, tuple[int, ...]]:
    """Good eggs that hatched, those known to the end, and days after laying of those lost."""
    eggs = collection.eggs_of(clutch.id)
    died = [egg for egg in eggs if egg.outcome is EggOutcome.DIED]
    hatched = sum(egg.outcome is EggOutcome.HATCHED for egg in eggs)
    laid = clutch.laid
    days = tuple(
        (egg.ended.earliest - laid.earliest).days
        for egg in died
        if laid is not None and laid.day and egg.ended is not None and egg.ended.day and egg.ended >= laid
    )
    return hatched, hatched + len(died), days


def first_chance(collection: Collection, dam: str, layings: Mapping[str, dt.date], *, before: dt.date) -> float:
    """Chance that the next clutch of a dam is her first.

    0 with a clutch on record (`first_layings`), 1 where she was bred here or is young, and a half where she came from
    elsewhere, grown, which is an assumption.
    """
    if dam in layings and layings[dam] < before:
        return 0.0
    animal = collection.animals.get(dam)
    if animal is None:
        return 0.0
    if animal.clutch is not None or animal.dam is not None:
        return 1.0
    if animal.hatched is None:
        return 0.5
    return 1.0 if (before - animal.hatched.earliest).days < 365.25 * FIRST_BY_YEARS else 0.5


def first_layings(collection: Collection, catalogue: Catalogue) -> Mapping[str, dt.date]:
    """Day of the first clutch on record of each dam."""
    found: dict[str, dt.date] = {}
    for clutch in collection.records.clutches:
        laid = laid_about(collection, clutch, catalogue)
        if clutch.dam is not None and laid is not None:
            found[clutch.dam] = min(found.get(clutch.dam, laid.earliest), laid.earliest)
    return found


def mass_before(collection: Collection, dam: str, day: dt.date) -> float | None:
    """Mass in gram in the months before a day: the upper quartile, which a slip or a thin time hardly moves."""
    masses = [
        in_base_unit(one)
        for one in collection.measurements_of(dam)
        if one.trait is Trait.MASS and 0 <= (day - one.date.latest).days <= MASS_DAYS
    ]
    return float(np.quantile(masses, 0.75)) if masses else None
