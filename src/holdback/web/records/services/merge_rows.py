"""The rows that hang on an animal or a clutch: lines, measurements, matings, eggs, events of a file."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from holdback.collection import model as known
from holdback.web.records.models import Egg, LineClaim, Mating, Measurement, Observation, Record, Stay
from holdback.web.records.queries import whole_places
from holdback.web.records.rules import length_faults, number_faults
from holdback.web.records.services.merge import (
    Family,
    Plan,
    family_of,
    merge_animals,
    merge_clutches,
    merge_parents,
    parts_of,
)
from holdback.web.records.services.merge_origins import merge_origins
from holdback.web.records.services.merge_statements import merge_statements
from holdback.web.records.services.readings import measurement_faults


def plan_of(records: known.Records, *, species: str, progress: Callable[[int, int], None] | None = None) -> Plan:
    """Everything that has to be done to bring the records of a file in."""
    total = sum(map(len, vars(records).values()))
    plan, family = Plan(total, progress), family_of(records)
    merge_animals(records, family, plan, species=species)
    merge_clutches(records, family, plan)
    merge_parents(records, family, plan)
    _lines(records, family, plan)
    _measurements(records, family, plan)
    _matings(records, family, plan)
    _eggs(records, family, plan)
    _events(records, family, plan)
    merge_statements(records, family, plan)
    merge_origins(records, family, plan)
    return plan


def _old(model: type[Record], owner: str, keys: list[uuid.UUID], *columns: str) -> dict[tuple[Any, ...], Record]:
    """Rows on record of these owners, by the columns that tell them apart."""
    found: dict[tuple[Any, ...], Record] = {}
    for part in parts_of(keys):
        for row in model._default_manager.filter(**{f"{owner}__in": part}):
            found[tuple(getattr(row, column) for column in columns)] = row
    return found


def _merge(plan: Plan, table: str, present: Record | None, fresh: Record, given: dict[str, Any]) -> Record:
    """Plan one row: a new one, or what differs on the one on record."""
    if present is None:
        plan.make(fresh)
        plan.count(table, plan.added)
        return fresh
    differing = {name: value for name, value in given.items() if getattr(present, name) != value}
    if differing:
        plan.change(present, differing)
    plan.count(table, plan.changed if differing else plan.same)
    return present


def _known_keys(family: Family, tags: set[str]) -> list[uuid.UUID]:
    """Keys of those animals that were on record before."""
    found = (family.animals.get(tag) for tag in tags)
    return sorted(one.pk for one in found if one is not None and one.pk not in family.fresh)


def _lines(records: known.Records, family: Family, plan: Plan) -> None:
    """Line claims, told apart by animal and line."""
    keys = _known_keys(family, {row.animal for row in records.lines})
    old = _old(LineClaim, "animal", keys, "animal_id", "line")
    for row in records.lines:
        animal = family.animal(row.animal, plan, field="animal")
        if animal is None:
            continue
        plan.faults += length_faults(row.line, 80, field="line", animal=row.animal)
        plan.faults += length_faults(row.ground, 200, field="ground", animal=row.animal)
        values: dict[str, Any] = {"share_low": row.share_low, "share_high": row.share_high}
        if row.ground:
            values["ground"] = row.ground
        fresh = LineClaim(animal=animal, line=row.line, **values)
        _merge(plan, "lines", old.get((animal.pk, row.line)), fresh, values)


def _measurements(records: known.Records, family: Family, plan: Plan) -> None:
    """Measurements; one that is on record already is not added again."""
    columns = ("animal_id", "date", "trait", "value", "unit", "condition")
    old = _old(Measurement, "animal", _known_keys(family, {row.animal for row in records.measurements}), *columns)
    for row in records.measurements:
        animal = family.animal(row.animal, plan, field="animal")
        if animal is None:
            continue
        fresh = Measurement(
            animal=animal,
            date=str(row.date),
            trait=row.trait.value,
            value=row.value,
            unit=row.unit,
            condition=row.condition,
        )
        plan.faults += measurement_faults(fresh)
        key = tuple(getattr(fresh, column) for column in columns)
        _merge(plan, "measurements", old.get(key), fresh, {})


def _matings(records: known.Records, family: Family, plan: Plan) -> None:
    """Matings, told apart by the two animals and the first day."""
    keys = _known_keys(family, {row.dam for row in records.matings})
    old = _old(Mating, "dam", keys, "dam_id", "sire_id", "together")
    for row in records.matings:
        dam = family.animal(row.dam, plan, field="dam")
        sire = family.animal(row.sire, plan, field="sire")
        if dam is None or sire is None:
            continue
        plan.faults += number_faults(row.locks, 0, 1000, field="locks", animal=row.dam)
        together = str(row.together or "")
        values: dict[str, Any] = {"locks": row.locks} if row.locks else {}
        if row.apart:
            values["apart"] = str(row.apart)
        fresh = Mating(dam=dam, sire=sire, together=together, **values)
        old[dam.pk, sire.pk, together] = _merge(plan, "matings", old.get((dam.pk, sire.pk, together)), fresh, values)


def _eggs(records: known.Records, family: Family, plan: Plan) -> None:
    """Eggs, told apart by clutch and mark."""
    keys = sorted({family.clutches[row.clutch].pk for row in records.eggs if row.clutch in family.clutches})
    old = _old(Egg, "clutch", keys, "clutch_id", "mark")
    for row in records.eggs:
        clutch = family.clutch(row.clutch, plan)
        animal = family.animal(row.animal, plan, field="animal") if row.animal else None
        if clutch is None:
            continue
        plan.faults += length_faults(row.egg, 30, field="egg")
        plan.faults += number_faults(row.mass_g, 0, 1000, field="mass_g", above=True)
        values: dict[str, Any] = {"mass_g": row.mass_g} if row.mass_g is not None else {}
        if row.outcome is not known.EggOutcome.UNKNOWN:
            values["outcome"] = row.outcome.value
        if animal is not None:
            values["animal_id"] = animal.pk
        fresh = Egg(clutch=clutch, mark=row.egg, **values)
        _merge(plan, "eggs", old.get((clutch.pk, row.egg)), fresh, values)


def _moves(keys: list[Any]) -> dict[Any, Stay]:
    """Stays of the animals by what an event of the move would say."""
    places = whole_places()
    return {
        (stay.animal_id, str(stay.since), "moved", None, "", places[stay.place_id]): stay
        for part in parts_of(keys)
        for stay in Stay.objects.filter(animal__in=part)
    }


def _events(records: known.Records, family: Family, plan: Plan) -> None:
    """Events; one that is on record already, a move as the stay that it began, is not added again."""
    columns = ("animal_id", "date", "kind", "value", "unit", "note")
    keys = _known_keys(family, {row.animal for row in records.events})
    old: dict[Any, Any] = _moves(keys) | _old(Observation, "animal", keys, *columns)
    for row in records.events:
        animal = family.animal(row.animal, plan, field="animal")
        if animal is None:
            continue
        plan.faults += length_faults(row.kind, 40, field="kind", animal=row.animal)
        plan.faults += length_faults(row.unit, 12, field="unit", animal=row.animal)
        fresh = Observation(
            animal=animal, date=str(row.date), kind=row.kind, value=row.value, unit=row.unit, note=row.note
        )
        key = tuple(getattr(fresh, column) for column in columns)
        _merge(plan, "events", old.get(key), fresh, {})
