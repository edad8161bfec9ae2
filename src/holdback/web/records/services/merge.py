"""What has to be made and changed so that records of a file stand beside those on record."""

from __future__ import annotations

import datetime as dt
import uuid
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from holdback.collection import model as known
from holdback.errors import Fault
from holdback.web.records.derive import derive
from holdback.web.records.models import Animal, AnimalName, Clutch, Parentage, Record, SexDetermination, Stay
from holdback.web.records.parents import weight_faults
from holdback.web.records.queries import present_animals
from holdback.web.records.rules import length_faults, number_faults, refuse, tag_faults
from holdback.web.records.services.animals import field_faults
from holdback.web.records.services.deed import CHUNK, Deed

STEP = 200
"""Rows between two reports of progress."""


@dataclass
class Plan:
    """Rows to make, to change and to delete.

    Parameters
    ----------
    total : int
        Rows of the file in all.
    progress : callable or None
        Told of rows done.
    """

    total: int
    progress: Callable[[int, int], None] | None = None
    done: int = 0
    fresh: dict[type[Record], list[Record]] = field(default_factory=lambda: defaultdict(list))
    changes: dict[uuid.UUID, tuple[Record, dict[str, Any]]] = field(default_factory=dict)
    closing: list[tuple[Stay, dt.date]] = field(default_factory=list)
    stale: list[Parentage] = field(default_factory=list)
    typed: dict[uuid.UUID, Animal] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    added: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    same: Counter[str] = field(default_factory=Counter)

    def make(self, record: Record) -> None:
        """Plan to insert a record."""
        self.fresh[type(record)].append(record)

    def change(self, record: Record, values: dict[str, Any]) -> None:
        """Plan to change columns of a record."""
        self.changes.setdefault(record.pk, (record, {}))[1].update(values)

    def close(self, stay: Stay, day: dt.date) -> None:
        """Plan to end a stay on record, before another of the animal begins."""
        self.closing.append((stay, day))

    def count(self, table: str, outcome: Counter[str]) -> None:
        """Count a row of the file and tell of progress."""
        outcome[table] += 1
        self.done += 1
        if self.progress and self.done % STEP == 0:
            self.progress(self.done, self.total)

    def refuse(self) -> None:
        """Raise RecordError with the faults found while planning."""
        refuse(self.faults)

    def write(self, done: Deed) -> None:
        """Do what is planned, within a deed."""
        for stay, day in self.closing:
            done.change(stay, until=day)
        for records in self.fresh.values():
            done.make(*records)
        done.delete(*self.stale)
        for record, values in self.changes.values():
            done.change(record, **values)
        derive(list(self.typed.values()))


@dataclass
class Family:
    """Animals and clutches by id: those on record, and those that the file adds."""

    animals: dict[str, Animal]
    clutches: dict[str, Clutch]
    old_sires: dict[uuid.UUID, list[Parentage]]
    fresh: set[uuid.UUID] = field(default_factory=set)

    def animal(self, tag: str, plan: Plan, *, field: str, of: str = "") -> Animal | None:
        """Animal by id; a fault if there is none."""
        found = self.animals.get(tag)
        if found is None:
            hint = "Add it to the file, or correct the id."
            what = f"no animal has the id {tag!r}."
            plan.faults.append(Fault("REC-016", what, hint, field=field, value=tag, animal=of))
        return found

    def clutch(self, tag: str, plan: Plan, *, of: str = "") -> Clutch | None:
        """Clutch by id; a fault if there is none."""
        found = self.clutches.get(tag)
        if found is None:
            hint = "Add it to the file, or correct the id."
            plan.faults.append(
                Fault("REC-016", f"no clutch has the id {tag!r}.", hint, field="clutch", value=tag, animal=of)
            )
        return found


def family_of(records: known.Records) -> Family:
    """Everybody on record whom the file names; a query for each five hundred ids."""
    tags = {animal.id for animal in records.animals} | _tags_named(records)
    clutch_tags = {clutch.id for clutch in records.clutches}
    clutch_tags |= {egg.clutch for egg in records.eggs} | {look.clutch for look in records.egg_looks}
    clutch_tags |= {animal.clutch for animal in records.animals if animal.clutch}
    animals: dict[str, Animal] = {}
    for part in parts_of(sorted(tags)):
        # The living one first, as everywhere where several had the tag.
        for animal in present_animals().filter(tag__in=part).order_by("-living", "-hatched_first", "id"):
            animals.setdefault(animal.tag, animal)
    clutches: dict[str, Clutch] = {}
    for part in parts_of(sorted(clutch_tags)):
        clutches.update({one.tag: one for one in Clutch.objects.filter(tag__in=part, removed_at__isnull=True)})
    old: dict[uuid.UUID, list[Parentage]] = defaultdict(list)
    for name, keys in (("animal", animals), ("clutch", clutches)):
        for some in parts_of([one.pk for one in keys.values()]):
            for row in Parentage.objects.filter(**{f"{name}__in": some}).select_related("sire"):
                old[getattr(row, f"{name}_id")].append(row)
    return Family(animals, clutches, old)


def parts_of(keys: Sequence[Any]) -> Iterable[Sequence[Any]]:
    """The keys, so many at a time as go into one query."""
    return (keys[start : start + CHUNK] for start in range(0, len(keys), CHUNK))


def _tags_named(records: known.Records) -> set[str]:
    """Ids of animals that rows refer to."""
    rows: list[known.Animal | known.Clutch] = [*records.animals, *records.clutches]
    found = {one.animal for row in rows for one in row.sires} | {row.dam for row in rows if row.dam}
    found |= {line.animal for line in records.lines} | {reading.animal for reading in records.measurements}
    found |= {event.animal for event in records.events} | {row.animal for row in records.statements}
    found |= {row.animal for row in records.origins}
    for mating in records.matings:
        found |= {mating.dam, mating.sire}
    for planned in records.planned_pairings:
        found |= {planned.dam, planned.sire}
    for project in records.projects:
        found |= {*project.animals, *project.held_back}
    found |= {egg.animal for egg in records.eggs if egg.animal}
    return found - {known.NO_SIRE}


def merge_animals(records: known.Records, family: Family, plan: Plan, *, species: str) -> None:
    """Plan the animals themselves, without their parents."""
    for row in records.animals:
        values = {
            "name": row.name,
            "sex": "" if row.sex is known.Sex.UNKNOWN else row.sex.value,
            "hatched": str(row.hatched or ""),
            "origin": "" if row.origin is known.Origin.UNKNOWN else row.origin.value,
            "status": row.status,
            "genes_text": row.genes,
            "notes": row.notes,
        }
        given = {name: value.strip() for name, value in values.items() if value.strip()}
        plan.faults += [*tag_faults(row.id, field="id"), *field_faults(given, tag=row.id)]
        present = family.animals.get(row.id)
        animal = present or Animal(tag=row.id, species=species, **given)
        if present is None:
            family.animals[row.id] = animal
            family.fresh.add(animal.pk)
            plan.make(animal)
            plan.count("animals", plan.added)
        else:
            given = {name: value for name, value in given.items() if getattr(animal, name) != value}
            if given:
                plan.change(animal, given)
            # Counted once the parents are known: they may differ too.
        _history(animal, given, plan)
        if "genes_text" in given:
            plan.typed[animal.pk] = animal


def _history(animal: Animal, given: dict[str, Any], plan: Plan) -> None:
    """Plan rows for a name and a sex that are new."""
    if "name" in given:
        plan.make(AnimalName(animal=animal, name=given["name"]))
    if "sex" in given:
        plan.make(SexDetermination(animal=animal, sex=given["sex"]))


def merge_clutches(records: known.Records, family: Family, plan: Plan) -> None:
    """Plan the clutches and their candidate sires."""
    for row in records.clutches:
        values: dict[str, Any] = {"eggs": row.eggs, "slugs": row.slugs, "set_aside": row.set_aside}
        plan.faults += length_faults(row.set_aside, 120, field="set_aside")
        values |= {"laid": str(row.laid or ""), "hatched": str(row.hatched or "")}
        values["dam"] = family.animal(row.dam, plan, field="dam") if row.dam else None
        given = {name: value for name, value in values.items() if value not in (None, "")}
        plan.faults += tag_faults(row.id, field="id")
        for name in ("eggs", "slugs"):
            plan.faults += number_faults(given.get(name), 0, 1000, field=name)
        clutch = family.clutches.get(row.id)
        if clutch is None:
            clutch = Clutch(tag=row.id, **given)
            family.clutches[row.id] = clutch
            plan.make(clutch)
            merge_sires(row.sires, family, plan, clutch=clutch)
            plan.count("clutches", plan.added)
            continue
        given = {name: value for name, value in given.items() if getattr(clutch, name) != value}
        if given:
            plan.change(clutch, given)
        differs = merge_sires(row.sires, family, plan, clutch=clutch)
        plan.count("clutches", plan.changed if given or differs else plan.same)


def merge_parents(records: known.Records, family: Family, plan: Plan) -> None:
    """Plan dam, clutch and candidate sires of the animals."""
    sires_of_clutch = {row.id: row.sires for row in records.clutches if row.sires}
    for row in records.animals:
        animal = family.animals[row.id]
        values: dict[str, Any] = {}
        if row.dam and (dam := family.animal(row.dam, plan, field="dam", of=row.id)):
            values["dam_id"] = dam.pk
        sires = row.sires
        if row.clutch and (clutch := family.clutch(row.clutch, plan, of=row.id)):
            values["clutch_id"] = clutch.pk
            shared = sires_of_clutch.get(row.clutch) or _on_record(family.old_sires.get(clutch.pk, []))
            if set(shared) == set(sires):
                sires = ()  # the clutch says so already, and goes on saying it when it is corrected
            if animal.dam_id is None and values.get("dam_id") == _dam_of(clutch, plan):
                values.pop("dam_id", None)
        differing = {name: value for name, value in values.items() if getattr(animal, name) != value}
        if animal.pk in family.fresh:
            for name, value in differing.items():
                setattr(animal, name, value)
            merge_sires(sires, family, plan, animal=animal)
            continue
        if differing:
            plan.change(animal, differing)
        differs = merge_sires(sires, family, plan, animal=animal)
        plan.count("animals", plan.changed if animal.pk in plan.changes or differs else plan.same)


def _dam_of(clutch: Clutch, plan: Plan) -> uuid.UUID | None:
    """Key of the dam of a clutch, as it will be once the plan is written."""
    values = plan.changes[clutch.pk][1] if clutch.pk in plan.changes else {}
    return values["dam"].pk if "dam" in values else clutch.dam_id


def _on_record(rows: list[Parentage]) -> tuple[known.Candidate, ...]:
    """Candidates out of their rows."""
    return tuple(known.Candidate(row.sire.tag if row.sire else known.NO_SIRE, row.weight) for row in rows)


def merge_sires(
    sires: Sequence[known.Candidate],
    family: Family,
    plan: Plan,
    *,
    animal: Animal | None = None,
    clutch: Clutch | None = None,
) -> bool:
    """Plan the candidate sires of one animal or clutch; True if they differ. None given leaves those on record."""
    if not sires:
        return False
    owner = animal or clutch
    assert owner is not None, "sires belong to an animal or a clutch"
    plan.faults += weight_faults(sires, animal=owner.tag)
    wanted: dict[uuid.UUID | None, float] = {}
    for one in sires:
        if one.animal == known.NO_SIRE:
            wanted[None] = one.weight
        elif found := family.animal(one.animal, plan, field="sire", of=owner.tag):
            wanted[found.pk] = one.weight
    old = family.old_sires.get(owner.pk, [])
    if {row.sire_id: row.weight for row in old} == wanted:
        return False
    plan.stale += [row for row in old if row.sire_id not in wanted]
    for row in old:
        if row.sire_id in wanted:
            plan.change(row, {"weight": wanted.pop(row.sire_id)})
    for key, weight in wanted.items():
        plan.make(Parentage(animal=animal, clutch=clutch, sire_id=key, weight=weight, no_sire=key is None))
    return True
