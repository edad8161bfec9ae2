"""All rows of a file in their order; here lines, measurements and matings, the others by their own rules."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from holdback.collection import model as known
from holdback.web.records.models import LineClaim, Mating, Measurement, Record
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
from holdback.web.records.services.merge_eggs import merge_eggs
from holdback.web.records.services.merge_events import merge_events
from holdback.web.records.services.merge_origins import merge_origins
from holdback.web.records.services.merge_places import PlaceTree, merge_places, merge_temperatures
from holdback.web.records.services.merge_projects import merge_projects
from holdback.web.records.services.merge_statements import merge_statements
from holdback.web.records.services.readings import measurement_faults


def plan_of(records: known.Records, *, species: str, progress: Callable[[int, int], None] | None = None) -> Plan:
    """Everything that has to be done to bring the records of a file in."""
    total = sum(map(len, vars(records).values()))
    plan, family = Plan(total, progress), family_of(records)
    merge_animals(records, family, plan, species=species)
    merge_clutches(records, family, plan)
    merge_parents(records, family, plan)
    tree = PlaceTree(plan.make)
    merge_places(records, tree, plan)
    merge_temperatures(records, tree, plan)
    _lines(records, family, plan)
    _measurements(records, family, plan)
    matings = _matings(records, family, plan)
    merge_eggs(records, family, tree, plan)
    merge_events(records, family, tree, plan, matings=matings)
    merge_statements(records, family, plan)
    merge_origins(records, family, plan)
    merge_projects(records, family, plan, species=species)
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


def _matings(records: known.Records, family: Family, plan: Plan) -> list[Mating]:
    """Matings, told apart by the two animals and the first day; those of the file."""
    keys = _known_keys(family, {row.dam for row in records.matings})
    old = _old(Mating, "dam", keys, "dam_id", "sire_id", "together")
    found: dict[uuid.UUID, Mating] = {}
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
        mating = _merge(plan, "matings", old.get((dam.pk, sire.pk, together)), fresh, values)
        assert isinstance(mating, Mating)
        old[dam.pk, sire.pk, together] = found[mating.pk] = mating
        mating.sire = sire
    return list(found.values())
