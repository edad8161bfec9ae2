"""What a project must be before it is written: a goal that can be read, limits that can be, a name of its own."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf
from typing import Any

from holdback.collection.model import NO_SIRE
from holdback.collection.projects import FIRST_YEAR, LAST_YEAR, ProjectState, SizeAim, project_faults
from holdback.collection.projects import Project as Known
from holdback.decisions.goal import Budget, Goal, SizeWish
from holdback.decisions.wanting import targets_of
from holdback.errors import DecisionError, Fault
from holdback.web.records.models import Decision, LineClaim, Project, ProjectAnimal
from holdback.web.records.overlay import catalogue
from holdback.web.records.rules import date_faults, length_faults, number_faults, word_faults

MOST = 10_000
"""Largest count of eggs, tubs or animals that is taken for one."""
NOT_KEYS = frozenset({"", NO_SIRE, "new"})
"""Words that no project has as its key: they mean something else in files and addresses."""
_LENGTHS = {"name": 120, "want": 200, "none_of": 200, "line": 80}
_COUNTS = ("number", "some_least", "eggs", "tubs", "least_pairings")
_AMOUNTS = ("money", "worth_eggs", "year_worth_eggs", "size_low_g", "size_high_g")


def goal_of_row(project: Project, *, animals: Sequence[str] = (), accepted: Iterable[str] = ()) -> Goal:
    """Goal that a project sets.

    Parameters
    ----------
    project : Project
        The project; need not be saved.
    animals : sequence of str
        Ids of animals kept for it only.
    accepted : iterable of str
        Codes of the cautions spoken for.
    """
    high = inf if project.size_high_g is None else project.size_high_g
    return Goal(
        name=project.name,
        want=project.want,
        some_of=tuple(project.some_of),
        some_least=project.some_least,
        none_of=project.none_of,
        line=project.line,
        share_at_least=project.share_at_least,
        size=SizeWish(SizeAim(project.size_aim), project.size_low_g or 0.0, high),
        number=project.number,
        by=project.by or 0,
        inbreeding_at_most=project.inbreeding_at_most,
        accepted=frozenset(accepted),
        budget=Budget(project.eggs, project.tubs, project.money),
        worth_eggs=project.worth_eggs,
        year_worth_eggs=project.year_worth_eggs,
        animals=tuple(animals),
        least_pairings=project.least_pairings,
    )


def spoken_for(project: Project) -> frozenset[str]:
    """Codes of the cautions that the keeper has spoken for, for a project."""
    return frozenset(Decision.objects.filter(project=project).values_list("code", flat=True))


def kept_for(project: Project, role: str = ProjectAnimal.ONLY) -> list[str]:
    """Ids of the animals of a project in a role."""
    return list(
        ProjectAnimal.objects.filter(project=project, role=role)
        .order_by("animal__tag")
        .values_list("animal__tag", flat=True)
    )


def field_faults(project: Project) -> Iterator[Fault]:
    """Faults of the values as they stand, without a look at the genes: REC-010 to REC-014, and those of the folder."""
    if not project.name:
        yield Fault("REC-010", "the project has no name.", "Say what it is called.", field="name")
    for name, most in _LENGTHS.items():
        yield from length_faults(getattr(project, name), most, field=name)
    yield from word_faults(project.size_aim, SizeAim, field="size_aim")
    yield from word_faults(project.state, ProjectState, field="state")
    yield from date_faults(project.since, field="since")
    counts = [*number_faults(project.by, FIRST_YEAR, LAST_YEAR, field="by")]
    for name in _COUNTS:
        counts += number_faults(getattr(project, name), 1 if name == "number" else 0, MOST, field=name)
    for name in _AMOUNTS:
        counts += number_faults(getattr(project, name), 0, inf, field=name, above=name.startswith("size_"))
    for name in ("share_at_least", "inbreeding_at_most"):
        counts += number_faults(getattr(project, name), 0, 1, field=name)
    yield from counts
    if not counts and project.size_aim in [one.value for one in SizeAim]:
        yield from _size_faults(project)


def _size_faults(project: Project) -> Iterator[Fault]:
    """COL-045 as in a folder, in the words of the form."""
    known = Known(
        project.key,
        project.name,
        size=SizeAim(project.size_aim),
        size_low_g=project.size_low_g,
        size_high_g=project.size_high_g,
    )
    for code, what, hint, name in project_faults(known):
        yield Fault(code, what, hint, field="size_aim" if name == "size" else name)


def goal_faults(project: Project, *, season: int) -> Iterator[Fault]:
    """DEC-001 to DEC-019: why the goal of a project cannot be read or reached.

    Parameters
    ----------
    project : Project
        The project; need not be saved.
    season : int
        The season that is planned for.
    """
    lines = sorted(set(LineClaim.objects.values_list("line", flat=True)))
    try:
        targets_of(goal_of_row(project), catalogue(project.species), lines=lines, this_season=season)
    except DecisionError as error:
        yield from error.faults


def name_faults(project: Project) -> Iterator[Fault]:
    """DEC-120 where another open project is called so."""
    others = Project.objects.filter(name__iexact=project.name, state=ProjectState.OPEN.value).exclude(pk=project.pk)
    if project.name and others.exists():
        what, hint = f"there is an open project {project.name!r} already.", "Give this one another name."
        yield Fault("DEC-120", what, hint, field="name", value=project.name)


def new_key(name: str) -> str:
    """Key for a new project: its name in small letters with hyphens, and a number where another has it.

    A name without a Latin letter or a figure gives ``project``.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    base = re.sub(r"[^a-z0-9]+", "-", plain.casefold()).strip("-")[:48]
    if base in NOT_KEYS:
        base = f"project-{base}".rstrip("-")
    taken = set(Project.objects.filter(key__startswith=base).values_list("key", flat=True))
    free = (base, *(f"{base}-{number}" for number in range(2, len(taken) + 3)))
    return next(key for key in free if key not in taken)


LABELS: Mapping[str, str] = {
    "name": "name",
    "want": "what it must be",
    "some_of": "some of",
    "some_least": "at least so many of them",
    "none_of": "none of",
    "line": "line",
    "share_at_least": "share of the line",
    "size_aim": "adult size",
    "size_low_g": "least adult weight",
    "size_high_g": "largest adult weight",
    "number": "animals wanted",
    "by": "last season",
    "inbreeding_at_most": "largest inbreeding",
    "eggs": "eggs in all",
    "tubs": "tubs at one time",
    "money": "money in all",
    "worth_eggs": "eggs that the goal is worth",
    "year_worth_eggs": "eggs that a year sooner is worth",
    "animals": "animals for it only",
    "least_pairings": "pairings in a season at least",
    "notes": "notes",
    "since": "begun",
}
"""What a keeper calls each field of a goal."""


def said(value: Any) -> str:
    """Value of a field of a goal in words; "nothing" for an empty one."""
    if value is None or value == "" or value == [] or value == ():
        return "nothing"
    if isinstance(value, list | tuple):
        return ", ".join(str(one) for one in value)
    return f"{value:g}" if isinstance(value, float) else str(value)
