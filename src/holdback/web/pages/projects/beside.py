"""Projects as other pages tell of them: those of an animal, and those that a pair serves.

What is on record is always told; what plans say only where they are worked out already, so that no page waits for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Q

from holdback.answers.decisions import Decisions
from holdback.bridge.decisions import made_decisions
from holdback.collection.projects import PairingState, ProjectState
from holdback.errors import DecisionError
from holdback.web.pages.family import record_id
from holdback.web.pages.projects.words import animals_of
from holdback.web.records import clock
from holdback.web.records.models import Animal, PlannedPairing, ProjectAnimal

_ROLES = {ProjectAnimal.ONLY: "kept for it alone", ProjectAnimal.HELD_BACK: "held back for it"}
_OPEN = ProjectState.OPEN.value


@dataclass(frozen=True, slots=True)
class InProject:
    """A project, and what an animal or a pair is to it."""

    key: str
    name: str
    said: str


def projects_with(animal: Animal) -> list[InProject]:
    """Open projects that an animal is in."""
    said: dict[str, list[str]] = {}
    names: dict[str, str] = {}
    for row in animal.projects.filter(project__state=_OPEN).select_related("project"):
        names[row.project.key] = row.project.name
        said.setdefault(row.project.key, []).append(_ROLES[row.role])
    mine = PlannedPairing.objects.filter(Q(sire=animal) | Q(dam=animal), project__state=_OPEN)
    for pairing in mine.exclude(state=PairingState.DROPPED.value).select_related("project", "sire", "dam"):
        other, project = pairing.dam if pairing.sire_id == animal.pk else pairing.sire, pairing.project
        assert project is not None, "asked for by its state"
        names[project.key] = project.name
        said.setdefault(project.key, []).append(f"planned with {other.name or other.tag} for {pairing.year}")
    plans = _worked_out()
    for key, goal in plans.goals.items() if plans else ():
        names[key] = goal.name
        said.setdefault(key, []).extend(_of_plan(plans, key, record_id(animal)) if plans else ())
    return [InProject(key, names[key], _joined(words)) for key, words in said.items() if words]


def projects_with_pair(sire: str, dam: str) -> list[InProject]:
    """Open projects that a pair is planned for, or that go by it.

    Parameters
    ----------
    sire, dam : str
        Ids in the collection.
    """
    found: dict[str, InProject] = {}
    pairs = PlannedPairing.objects.filter(sire__tag=sire, dam__tag=dam, project__state=_OPEN).select_related("project")
    for pairing in pairs:
        state = "dropped" if pairing.state == PairingState.DROPPED.value else "planned"
        project = pairing.project
        assert project is not None, "asked for by its state"
        found[project.key] = InProject(project.key, project.name, f"{state} for {pairing.year}.")
    plans = _worked_out()
    for key, goal in plans.goals.items() if plans else ():
        route = plans.route_or_none(key) if plans else None
        if any(sire in step.sire.animals and dam in step.dam.animals for step in (route.steps if route else ())):
            found.setdefault(key, InProject(key, goal.name, "a step of its way."))
    return list(found.values())


def _worked_out() -> Decisions | None:
    found = made_decisions(clock.today())
    return found if found is not None and found.is_worked_out else None


def _of_plan(plans: Decisions, key: str, animal: str) -> Iterator[str]:
    """What the way and the season plan of a project say of an animal."""
    route = plans.route_or_none(key)
    if route is not None and animal in animals_of(route):
        yield "its way counts on it"
    try:
        pairs = [one for one in plans.season_plan().pairings if one.project == key]
    except DecisionError:
        return
    if any(animal in (one.sire, one.dam) for one in pairs):
        yield f"the plan of {plans.open_year} pairs it"


def _joined(words: list[str]) -> str:
    text = "; ".join(words)
    return f"{text}."
