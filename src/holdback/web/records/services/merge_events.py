"""Events of a file as observations: what happened on a day, what lasts, locks with the mating they belong to."""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from holdback.bridge.happenings import lock_note
from holdback.bridge.scope import date_of
from holdback.collection import model as known
from holdback.collection.event_kinds import LOCK, kind_of
from holdback.web.records.models import Animal, Mating, Observation
from holdback.web.records.rules import length_faults
from holdback.web.records.services.merge import Family, Plan, parts_of
from holdback.web.records.services.merge_moves import Moves, is_move, is_told_by_stay
from holdback.web.records.services.merge_places import PlaceTree

_NO_DAY = known.PartialDate(1)


def merge_events(
    records: known.Records, family: Family, tree: PlaceTree, plan: Plan, *, matings: Iterable[Mating]
) -> None:
    """Plan the events; one that is on record already, a move as the stay that it began, is not added again."""
    found = (family.animals.get(row.animal) for row in records.events)
    keys = sorted({one.pk for one in found if one is not None and one.pk not in family.fresh})
    old, moves, pairs = _on_record(keys), Moves(tree), _by_dam(matings)
    moves.load(keys)
    for row in records.events:
        animal = family.animal(row.animal, plan, field="animal")
        if animal is None:
            continue
        plan.faults += length_faults(row.kind, 40, field="kind", animal=row.animal)
        plan.faults += length_faults(row.unit, 12, field="unit", animal=row.animal)
        is_new = is_move(row) and moves.take(row, animal)
        if is_move(row) and is_told_by_stay(row):
            plan.count("events", plan.added if is_new else plan.same)
            continue
        _merge(row, animal, old, pairs[animal.pk], plan)
    moves.plan(plan)


def _merge(
    row: known.Event, animal: Animal, old: dict[Any, list[Observation]], matings: list[Mating], plan: Plan
) -> None:
    """Plan one observation: a new one, or the last day of the one on record."""
    until = str(row.until or "")
    alike = old.get((animal.pk, str(row.date), row.kind, row.value, row.unit, row.note), [])
    if any(one.until == until or not until for one in alike):
        plan.count("events", plan.same)
        return
    for one in alike:
        if not one.until and one.pk not in plan.changes:
            plan.change(one, {"until": until})
            plan.count("events", plan.changed)
            return
    mating, note = _lock(row, matings)
    plan.make(
        Observation(
            animal=animal, date=str(row.date), kind=row.kind, value=row.value, unit=row.unit, note=note,
            until=until, mating=mating,
        )
    )  # fmt: skip
    plan.count("events", plan.added)


def _on_record(keys: list[uuid.UUID]) -> dict[Any, list[Observation]]:
    """Observations of some animals by what an event of them would say."""
    found: dict[Any, list[Observation]] = defaultdict(list)
    for part in parts_of(keys):
        for one in Observation.objects.filter(animal__in=part).select_related("mating__sire"):
            is_lock = one.mating is not None and kind_of(one.kind) == LOCK
            note = lock_note(one.mating.sire.tag, one.note) if one.mating and is_lock else one.note
            found[one.animal_id, one.date, one.kind, one.value, one.unit, note].append(one)
    return found


def _by_dam(matings: Iterable[Mating]) -> dict[uuid.UUID, list[Mating]]:
    """Matings by their dam, the last first."""
    found: dict[uuid.UUID, list[Mating]] = defaultdict(list)
    for mating in sorted(matings, key=lambda one: one.together, reverse=True):
        found[mating.dam_id].append(mating)
    return found


def _lock(row: known.Event, matings: list[Mating]) -> tuple[Mating | None, str]:
    """Mating that a lock belongs to, and what its note says beside the male."""
    if kind_of(row.kind) != LOCK:
        return None, row.note
    sire, _, rest = row.note.partition(":")
    rest = rest.strip()
    for mating in matings:
        is_his = mating.sire.tag == sire and lock_note(sire, rest) == row.note
        if is_his and _covers(mating, row.date):
            return mating, rest
    return None, row.note


def _covers(mating: Mating, date: known.PartialDate) -> bool:
    """Whether a day may lie within a mating whose first day is known."""
    together, apart = date_of(mating.together), date_of(mating.apart)
    return (together or _NO_DAY).earliest <= date.latest and (apart is None or date.earliest <= apart.latest)
