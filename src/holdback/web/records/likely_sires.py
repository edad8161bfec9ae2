"""Who may be the sire of a clutch that was laid just now, from the males the dam was put to."""

from __future__ import annotations

from dataclasses import replace

from holdback.bridge.scope import Scope
from holdback.bridge.snapshot import records_of
from holdback.collection.collection import Collection
from holdback.collection.event_kinds import OVULATION, kind_of
from holdback.collection.model import Candidate, PartialDate
from holdback.descent.sires_by_matings import laying_day, sires_by_matings
from holdback.web.records.models import Animal, Mating
from holdback.web.records.overlay import catalogue

OVULATES_WITHIN = 90
"""Days before laying in which an ovulation belongs to the clutch; 44 to 60 are usual (common practice, no source)."""


def likely_sires(dam: Animal, laid: str) -> tuple[Candidate, ...]:
    """Candidate sires by their ids, likeliest first; empty where no male could be told.

    Parameters
    ----------
    dam : Animal
        The dam.
    laid : str
        When she laid; to the year alone nothing can be told.

    Notes
    -----
    The last male before ovulation is the likeliest; where no ovulation was seen, the last before laying. The male of
    the season before keeps a low weight. What is missing to 1 is a male that is not on record.
    """
    day = laying_day(PartialDate.parse(laid), None)
    males = set(Mating.objects.filter(dam=dam).values_list("sire_id", flat=True))
    if day is None or not males:
        return ()
    scope = Scope(dam.species, frozenset({dam.pk, *males}), frozenset({dam.pk}))
    collection = Collection.from_records(records_of(scope), species=dam.species)
    ids = [mating.dam for mating in collection.records.matings]
    if not ids:
        return ()
    ovulations = [event.date for event in collection.records.events if kind_of(event.kind) == OVULATION]
    seen = [date.earliest for date in ovulations if date.day and 0 <= (day - date.earliest).days < OVULATES_WITHIN]
    kept = catalogue(dam.species).records.get("stored_sperm")
    for until in (*([max(seen)] if seen else []), day):
        found = sires_by_matings(collection, ids[0], until, stored_sperm=kept.value if kept else 0.0)
        if found:
            return tuple(replace(one, weight=round(one.weight, 4)) for one in found)
    return ()
