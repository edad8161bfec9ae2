"""Hold young back for a project, and release them."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Sequence

from holdback.collection.projects import ProjectState
from holdback.collection.status import is_here
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.models import Animal, Project, ProjectAnimal
from holdback.web.records.rules import refuse
from holdback.web.records.services.animals import write_fields
from holdback.web.records.services.deed import deed

HELD_BACK = "holdback"
"""Status of an animal that is held back."""


def hold_back(
    animals: Sequence[Animal], *, who: str, project: Project, sure: bool = False, batch: uuid.UUID | None = None
) -> list[ProjectAnimal]:
    """The animals, held back for a project; one that is held back for it already stays as it is.

    Parameters
    ----------
    animals : sequence of Animal
        Young, or any animals.
    who : str
        Who holds them back.
    project : Project
        What for.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        DEC-121 where the project is closed, DEC-125 for an animal that is not here (a question); as a question
        DEC-134 where more are held back than the project has tubs.
    """
    with deed("hold back", who=who, batch=batch) as done:
        role = ProjectAnimal.HELD_BACK
        there = {one.animal_id: one for one in ProjectAnimal.objects.filter(project=project, role=role)}
        judge([*_closed(project), *_away(animals), *_tubs(project, animals, there)], sure=sure)
        for animal in animals:
            if animal.pk in there:
                continue
            there[animal.pk] = row = ProjectAnimal(
                project=project, animal=animal, role=role, status_before=_status_before(animal)
            )
            done.make(row)
            if animal.status != HELD_BACK:
                write_fields(done, animal, {"status": HELD_BACK})
    return [there[animal.pk] for animal in animals]


def release(
    animal: Animal, *, who: str, project: Project, status: str | None = None, batch: uuid.UUID | None = None
) -> Animal:
    """The animal, held back for a project no more.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who releases it.
    project : Project
        The project that it was held back for.
    status : str, optional
        Its status from now on; the one from before it was held back if left out. While another project holds it back
        it stays held back.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        DEC-137 where it is not held back for the project.
    """
    with deed("release", who=who, batch=batch) as done:
        animal.refresh_from_db()
        rows = list(ProjectAnimal.objects.filter(animal=animal, role=ProjectAnimal.HELD_BACK))
        own = [one for one in rows if one.project_id == project.pk]
        if not own:
            what = f"{animal.tag} is not held back for {project.name}."
            refuse([Fault("DEC-137", what, "Nothing is left to do.", field="animal", animal=animal.tag)])
        done.delete(*own)
        if len(rows) == len(own) and animal.status == HELD_BACK:
            write_fields(done, animal, {"status": own[0].status_before if status is None else status.strip()})
    return animal


def _status_before(animal: Animal) -> str:
    """Status that the animal gets again: its own, or that of the project that holds it back already."""
    if animal.status != HELD_BACK:
        return animal.status
    first = ProjectAnimal.objects.filter(animal=animal, role=ProjectAnimal.HELD_BACK).first()
    return first.status_before if first else ""


def _closed(project: Project) -> Iterator[Fault]:
    """DEC-121 where the project is not open."""
    if project.state != ProjectState.OPEN.value:
        what, hint = f"{project.name} is {project.state}.", "Open it again first, or choose another."
        yield Fault("DEC-121", what, hint, field="project", value=project.name)


def _away(animals: Sequence[Animal]) -> Iterator[Fault]:
    """DEC-125, a question, for each animal that is dead or elsewhere by its status."""
    for animal in animals:
        if animal.removed_at or not is_here(animal.status):
            what = f"{animal.tag} is {animal.status or 'taken out of the records'}."
            yield Fault("DEC-125", what, "Is it here again?", field="animals", value=animal.tag, animal=animal.tag)


def _tubs(project: Project, animals: Sequence[Animal], there: dict[uuid.UUID, ProjectAnimal]) -> Iterator[Fault]:
    """DEC-134, a question, where a project would hold back more than it has tubs for."""
    held = set(there) | {animal.pk for animal in animals}
    if project.tubs is not None and len(held) > max(project.tubs, len(there)):
        what = f"{project.name} would hold back {len(held)}, and has {project.tubs} tubs."
        yield Fault("DEC-134", what, "Release one first, or give the project another tub.", field="animals")
