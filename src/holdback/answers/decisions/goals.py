"""The goals that a collection's projects set."""

from __future__ import annotations

from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.projects import Project, ProjectState
from holdback.decisions.goal import Budget, Goal, SizeWish


def goals_of(collection: Collection, *, is_all: bool = False) -> dict[str, Goal]:
    """Goal of each open project by its id, in the keeper's order.

    Parameters
    ----------
    collection : Collection
        Records.
    is_all : bool
        Whether projects that were reached or given up are wanted too.
    """
    accepted: dict[str, frozenset[str]] = {}
    for one in collection.records.accepted:
        accepted[one.project] = accepted.get(one.project, frozenset()) | {one.code}
    return {
        one.id: goal_of(one, accepted.get(one.id, frozenset()))
        for one in collection.records.projects
        if is_all or one.state is ProjectState.OPEN
    }


def goal_of(project: Project, accepted: frozenset[str] = frozenset()) -> Goal:
    """Goal that a project sets, with the cautions that the keeper has spoken for."""
    return Goal(
        name=project.name,
        want=project.want,
        some_of=project.some_of,
        some_least=project.some_least,
        none_of=project.none_of,
        line=project.line,
        share_at_least=project.share_at_least,
        size=SizeWish(
            project.size,
            project.size_low_g or 0.0,
            float("inf") if project.size_high_g is None else project.size_high_g,
        ),
        number=project.number,
        by=project.by or 0,
        inbreeding_at_most=project.inbreeding_at_most,
        accepted=accepted,
        budget=Budget(project.eggs, project.tubs, project.money),
        worth_eggs=project.worth_eggs,
        year_worth_eggs=project.year_worth_eggs,
        animals=project.animals,
        least_pairings=project.least_pairings,
    )


def kept_for_others(goals: Mapping[str, Goal], key: str) -> frozenset[str]:
    """Animals that a project may not use, as they are kept for another only."""
    return frozenset(one for other, goal in goals.items() if other != key for one in goal.animals) - frozenset(
        goals[key].animals
    )
