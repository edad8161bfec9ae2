"""What a file says the keeper works towards: projects, planned pairings, cautions spoken for."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from holdback.collection import model as known
from holdback.collection.projects import Project as KnownProject
from holdback.errors import Fault
from holdback.web.records.models import Decision, PlannedPairing, Project, ProjectAnimal
from holdback.web.records.rules import length_faults, tag_faults
from holdback.web.records.services.merge import Family, Plan

_RENAMED = {"id": "key", "size": "size_aim"}
_APART = {"id", "animals", "held_back"}
_LONGEST = {"name": 120, "want": 200, "none_of": 200, "line": 80}


def merge_projects(records: known.Records, family: Family, plan: Plan, *, species: str) -> None:
    """Plan the projects, their animals, the planned pairings and the cautions spoken for.

    A value that is empty in the file, or what stands for an empty one, never overwrites one on record; animals are
    added and never taken away.
    """
    if not (records.projects or records.planned_pairings or records.accepted):
        return
    found = {one.key: one for one in Project.objects.all()}
    last = max((one.order for one in found.values()), default=0)
    roles = {(one.project_id, one.animal_id, one.role) for one in ProjectAnimal.objects.all()}
    for number, row in enumerate(records.projects, start=1):
        plan.faults += [*tag_faults(row.id, field="id"), *_length_faults(row)]
        values = _given(row)
        present = found.get(row.id)
        if present is None:
            found[row.id] = fresh = Project(key=row.id, species=species, order=last + number, **values)
            plan.make(fresh)
            _animals(row, fresh, family, plan, roles)
            plan.count("projects", plan.added)
            continue
        values = {name: value for name, value in values.items() if getattr(present, name) != value}
        if values:
            plan.change(present, values)
        differs = _animals(row, present, family, plan, roles) or bool(values)
        plan.count("projects", plan.changed if differs else plan.same)
    _pairings(records, found, family, plan)
    _accepted(records, found, plan)


def _length_faults(row: KnownProject) -> list[Fault]:
    return [fault for name, most in _LONGEST.items() for fault in length_faults(getattr(row, name), most, field=name)]


def _given(row: KnownProject) -> dict[str, Any]:
    """Columns that the file fills with something else than what an empty cell stands for."""
    values: dict[str, Any] = {}
    for field in fields(row):
        value = getattr(row, field.name)
        if field.name in _APART or value == field.default:
            continue
        if isinstance(value, tuple):
            value = list(value)
        elif isinstance(value, known.PartialDate):
            value = str(value)
        values[_RENAMED.get(field.name, field.name)] = getattr(value, "value", value)
    return values


def _animals(row: KnownProject, project: Project, family: Family, plan: Plan, roles: set[tuple[Any, Any, str]]) -> bool:
    """Plan the animals of a project that are not on record with it; True where there are any."""
    differs = False
    named = ((ProjectAnimal.ONLY, row.animals, "animals"), (ProjectAnimal.HELD_BACK, row.held_back, "held_back"))
    for role, tags, field in named:
        for tag in tags:
            animal = family.animal(tag, plan, field=field)
            if animal is None or (project.pk, animal.pk, role) in roles:
                continue
            roles.add((project.pk, animal.pk, role))
            plan.make(ProjectAnimal(project=project, animal=animal, role=role))
            differs = True
    return differs


def _project(key: str, found: dict[str, Project], plan: Plan) -> Project | None:
    """Project by its id; a fault where there is none."""
    if key not in found:
        what, hint = f"no project has the id {key!r}.", "Add it to the file, or correct the id."
        plan.faults.append(Fault("REC-016", what, hint, field="project", value=key))
    return found.get(key)


def _pairings(records: known.Records, found: dict[str, Project], family: Family, plan: Plan) -> None:
    """Plan the planned pairings, told apart by season and animals."""
    columns = PlannedPairing.objects.select_related("project")
    old = {(one.year, one.dam_id, one.sire_id): one for one in columns} if records.planned_pairings else {}
    for row in records.planned_pairings:
        dam, sire = family.animal(row.dam, plan, field="dam"), family.animal(row.sire, plan, field="sire")
        project = _project(row.project, found, plan) if row.project else None
        if dam is None or sire is None or (row.project and project is None):
            continue
        fresh = PlannedPairing(
            year=row.year, dam=dam, sire=sire, project=project, state=row.state.value, note=row.note
        )  # fmt: skip
        present = old.get((row.year, dam.pk, sire.pk))
        if present is None:
            plan.make(fresh)
            plan.count("planned_pairings", plan.added)
            continue
        values: dict[str, Any] = {}
        if project is not None and present.project_id != project.pk:
            values["project"] = project
        if row.state.value not in (present.state, "planned"):
            values["state"] = row.state.value
        if row.note and row.note != present.note:
            values["note"] = row.note
        if values:
            plan.change(present, values)
        plan.count("planned_pairings", plan.changed if values else plan.same)


def _accepted(records: known.Records, found: dict[str, Project], plan: Plan) -> None:
    """Plan the cautions spoken for; one that is on record already stays as it was said."""
    old = set(Decision.objects.values_list("project__key", "code")) if records.accepted else set()
    for row in records.accepted:
        plan.faults += [*length_faults(row.code, 120, field="code"), *length_faults(row.by, 120, field="by")]
        project = _project(row.project, found, plan)
        if project is None:
            continue
        if (row.project, row.code) in old:
            plan.count("accepted", plan.same)
            continue
        plan.make(Decision(project=project, code=row.code, by=row.by, date=str(row.date or ""), words=row.words))
        plan.count("accepted", plan.added)
