"""Records of each female, put in the season they belong to.

A season is named by the year of laying. A date known to the year only belongs to the season of that year.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import (
    LAID,
    LOCK,
    NEST_BOX,
    OVULATION,
    PRELAY_SHED,
    RESTS,
    SHED,
    ULTRASOUND,
    kind_of,
)
from holdback.collection.model import Clutch, Event, Mating, PartialDate, Sex
from holdback.species.catalogue import Catalogue

STARTS_MONTH = 10
"""First month of a season where the species file states none (common practice, no source)."""

IN_EGG_DAYS = 57.0
"""Days in the egg where the species file states none (common practice, no source)."""

_BEFORE_LAYING = re.compile(r"\bpre-?\s?lay")
_KINDS = frozenset({LAID, LOCK, NEST_BOX, OVULATION, PRELAY_SHED, RESTS, ULTRASOUND})


@dataclass(frozen=True, slots=True)
class SeasonRecords:
    """What is on record of one female in one season, as recorded.

    Parameters
    ----------
    matings : list of Mating
        Matings with at least one date.
    events : list of tuple of str and Event
        Kind and event, of the kinds that a cycle is made of.
    clutches : list of Clutch
        Clutches with a day, month or year.
    """

    matings: list[Mating] = field(default_factory=list)
    events: list[tuple[str, Event]] = field(default_factory=list)
    clutches: list[Clutch] = field(default_factory=list)


def season_of(day: dt.date, catalogue: Catalogue) -> int:
    """Season that a day belongs to: the year in which those lay that are paired then.

    Parameters
    ----------
    day : date
        A day.
    catalogue : Catalogue
        For the first month of a season (``season_starts_month``).
    """
    starts = starts_month(catalogue)
    return day.year + 1 if starts > 1 and day.month >= starts else day.year


def starts_month(catalogue: Catalogue) -> int:
    """First month of a season, 1 to 12."""
    value = catalogue.reproduction.get("season_starts_month")
    return round(value.value) if value else STARTS_MONTH


def first_day(season: int, catalogue: Catalogue) -> dt.date:
    """First day of a season."""
    starts = starts_month(catalogue)
    return dt.date(season - 1 if starts > 1 else season, starts, 1)


def laid_about(collection: Collection, clutch: Clutch, catalogue: Catalogue) -> PartialDate | None:
    """Day, month or year that a clutch was laid, from its hatching or its young where nobody wrote it; None if untold.

    Parameters
    ----------
    collection : Collection
        Records.
    clutch : Clutch
        One of its clutches.
    catalogue : Catalogue
        For the days in the egg; a day that follows from hatching is given to the month.
    """
    if clutch.laid is not None:
        return clutch.laid
    young = (one.hatched for one in collection.clutch_mates(clutch.id) if one.hatched is not None)
    hatched = clutch.hatched or min(young, default=None)
    if hatched is None or not hatched.month:
        return hatched
    value = catalogue.reproduction.get("incubation_days")
    laid = hatched.earliest - dt.timedelta(days=round(value.value if value else IN_EGG_DAYS))
    return PartialDate(laid.year, laid.month)


def records_by_season(
    collection: Collection, catalogue: Catalogue, *, before: dt.date
) -> Mapping[tuple[str, int], SeasonRecords]:
    """Records by female and season.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        Species.
    before : date
        What began on this day or later is not known yet.
    """
    found: dict[tuple[str, int], SeasonRecords] = defaultdict(SeasonRecords)

    def key(dam: str, date: PartialDate) -> tuple[str, int]:
        return dam, season_of(date.earliest, catalogue) if date.month else date.year

    for mating in collection.records.matings:
        date = mating.together or mating.apart
        if date is not None and date.earliest < before:
            found[key(mating.dam, date)].matings.append(mating)
    kinds: dict[str, str] = {}
    for event in collection.records.events:
        kind = kinds.get(event.kind) or kinds.setdefault(event.kind, kind_of(event.kind))
        if kind == SHED and _BEFORE_LAYING.search(event.note.casefold()):
            kind = PRELAY_SHED
        if kind not in _KINDS or event.date.earliest >= before or not is_female(collection, event.animal):
            continue
        first, last = key(event.animal, event.date), key(event.animal, _last_of(kind, event))
        for season in range(first[1], last[1] + 1):
            found[event.animal, season].events.append((kind, event))
    for clutch in collection.records.clutches:
        laid = laid_about(collection, clutch, catalogue)
        if clutch.dam is not None and laid is not None and laid.earliest < before:
            found[key(clutch.dam, laid)].clutches.append(clutch)
    return found


def is_female(collection: Collection, animal_id: str) -> bool:
    """Whether an animal is a female, or of unknown sex with a mating or a clutch as a dam."""
    animal = collection.animals.get(animal_id)
    if animal is None or animal.sex is not Sex.UNKNOWN:
        return animal is not None and animal.sex is Sex.FEMALE
    return any(mating.dam == animal_id for mating in collection.matings_of(animal_id)) or any(
        young.dam == animal_id for young in collection.offspring(animal_id)
    )


def _last_of(kind: str, event: Event) -> PartialDate:
    """Date of the last season that an event tells of: a rest may last."""
    return event.until if kind == RESTS and event.until is not None else event.date
