"""Eggs of a file, and the looks at them."""

from __future__ import annotations

import uuid
from typing import Any

from holdback.collection import model as known
from holdback.errors import Fault
from holdback.web.records.models import Egg, EggLook
from holdback.web.records.rules import length_faults, number_faults
from holdback.web.records.services.merge import Family, Plan, parts_of
from holdback.web.records.services.merge_places import PlaceTree, place_of

Eggs = dict[tuple[uuid.UUID, str], Egg]


def merge_eggs(records: known.Records, family: Family, tree: PlaceTree, plan: Plan) -> None:
    """Plan the eggs, told apart by clutch and mark, and the looks at them."""
    named = {egg.clutch for egg in records.eggs} | {look.clutch for look in records.egg_looks}
    keys = sorted(family.clutches[tag].pk for tag in named if tag in family.clutches)
    old = {(egg.clutch_id, egg.mark): egg for part in parts_of(keys) for egg in Egg.objects.filter(clutch__in=part)}
    found = dict(old)
    for row in records.eggs:
        clutch = family.clutch(row.clutch, plan)
        if clutch is None:
            continue
        values = _values(row, family, tree, plan)
        present = old.get((clutch.pk, row.egg))
        if present is None:
            found[clutch.pk, row.egg] = egg = Egg(clutch=clutch, mark=row.egg, **values)
            plan.make(egg)
            plan.count("eggs", plan.added)
            continue
        differing = {name: value for name, value in values.items() if getattr(present, name) != value}
        if differing:
            plan.change(present, differing)
        plan.count("eggs", plan.changed if differing else plan.same)
    _looks(records, family, found, plan)


def _values(row: known.Egg, family: Family, tree: PlaceTree, plan: Plan) -> dict[str, Any]:
    """Columns that a row fills."""
    plan.faults += length_faults(row.egg, 30, field="egg")
    plan.faults += length_faults(row.cause, 120, field="cause")
    plan.faults += number_faults(row.mass_g, 0, 1000, field="mass_g", above=True)
    animal = family.animal(row.animal, plan, field="animal") if row.animal else None
    box = place_of(row.box, tree, plan, field="box") if row.box else None
    values: dict[str, Any] = {
        "mass_g": row.mass_g,
        "outcome": "" if row.outcome is known.EggOutcome.UNKNOWN else row.outcome.value,
        "animal_id": animal.pk if animal else None,
        "box_id": box.pk if box else None,
        "ended": str(row.ended or ""),
        "cause": row.cause,
    }
    return {name: value for name, value in values.items() if value not in (None, "")}


def _looks(records: known.Records, family: Family, eggs: Eggs, plan: Plan) -> None:
    """Looks at eggs; one that is on record already is not added again."""
    keys = sorted(egg.pk for egg in eggs.values()) if records.egg_looks else []
    old = {_key(row) for part in parts_of(keys) for row in EggLook.objects.filter(egg__in=part)}
    for row in records.egg_looks:
        clutch = family.clutch(row.clutch, plan)
        if clutch is None:
            continue
        plan.faults += length_faults(row.note, 200, field="note")
        egg = eggs.get((clutch.pk, row.egg))
        if egg is None:
            what, hint = f"clutch {row.clutch} has no egg {row.egg!r}.", "Add the egg to the file, or correct it."
            plan.faults.append(Fault("REC-016", what, hint, field="egg", value=row.egg))
            continue
        fresh = EggLook(egg=egg, date=str(row.date), state=row.state.value, note=row.note)
        is_old = _key(fresh) in old
        plan.count("egg_looks", plan.same if is_old else plan.added)
        if not is_old:
            plan.make(fresh)


def _key(row: EggLook) -> tuple[Any, ...]:
    """What tells one look from another."""
    return (row.egg_id, row.date, row.state, row.note)
