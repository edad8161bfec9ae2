"""Start a project, change its goal, close it, put projects in order, speak for a caution."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypedDict, Unpack

from holdback.collection.projects import ProjectState
from holdback.errors import Fault, RecordError
from holdback.season.by_season import season_of
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Decision, Project, ProjectAnimal
from holdback.web.records.overlay import SPECIES, catalogue
from holdback.web.records.project_rules import (
    LABELS,
    field_faults,
    goal_faults,
    kept_for,
    name_faults,
    new_key,
    said,
)
from holdback.web.records.rules import length_faults, refuse
from holdback.web.records.services.deed import Deed, deed


class GoalFields(TypedDict, total=False):
    """What is said of a goal; a field left out is not said."""

    name: str
    want: str
    some_of: Sequence[str]
    some_least: int
    none_of: str
    line: str
    share_at_least: float
    size_aim: str
    size_low_g: float | None
    size_high_g: float | None
    number: int
    by: int | None
    inbreeding_at_most: float
    eggs: int | None
    tubs: int | None
    money: float | None
    worth_eggs: float
    year_worth_eggs: float
    animals: Sequence[Animal]
    least_pairings: int
    notes: str
    since: str


@dataclass(frozen=True, slots=True)
class GoalChange:
    """One field of a goal that changes, in words.

    Parameters
    ----------
    field : str
        Name of the field.
    label : str
        What a keeper calls it.
    before, after : str
        The values; "nothing" for an empty one.
    """

    field: str
    label: str
    before: str
    after: str

    def __str__(self) -> str:
        """One line: what, from what, to what."""
        return f"{self.label}: {self.before}, now {self.after}"


def start_project(
    *, who: str, batch: uuid.UUID | None = None, species: str = SPECIES, **fields: Unpack[GoalFields]
) -> Project:
    """A new project, the last in the keeper's order.

    Parameters
    ----------
    who : str
        Who starts it.
    batch : UUID, optional
        Batch that the change belongs to.
    species : str
        Key of the species.
    **fields
        ``name`` (needed), ``want``, ``some_of`` and the other fields of `holdback.decisions.goal.Goal`; ``since`` is
        today if left out.

    Raises
    ------
    RecordError
        REC-010 to REC-014, COL-045 or DEC-120; else DEC-001 to DEC-019, all faults together.
    """
    animals = fields.pop("animals", ())
    with deed("start project", who=who, batch=batch) as done:
        values: dict[str, Any] = {"since": today().isoformat(), **_columns(fields)}
        project = Project(species=species, order=_last() + 1, **values)
        project.key = new_key(project.name)
        _check(project)
        done.make(project)
        _keep_animals(done, project, animals)
    return project


def goal_changes(project: Project, **fields: Unpack[GoalFields]) -> tuple[GoalChange, ...]:
    """What `change_goal` would change, to be shown before it is."""
    animals = fields.pop("animals", None)
    found = [
        GoalChange(name, LABELS[name], _said_of(name, getattr(project, name)), _said_of(name, value))
        for name, value in _columns(fields).items()
        if getattr(project, name) != value
    ]
    if animals is not None and (now := sorted(one.tag for one in animals)) != (was := kept_for(project)):
        found.append(GoalChange("animals", LABELS["animals"], said(was), said(now)))
    return tuple(found)


def _said_of(name: str, value: object) -> str:
    """Value of a field in words; a share as percent, as it is typed."""
    if name in {"share_at_least", "inbreeding_at_most"} and isinstance(value, float):
        return f"{100 * value:.4g} %"
    return said(value)


def change_goal(
    project: Project, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[GoalFields]
) -> tuple[GoalChange, ...]:
    """What changed of a goal; empty where nothing did.

    Parameters
    ----------
    project : Project
        The project, which gets the new values.
    who : str
        Who changes it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        Those of `start_project`.

    Raises
    ------
    RecordError
        REC-010 to REC-014, COL-045, DEC-120 or DEC-121; else DEC-001 to DEC-019, all faults together.
    """
    animals = fields.pop("animals", None)
    with deed("change goal", who=who, batch=batch) as done:
        project.refresh_from_db()
        refuse(_closed_faults(project))
        with_animals: GoalFields = fields if animals is None else {**fields, "animals": animals}
        changes = goal_changes(project, **with_animals)
        values = _columns(fields)
        tried = Project(**{field.attname: getattr(project, field.attname) for field in project._meta.concrete_fields})
        for name, value in values.items():
            setattr(tried, name, value)
        _check(tried)
        done.change(project, **values)
        if animals is not None:
            _keep_animals(done, project, animals)
    return changes


def reach_project(project: Project, *, who: str, batch: uuid.UUID | None = None) -> Project:
    """The project, reached: plans leave it out from now on.

    Raises
    ------
    RecordError
        DEC-121 if it is closed already.
    """
    return _close(project, ProjectState.REACHED, "reach project", who=who, batch=batch)


def give_up_project(project: Project, *, who: str, why: str = "", batch: uuid.UUID | None = None) -> Project:
    """The project, given up: plans leave it out from now on.

    Parameters
    ----------
    project : Project
        The project.
    who : str
        Who gives it up.
    why : str
        Reason, which is added to its notes.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        DEC-121 if it is closed already.
    """
    return _close(project, ProjectState.GIVEN_UP, "give up project", who=who, batch=batch, why=why)


def open_project_again(project: Project, *, who: str, batch: uuid.UUID | None = None) -> Project:
    """The project, open again; the same where it is.

    Raises
    ------
    RecordError
        DEC-120 where another open project is called so by now.
    """
    with deed("open project again", who=who, batch=batch) as done:
        project.refresh_from_db()
        refuse(name_faults(project))
        done.change(project, state=ProjectState.OPEN.value)
    return project


def reorder_projects(keys: Sequence[str], *, who: str, batch: uuid.UUID | None = None) -> list[Project]:
    """Open projects in a new order; those that are closed come last, as they stood.

    Parameters
    ----------
    keys : sequence of str
        Keys of all open projects, the one that comes first first.
    who : str
        Who puts them in order.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        DEC-122 where the keys are not those of the open projects, each once.
    """
    with deed("reorder projects", who=who, batch=batch) as done:
        found = list(Project.objects.all())
        opened = {one.key: one for one in found if one.state == ProjectState.OPEN.value}
        if sorted(keys) != sorted(opened):
            hint = f"Name each of these once: {', '.join(sorted(opened)) or 'none is open'}."
            raise RecordError(Fault("DEC-122", "these are not the open projects.", hint, field="keys"))
        ordered = [*(opened[key] for key in keys), *(one for one in found if one.key not in opened)]
        for place, project in enumerate(ordered, start=1):
            done.change(project, order=place)
    return ordered


def accept_caution(
    project: Project, code: str, *, who: str, words: str, by: str = "", batch: uuid.UUID | None = None
) -> Decision:
    """What the keeper said to a caution, for one project: pairings that bring it may be planned for it from now on.

    Parameters
    ----------
    project : Project
        The project.
    code : str
        Code of the caution, such as ``welfare-neurological:spider``, or of all of its kind: ``welfare-neurological``.
    who : str
        Who writes it.
    words : str
        What was said; must not be empty.
    by : str
        Who said it; `who` if left out.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-010 or REC-011; DEC-136 where nothing was said.
    """
    with deed("accept caution", who=who, batch=batch) as done:
        present = Decision.objects.filter(project=project, code=code).first()
        if present is not None:
            return present
        return spoken(done, project, code, words=words, by=by or who)


def spoken(done: Deed, project: Project, code: str, *, words: str, by: str) -> Decision:
    """A caution spoken for, within a deed.

    Raises
    ------
    RecordError
        As `accept_caution`.
    """
    faults = [*length_faults(code, 120, field="code"), *length_faults(by, 120, field="by")]
    if not code.strip():
        faults.append(Fault("REC-010", "no caution is named.", "Give the code of the caution.", field="code"))
    if not words.strip():
        hint = "Say in a sentence of your own why it is done all the same."
        faults.append(Fault("DEC-136", f"nothing was said to the caution {code}.", hint, field="words", value=code))
    refuse(faults)
    decision = Decision(project=project, code=code.strip(), by=by, date=today().isoformat(), words=words.strip())
    done.make(decision)
    return decision


def withdraw_caution(decision: Decision, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Take back what was said to a caution; the log keeps it."""
    with deed("withdraw caution", who=who, batch=batch) as done:
        done.delete(decision)


def _columns(fields: Any) -> dict[str, Any]:
    """Columns and their values, texts without space around them, lists as lists."""
    values: dict[str, Any] = {}
    for name, value in fields.items():
        if isinstance(value, str):
            values[name] = value.strip()
        elif name == "some_of":
            values[name] = [one.strip() for one in value if one.strip()]
        else:
            values[name] = value
    return values


def _check(project: Project) -> None:
    """Refuse what cannot be, first of the values themselves, then of the goal that they make."""
    refuse([*field_faults(project), *name_faults(project)])
    refuse(goal_faults(project, season=season_of(today(), catalogue(project.species))))


def _last() -> int:
    return max(Project.objects.values_list("order", flat=True), default=0)


def _keep_animals(done: Deed, project: Project, animals: Iterable[Animal]) -> None:
    """Keep these animals for the project only, and no others."""
    wanted = {one.pk: one for one in animals}
    present = list(ProjectAnimal.objects.filter(project=project, role=ProjectAnimal.ONLY))
    kept = {one.animal_id for one in present}
    done.delete(*(one for one in present if one.animal_id not in wanted))
    done.make(
        *(
            ProjectAnimal(project=project, animal=animal, role=ProjectAnimal.ONLY)
            for key, animal in wanted.items()
            if key not in kept
        )
    )


def _closed_faults(project: Project) -> list[Fault]:
    """DEC-121 where a project is not open."""
    if project.state == ProjectState.OPEN.value:
        return []
    what, hint = f"{project.name} is {project.state} already.", "Open it again first."
    return [Fault("DEC-121", what, hint, field="state", value=project.state)]


def _close(
    project: Project, state: ProjectState, name: str, *, who: str, batch: uuid.UUID | None, why: str = ""
) -> Project:
    with deed(name, who=who, batch=batch) as done:
        project.refresh_from_db()
        refuse(_closed_faults(project))
        notes = "\n".join(part for part in (project.notes, why.strip()) if part)
        done.change(project, state=state.value, notes=notes)
    return project
