"""The year of each female, read from matings, events and clutches."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import (
    BORROWED,
    DIED,
    LAID,
    LENT,
    NEST_BOX,
    OVULATION,
    PRELAY_SHED,
    RESTS,
    RETURNED,
    SOLD,
    ULTRASOUND,
    follicle_count,
    kind_of,
)
from holdback.collection.model import Animal, Clutch, EggOutcome, EggState, Event, Mating, PartialDate, Sex, Trait
from holdback.collection.status import is_here
from holdback.collection.units import in_base_unit
from holdback.season.by_season import SeasonRecords, first_day, laid_about, records_by_season, season_of
from holdback.season.outlook import Cycle, Follicle
from holdback.season.pairings import together_of
from holdback.species.catalogue import Catalogue

MOST_FOLLICLE_MM = 80.0
"""A follicle said to be larger is a slip: eggs themselves are not as long (common practice, no source)."""

_BOX_IN = re.compile(r"\bbox\s+(?:is\s+|was\s+|went\s+|put\s+)?in\b")
_MILLIMETRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*mm\b")


def cycles(collection: Collection, season: int, catalogue: Catalogue, *, before: dt.date) -> dict[str, Cycle]:
    """Where every female stands in a season, by her id.

    Parameters
    ----------
    collection : Collection
        Records.
    season : int
        Year of laying.
    catalogue : Catalogue
        Species.
    before : date
        Records of this day or later are not known yet; the day after today for all of them.

    Returns
    -------
    dict of str to Cycle
        Females of which the season holds a record, and every grown female that is here, with an empty cycle where it
        holds none; in the order of the animals.

    Notes
    -----
    A day known to the month or the year makes her paired or laid, but gives no day. An ovulation, a shed or a follicle
    without a day is left out.
    """
    found = records_by_season(collection, catalogue, before=before)
    empty = SeasonRecords()
    return {
        animal.id: _cycle(collection, animal.id, season, found.get((animal.id, season), empty), catalogue, before)
        for animal in collection.animals.values()
        if (animal.id, season) in found or _is_grown_here(collection, animal, catalogue, before)
    }


def past_seasons(collection: Collection, catalogue: Catalogue, before: dt.date) -> list[Cycle]:
    """Every cycle with something on record of the seasons before that of a day, oldest first.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        Species.
    before : date
        Records of this day or later are not known yet.
    """
    this = season_of(before, catalogue)
    found = records_by_season(collection, catalogue, before=before)
    keys = sorted((key for key in found if key[1] < this), key=lambda key: (key[1], key[0]))
    return [_cycle(collection, dam, season, found[dam, season], catalogue, before) for dam, season in keys]


def is_gone(collection: Collection, animal_id: str, before: dt.date) -> bool:
    """Whether an animal is no longer here: by its status, or as it died, was sold or went back to its owner.

    Parameters
    ----------
    collection : Collection
        Records.
    animal_id : str
        One of its animals.
    before : date
        Events of this day or later are not known yet.
    """
    if not is_here(collection.animals[animal_id].status):
        return True
    kinds = [kind_of(event.kind) for event in collection.events_of(animal_id) if event.date.earliest < before]
    loans = [kind for kind in kinds if kind in (LENT, BORROWED, RETURNED)]
    return DIED in kinds or SOLD in kinds or loans[-2:] == [BORROWED, RETURNED]


def _cycle(
    collection: Collection, dam: str, season: int, found: SeasonRecords, catalogue: Catalogue, before: dt.date
) -> Cycle:
    """Cycle of one female from her records of a season."""
    events = sorted(found.events, key=lambda one: one[1].date)
    clutches = sorted(found.clutches, key=lambda one: (_laid_from(collection, one, catalogue), one.id))
    first = clutches[0] if clutches else None
    told = _of_kind(events, LAID)
    has_laid = first is not None or bool(told)
    laid = (_day(first.laid) if first else None) or (_last_day(told) if len(clutches) < 2 else None)
    upto = laid or before
    hatched, has_hatched = _hatching(collection, first, before) if first else (None, False)
    return Cycle(
        dam=dam,
        season=season,
        together=together_of(collection, dam, found, before=before),
        follicles=tuple(_follicles(_of_kind(events, ULTRASOUND))),
        ovulated=_last_day(_of_kind(events, OVULATION), upto),
        shed=_last_day(_of_kind(events, PRELAY_SHED), upto),
        clutch=first.id if first else None,
        laid=laid,
        hatched=hatched,
        has_laid=has_laid,
        has_hatched=has_hatched,
        rests=not has_laid and _rests(_of_kind(events, RESTS), found.matings, first_day(season, catalogue)),
        nest_box=_nest_box(events),
        later_clutches=tuple(one.id for one in clutches[1:]),
    )


def _laid_from(collection: Collection, clutch: Clutch, catalogue: Catalogue) -> dt.date:
    laid = laid_about(collection, clutch, catalogue)
    assert laid is not None, "a clutch without a date is in no season"
    return laid.earliest


def _of_kind(events: Iterable[tuple[str, Event]], word: str) -> list[Event]:
    return [event for kind, event in events if kind == word]


def _day(date: PartialDate | None) -> dt.date | None:
    return date.earliest if date is not None and date.day else None


def _last_day(events: Iterable[Event], upto: dt.date = dt.date.max) -> dt.date | None:
    """Last day written, as a later one corrects an earlier; none after she has laid."""
    days = [event.date.earliest for event in events if event.date.day and event.date.earliest <= upto]
    return max(days, default=None)


def _first_day(events: Iterable[Event]) -> dt.date | None:
    return next((event.date.earliest for event in events if event.date.day), None)


def _follicles(events: Iterable[Event]) -> Iterable[Follicle]:
    """Looks with a day and a size that can be."""
    for event in events:
        largest = _millimetres(event)
        if event.date.day and largest is not None and 0 < largest <= MOST_FOLLICLE_MM:
            yield Follicle(event.date.earliest, largest, follicle_count(event.note))


def _millimetres(event: Event) -> float | None:
    if event.value is not None:
        return event.value * 10 if event.unit.casefold() == "cm" else event.value
    told = [float(text.replace(",", ".")) for text in _MILLIMETRES.findall(event.note.casefold())]
    return max(told, default=None)


def _nest_box(events: Iterable[tuple[str, Event]]) -> dt.date | None:
    """First day that the nest box went in, by an event of its own or by the note of another."""
    return _first_day(event for kind, event in events if kind == NEST_BOX or _BOX_IN.search(event.note.casefold()))


def _rests(said: Sequence[Event], matings: Iterable[Mating], first: dt.date) -> bool:
    """Whether she is said to rest and was not paired afterwards."""
    if not said:
        return False
    last = max(said[-1].date.earliest, first)
    return not any(mating.together is not None and mating.together.earliest > last for mating in matings)


def _hatching(collection: Collection, clutch: Clutch, before: dt.date) -> tuple[dt.date | None, bool]:
    """First day that a young came out, where it is known, and whether one has."""
    hatched = [egg for egg in collection.eggs_of(clutch.id) if egg.outcome is EggOutcome.HATCHED]
    dates = [clutch.hatched] if clutch.hatched else [egg.ended for egg in hatched if egg.ended]
    dates += [look.date for look in collection.looks_at(clutch.id) if look.state is EggState.OUT]
    dates += [] if dates else [one.hatched for one in collection.clutch_mates(clutch.id) if one.hatched]
    known = [date for date in dates if date.earliest < before]
    days = sorted(date.earliest for date in known if date.day)
    return (days[0] if days else None), bool(known) or (bool(hatched) and not dates)


def _is_grown_here(collection: Collection, animal: Animal, catalogue: Catalogue, before: dt.date) -> bool:
    """Whether a female is here and could breed: by her age, her past, or her weight where the age is not known."""
    if animal.sex is not Sex.FEMALE or is_gone(collection, animal.id, before):
        return False
    if animal.hatched is not None:
        age = catalogue.reproduction.get("female_breeding_age_years")
        if (before - animal.hatched.earliest).days >= 365.25 * (age.low if age else 2.5):
            return True
    has_bred = any(mating.dam == animal.id for mating in collection.matings_of(animal.id)) or any(
        young.dam == animal.id for young in collection.offspring(animal.id)
    )
    if has_bred or animal.hatched is not None:
        return has_bred
    return "breeder" in animal.status.casefold() or _is_heavy(collection, animal, catalogue)


def _is_heavy(collection: Collection, animal: Animal, catalogue: Catalogue) -> bool:
    least = catalogue.reproduction.get("female_breeding_mass_g")
    masses = [in_base_unit(one) for one in collection.measurements_of(animal.id) if one.trait is Trait.MASS]
    return least is not None and bool(masses) and masses[-1] >= least.low
