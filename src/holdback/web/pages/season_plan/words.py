"""Worth, chances and proof of a season plan in words."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from holdback.answers.season.words import day_words
from holdback.decisions.season_plan import ProjectOutlook, SeasonPlan, WeekPlaces, WhatIf
from holdback.web.pages.season_plan.worked import Planned
from holdback.web.pages.wording import GAP, counted, listed, number

_LITTLE = 0.05
"""Eggs below which a difference is not told as a number."""


def in_100(chance: float) -> str:
    """A chance as "54 in 100"."""
    if 0 < chance < 0.005:
        return "under 1 in 100"
    return f"{'over 99' if 0.995 <= chance < 1 else round(100 * chance)} in 100"


def eggs(worth: float) -> str:
    """A worth in eggs: "3.4 eggs"."""
    said = number(abs(worth), 1)
    return f"{said} {'egg' if said == '1' else 'eggs'}"


def cost(change: float) -> str:
    """What a change costs: "costs 1.3 eggs", "gains 0.4 eggs"."""
    if abs(change) < _LITTLE:
        return "costs next to nothing"
    return f"costs {eggs(change)}" if change < 0 else f"gains {eggs(change)}"


def difference(change: float) -> str:
    """The same for a cell: "−1.3", "+0.4", "±0"."""
    said = number(abs(change), 1)
    return "±0" if said == "0" else f"{'−' if change < 0 else '+'}{said}"


def outlook_words(found: Planned, projects: Sequence[ProjectOutlook]) -> list[str]:
    """What a plan does for each project that it serves: "Big Clown: 61 in 100 for the goal by 2030"."""
    by_key = {one.id: one for one in found.inp.projects}
    told = []
    for one in projects:
        project = by_key[one.project]
        if one.pairings:
            parts = [
                f"{in_100(chance)} for {part.name or 'what it wants'}"
                for part, chance in zip(project.parts, one.chances, strict=True)
                if chance > 0
            ]
            told.append(f"{project.name}, {counted(one.pairings, 'pairing')}: {listed(parts)}")
    return told


def chances_changed(found: Planned, after: Sequence[ProjectOutlook]) -> list[str]:
    """How chances move from the plan to what was made of it by hand: "Big Clown: 61 in 100 becomes 52"."""
    before = {one.project: one for one in found.plan.projects}
    told = []
    for one in after:
        project = next(each for each in found.inp.projects if each.id == one.project)
        for part, then, now in zip(project.parts, before[one.project].chances, one.chances, strict=True):
            if in_100(then) != in_100(now):
                what = f"{project.name}, {part.name}" if part.name else project.name
                told.append(f"{what}: {in_100(then)} becomes {in_100(now)}.")
    return told


def broken_words(state: WhatIf, known: Collection[str] = ()) -> list[str]:
    """Limits that are broken, in a sentence each; weeks of one kind of place in one.

    Parameters
    ----------
    state : WhatIf
        Pairs as they were moved.
    known : collection of str
        Keys of limits that are not told.
    """
    new = [one for one in state.broken if one.limit not in known]
    weeks = {f"{one.name}:{one.week.isoformat()}": one for one in state.load}
    told = [one.sentence for one in new if one.limit not in weeks]
    lacking: dict[str, list[WeekPlaces]] = {}
    for one in new:
        if one.limit in weeks:
            lacking.setdefault(weeks[one.limit].name, []).append(weeks[one.limit])
    return [*dict.fromkeys(told), *(_weeks_words(name, found) for name, found in lacking.items())]


def _weeks_words(name: str, weeks: Sequence[WeekPlaces]) -> str:
    most = max(weeks, key=lambda one: one.planned_for - one.places)
    first, last = (day_words(one.week, today=weeks[0].week) for one in (weeks[0], weeks[-1]))
    when = f"In the week of {first}" if len(weeks) == 1 else f"From the week of {first} to that of {last}"
    there = number(most.places)
    return f"{when} there are too few {name}: {number(most.planned_for, 1)} would be taken, of {there}."


def lede(found: Planned, now: WhatIf) -> tuple[str, str]:
    """How many pairings for what, as it stands, and what is uncertain of it."""
    goals = found.decisions.goals
    served = [goals[one.project].name for one in now.projects if one.pairings and one.project in goals]
    if not now.pairings:
        return f"Nobody is put together in {found.asked.year}.", ""
    plain = f"{counted(len(now.pairings), 'pairing')}{f' for {listed(served)}' if served else ''}."
    why = [found.decisions.reasons(one, found.asked.year) for one in now.pairings]
    bets = sum(any(_is_bet(reason) for reason in reasons) for reasons in why)
    if not bets:
        return plain, ""
    verb = "hangs" if bets == 1 else "hang"
    return plain, f"{counted(bets, 'pairing')} {verb} on what an animal may carry."


def _is_bet(reason: str) -> bool:
    """Whether a reason says that the clutch comes to nothing if a parent does not carry what it may carry."""
    return "may carry" in reason and ("; if not," in reason or "hang on that" in reason)


def proof_words(plan: SeasonPlan) -> str:
    """How sure it is that no other plan is better."""
    if plan.optimal:
        return "No other plan within your limits is worth more: proven."
    within = f"{100 * plan.gap:.1g}{GAP}%" if plan.gap < 1 else "more than all it is worth"
    return f"Not proven best: within {within} of the best there could be."
