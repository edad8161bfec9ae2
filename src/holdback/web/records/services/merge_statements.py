"""What a file says was seen or is said of single genes, as looks and claims."""

from __future__ import annotations

from typing import Any

from holdback.collection import model as known
from holdback.errors import Fault, RecordError
from holdback.web.records.models import Animal, Claim, Look
from holdback.web.records.rules import length_faults, number_faults
from holdback.web.records.services.evidence import allele_key
from holdback.web.records.services.merge import Family, Plan, parts_of

_CERTAIN = 1e-6
_LOOK = ("animal_id", "allele", "copies", "seen_by", "date")
_CLAIM = ("animal_id", "allele", "none", "one", "two", "said_by", "ground", "date")


def merge_statements(records: known.Records, family: Family, plan: Plan) -> None:
    """Plan looks and claims; one that is on record already is not added again."""
    if not records.statements:
        return
    old = _on_record(records, family)
    keys: dict[tuple[str, str], str] = {}
    for row in records.statements:
        animal = family.animal(row.animal, plan, field="animal")
        if animal is None:
            continue
        allele = keys.get((animal.species, row.gene)) or _allele(row, animal, plan)
        if not allele:
            continue
        keys[animal.species, row.gene] = allele
        fresh = _fresh(row, animal, allele, plan)
        key = _key(fresh)
        plan.count("statements", plan.same if key in old else plan.added)
        if key not in old:
            old.add(key)
            plan.make(fresh)


def _on_record(records: known.Records, family: Family) -> set[tuple[Any, ...]]:
    """Looks and claims added by hand to the animals that were on record before."""
    found = [family.animals.get(tag) for tag in {row.animal for row in records.statements}]
    keys = sorted(one.pk for one in found if one is not None and one.pk not in family.fresh)
    return {
        _key(row)
        for model in (Look, Claim)
        for part in parts_of(keys)
        for row in model._default_manager.filter(animal__in=part, derived=False)
    }


def _key(row: Look | Claim) -> tuple[Any, ...]:
    """What tells one look or claim from another."""
    return (type(row), *(getattr(row, column) for column in (_LOOK if isinstance(row, Look) else _CLAIM)))


def _allele(row: known.GeneStatement, animal: Animal, plan: Plan) -> str:
    """Key of the allele; empty, with a fault, where the species has none of that name."""
    try:
        return allele_key(row.gene, animal)
    except RecordError as error:
        plan.faults += error.faults
        return ""


def _fresh(row: known.GeneStatement, animal: Animal, allele: str, plan: Plan) -> Look | Claim:
    """Row of a statement, with its faults planned."""
    date, chances = str(row.date or ""), (row.none, row.one, row.two)
    plan.faults += length_faults(row.by, 120, field="by", animal=row.animal)
    if row.kind is known.StatementKind.CLAIMED:
        plan.faults += length_faults(row.ground, 200, field="ground", animal=row.animal)
        none, one, two = chances
        return Claim(
            animal=animal, allele=allele, none=none, one=one, two=two, said_by=row.by, ground=row.ground,
            trust=row.trust, date=date,
        )  # fmt: skip
    plan.faults += number_faults(row.trust, 0, 1, field="trust", above=True, animal=row.animal)
    if max(chances) < 1 - _CERTAIN:
        what, hint = "what is seen has one number of copies.", "Write it as claimed."
        plan.faults.append(Fault("REC-014", what, hint, field="kind", value=row.kind.value, animal=row.animal))
    copies = chances.index(max(chances))
    return Look(
        animal=animal, allele=allele, copies=copies, seen_by=row.by, note=row.ground, sure=row.trust, date=date
    )  # fmt: skip
