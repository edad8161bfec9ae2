"""Where a file says that animals come from."""

from __future__ import annotations

from typing import Any

from holdback.collection import model as known
from holdback.collection.origins import Precision, coarse_degrees
from holdback.web.records.models import PlaceOfOrigin
from holdback.web.records.services.merge import Family, Plan, parts_of
from holdback.web.records.services.origins import origin_faults


def merge_origins(records: known.Records, family: Family, plan: Plan) -> None:
    """Plan the places of origin; a coarse place never takes the place of the exact one that it was made of."""
    old = _on_record(records, family)
    for row in records.origins:
        animal = family.animal(row.animal, plan, field="animal")
        if animal is None:
            continue
        values: dict[str, Any] = {"place": row.place, "country": row.country, "ground": row.ground}
        values = {name: value for name, value in values.items() if value}
        if row.latitude is not None or row.longitude is not None:
            values |= {"latitude": row.latitude, "longitude": row.longitude, "precision": row.precision.value}
        fresh = PlaceOfOrigin(animal=animal, **values)
        plan.faults += origin_faults(fresh, tag=row.animal)
        fresh.round_unless_exact()
        present = old.get(animal.pk)
        if present is None:
            plan.make(fresh)
            plan.count("origins", plan.added)
            continue
        differing = {name: new for name in values if (new := getattr(fresh, name)) != getattr(present, name)}
        if _is_made_of(fresh, present):
            differing = {name: new for name, new in differing.items() if name in ("place", "country", "ground")}
        if differing:
            plan.change(present, differing)
        plan.count("origins", plan.changed if differing else plan.same)


def _on_record(records: known.Records, family: Family) -> dict[Any, PlaceOfOrigin]:
    """Places on record of the animals that the file speaks of, by the key of the animal."""
    found = (family.animals.get(row.animal) for row in records.origins)
    keys = sorted({one.pk for one in found if one is not None and one.pk not in family.fresh})
    rows = (row for part in parts_of(keys) for row in PlaceOfOrigin.objects.filter(animal__in=part))
    return {row.animal_id: row for row in rows}


def _is_made_of(fresh: PlaceOfOrigin, present: PlaceOfOrigin) -> bool:
    """Whether coarse coordinates are those of an exact place on record."""
    return (
        fresh.precision == Precision.COARSE
        and present.precision == Precision.EXACT
        and fresh.latitude == coarse_degrees(present.latitude)
        and fresh.longitude == coarse_degrees(present.longitude)
    )
