"""All projects on one page: as sentences, how they stand, what they want of each other's animals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from holdback.answers.decisions import Decisions
from holdback.errors import DecisionError
from holdback.web.pages.projects.page import names_of, standing_or_none
from holdback.web.pages.projects.stands import one_line
from holdback.web.pages.projects.words import GoalSaid, animals_of, goal_said, points
from holdback.web.pages.wording import listed
from holdback.web.records.models import Project


@dataclass(frozen=True, slots=True)
class ProjectLine:
    """One open project in the list.

    Parameters
    ----------
    project : Project
        The record.
    goal : GoalSaid
        In a sentence.
    stands : str
        How it stands, in one line; empty while that is worked out.
    chance : str
        By its date, with its error; empty where there is none.
    by : str
        That date.
    todo : str
        What to pair for it.
    one_up : tuple of str
        Keys of all open projects with it one place earlier; empty for the first.
    """

    project: Project
    goal: GoalSaid
    stands: str = ""
    chance: str = ""
    by: str = ""
    todo: str = ""
    one_up: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wanted:
    """An animal that several projects count on, and which."""

    who: SafeString
    said: str


def lines_of(plans: Decisions, projects: Sequence[Project]) -> list[ProjectLine]:
    """Open projects in the keeper's order, with what is worked out of them."""
    keys = [one.key for one in projects]
    return [
        replace(_line(plans, one), one_up=_one_up(keys, at))
        for at, one in enumerate(projects)
        if one.key in plans.goals
    ]


def competing(plans: Decisions) -> list[Wanted]:
    """Animals that more than one project counts on; empty until the ways are worked out."""
    if not plans.is_worked_out:
        return []
    wants: dict[str, list[str]] = {}
    for key, goal in plans.goals.items():
        route = plans.route_or_none(key)
        for animal in animals_of(route) if route else ():
            wants.setdefault(animal, []).append(goal.name)
    shared = {animal: by for animal, by in wants.items() if len(by) > 1}
    names = names_of(plans, shared)
    return [Wanted(names.link(animal), _who_gets(plans, animal, by)) for animal, by in shared.items()]


def _who_gets(plans: Decisions, animal: str, by: list[str]) -> str:
    """Which projects want an animal, and which of them the season gives it to."""
    said = f"wanted by {listed(by)}"
    try:
        mine = [one for one in plans.season_plan().pairings if animal in (one.sire, one.dam)]
    except DecisionError:
        return f"{said}."
    goes = list(dict.fromkeys(plans.goals[one.project].name for one in mine if one.project in plans.goals))
    if not goes:
        return f"{said}; in {plans.open_year} for none of them."
    return f"{said}; in {plans.open_year} for {listed(goes)}."


def _one_up(keys: list[str], at: int) -> tuple[str, ...]:
    return (*keys[: at - 1], keys[at], keys[at - 1], *keys[at + 1 :]) if at else ()


def _line(plans: Decisions, project: Project) -> ProjectLine:
    key, goal = project.key, plans.goals[project.key]
    said = goal_said(goal, plans.catalogue)
    if said.faults or not plans.is_worked_out:
        return ProjectLine(project, said)
    standing = standing_or_none(plans, key)
    stands = one_line(standing, names_of(plans, standing.have)) if standing else ""
    if plans.unspoken(key):
        return ProjectLine(project, said, stands, todo="It wants a word from you before anything is planned for it.")
    found = plans.rehearsed(key)
    if found is None:
        return ProjectLine(project, said, stands, todo=plans.without_route.get(key, ""))
    return ProjectLine(
        project, said, stands, points(found.by_wished), str(found.year + found.wished), _todo(plans, key)
    )  # fmt: skip


def _todo(plans: Decisions, key: str) -> str:
    try:
        mine = [one for one in plans.season_plan().pairings if one.project == key]
    except DecisionError as error:
        return " ".join(f"{one.what} {one.hint}".strip() for one in error.faults)
    names = names_of(plans, (a for one in mine for a in (one.sire, one.dam)))
    couples = [f"{names.short(one.sire)} with {names.short(one.dam)}" for one in mine]
    return f"For {plans.open_year}: {listed(couples)}." if couples else f"Nothing to pair for {plans.open_year}."
