"""What became of the eggs of each clutch, as far as shares can be counted from it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Candidate, Clutch, Egg, EggOutcome
from holdback.descent.family import UNKNOWN_SIRE, Family, weighed
from holdback.season.by_season import laid_about, season_of
from holdback.season.egg_tally import Tally, tally
from holdback.species.catalogue import Catalogue

SET_ASIDE = "set aside by the keeper"
NOT_COUNTED = "no number of eggs written"
IN_THE_BOX = "still in the box"
NOT_WRITTEN = "what became of each egg is not written"
KEPT_ONLY = "young are on record, but not what became of each egg"

IN_EGG_DAYS = 100
"""Days after laying from which no egg is still in the box (common practice, no source: 70 days is long)."""


@dataclass(frozen=True, slots=True)
class Loss:
    """A good egg that was lost: cause as typed, and days since laying; None where nobody wrote the day."""

    cause: str
    days: int | None


@dataclass(frozen=True, slots=True)
class HatchRecord:
    """Eggs of one clutch.

    Parameters
    ----------
    clutch : str
        Clutch id.
    dam : str
        Her id; empty where it is not known.
    sires : tuple of Candidate
        Candidates on record, with weights; what is left to 1 is of a male that is not on record.
    year : int or None
        Season of laying.
    laid : int
        Eggs in all, slugs among them; 0 where nobody counted.
    slugs : int or None
        None where nobody told them from good eggs.
    hatched, lost : int
        Young that came out, and good eggs lost.
    losses : tuple of Loss
        Good eggs lost whose outcome is written.
    left_out : str
        Why the clutch does not count for hatching and losses; empty where it does.
    """

    clutch: str
    dam: str
    sires: tuple[Candidate, ...]
    year: int | None
    laid: int
    slugs: int | None
    hatched: int
    lost: int
    losses: tuple[Loss, ...] = ()
    left_out: str = ""


@dataclass(frozen=True, slots=True)
class BoxRecord:
    """Eggs of one clutch in one incubator of which it is known what became: in all, slugs, hatched."""

    incubator: str
    clutch: str
    known: int
    slugs: int
    hatched: int


def hatch_records(collection: Collection, catalogue: Catalogue, *, today: dt.date) -> tuple[HatchRecord, ...]:
    """What became of the eggs of all clutches laid up to a day, in record order.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        For the first month of a season and the weight of males of the season before.
    today : date
        Clutches laid later are not there yet.

    Notes
    -----
    Where a clutch names no sire, the candidates are those of its young: by matings, where nothing else is written.
    """
    family = Family.from_collection(collection, stored_sperm=catalogue.records["stored_sperm"].value)
    sires = {brood.key: brood.sires for brood in family.broods}
    found = []
    for clutch in collection.records.clutches:
        laid = laid_about(collection, clutch, catalogue)
        if laid is None or laid.earliest <= today:
            year = None if laid is None else season_of(laid.earliest, catalogue) if laid.month else laid.year
            candidates = weighed(clutch.sires) if clutch.sires else sires.get(clutch.id, ())
            named = tuple(one for one in candidates if one.animal not in (UNKNOWN_SIRE, NO_SIRE))
            found.append(_record(collection, clutch, named, year, today))
    return tuple(found)


def box_records(collection: Collection, records: tuple[HatchRecord, ...]) -> Iterator[BoxRecord]:
    """Eggs by incubator, the first part of the place they lie in, where what became of all that lie there is known.

    Parameters
    ----------
    collection : Collection
        Records.
    records : tuple of HatchRecord
        Clutches; one set aside is left out.
    """
    for record in records:
        boxes: dict[str, list[EggOutcome]] = {}
        for egg in collection.eggs_of(record.clutch) if record.left_out != SET_ASIDE else ():
            if egg.box:
                boxes.setdefault(egg.box.split("/")[0].strip(), []).append(egg.outcome)
        for incubator, outcomes in boxes.items():
            if EggOutcome.UNKNOWN not in outcomes:
                slugs, hatched = outcomes.count(EggOutcome.SLUG), outcomes.count(EggOutcome.HATCHED)
                yield BoxRecord(incubator, record.clutch, len(outcomes), slugs, hatched)


def _record(
    collection: Collection, clutch: Clutch, sires: tuple[Candidate, ...], year: int | None, today: dt.date
) -> HatchRecord:
    counted = tally(collection, clutch, today=today)
    is_over = counted.laid == counted.slugs + counted.out + counted.lost
    lost = [egg for egg in collection.eggs_of(clutch.id) if egg.outcome is EggOutcome.DIED]
    return HatchRecord(
        clutch=clutch.id,
        dam=clutch.dam or "",
        sires=sires,
        year=year,
        laid=counted.laid,
        slugs=counted.slugs if counted.slugs_counted or is_over else None,
        hatched=counted.out,
        lost=counted.lost,
        losses=tuple(_loss(egg, clutch) for egg in lost),
        left_out=_left_out(collection, clutch, counted, today, is_over=is_over),
    )


def _left_out(collection: Collection, clutch: Clutch, counted: Tally, today: dt.date, *, is_over: bool) -> str:
    if clutch.set_aside:
        return SET_ASIDE
    eggs, young = collection.eggs_of(clutch.id), collection.clutch_mates(clutch.id)
    if not counted.laid or (clutch.eggs is None and not eggs):
        return NOT_COUNTED
    if is_over:
        return ""
    if clutch.hatched is None and clutch.laid is not None and (today - clutch.laid.earliest).days < IN_EGG_DAYS:
        return IN_THE_BOX
    return KEPT_ONLY if young and not eggs else NOT_WRITTEN


def _loss(egg: Egg, clutch: Clutch) -> Loss:
    days = None
    if egg.ended is not None and egg.ended.day and clutch.laid is not None and clutch.laid.day:
        days = (egg.ended.earliest - clutch.laid.earliest).days
    return Loss(" ".join(egg.cause.split()), days)
