"""Hatchlings that can change how a project goes: alone, or in the best plan with all of them."""

from __future__ import annotations

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.in_stock import with_kept
from holdback.decisions.holdbacks.meeting import sides
from holdback.decisions.holdbacks.watch import Watch
from holdback.decisions.holdbacks.worths import Worths

_SAME = 1e-9


def active_groups(worths: Worths, watch: Watch) -> tuple[int, ...]:
    """Numbers of groups whose members do something for a project.

    Parameters
    ----------
    worths : Worths
        Candidates and projects.
    watch : Watch
        Told how far the work is; asked whether to stop.

    Notes
    -----
    Such a group makes a project go better by itself, in a sex that it may have, or is named by the plan found with all
    hatchlings, those of unknown sex once all males and once all females.
    """
    named = {animal for sex in (Sex.MALE, Sex.FEMALE) for animal in _named_with_all(worths, sex)}
    found = []
    for k, group in enumerate(worths.groups):
        watch.step(k / len(worths.groups))
        if _does_something(worths, k) or named & set(group):
            found.append(k)
    return tuple(found)


def _does_something(worths: Worths, k: int) -> bool:
    nothing = worths.told(())
    for sex, _ in worths.candidates[worths.groups[k][0]].sexes:
        alone = worths.told(((k, sex),))
        for project, with_it, without in zip(worths.projects, alone.projects, nothing.projects, strict=True):
            gain = with_it.eggs(project.goal).mean() - without.eggs(project.goal).mean()
            if gain > _SAME:
                return True
    return False


def _named_with_all(worths: Worths, unknown: Sex) -> set[str]:
    """Hatchlings named by the plans found with all of them."""
    sexes = {name: one.sex if one.sex is not Sex.UNKNOWN else unknown for name, one in worths.candidates.items()}
    stock = with_kept(worths.stock, worths.candidates, sexes)
    found = set()
    for project in worths.projects:
        for target in project.targets:
            plan = worths.tools.search(stock, target, project.goal)
            found |= {animal for side, _ in sides(plan) for animal in side.animals} if plan else set()
    return found & set(sexes)
