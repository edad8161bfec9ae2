"""Reasons and limits in a breeder's words."""

from __future__ import annotations

import datetime as dt

import numpy as np

from holdback.decisions.season_plan.plan_input import PlanInput
from holdback.decisions.season_plan.state import State

_TRIES = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")


def in_100(chance: float) -> str:
    """A chance as "54 in 100"."""
    if 0 < chance < 0.005:
        return "less than 1 in 100"
    if 0.995 <= chance < 1:
        return "more than 99 in 100"
    return f"{round(100 * chance)} in 100"


def reasons(state: State, locked: set[tuple[int, int]]) -> list[tuple[str, ...]]:
    """Why each pair of a plan is made, in the order of the pairs; tries are counted from the best chance on."""
    columns, found = state.columns, [list[str]() for _ in state.pairs]
    for part in range(columns.n_parts):
        its = np.flatnonzero(columns.part == part)
        its = its[np.argsort(-columns.chance[its], kind="stable")]
        before = 0.0
        for at, pair in enumerate(its.tolist()):
            after = float(columns.chances(its[: at + 1])[part])
            found[pair].append(_try(state, pair, at, (before, after)))
            before = after
    for pair, (sire, dam, project, _) in enumerate(state.pairs.tolist()):
        if columns.bet[pair] >= 0:
            found[pair].append(_bet(float(columns.bet_chance[columns.bet[pair]])))
        if (sire, dam) in locked:
            nothing = " No project gains from it this season." if project < 0 or columns.chance[pair] <= 0 else ""
            found[pair].append(f"You fixed this pair.{nothing}")
    return [tuple(one) for one in found]


def _try(state: State, pair: int, at: int, chances: tuple[float, float]) -> str:
    project = state.inp.projects[int(state.pairs[pair, 2])]
    part = project.parts[int(state.pairs[pair, 3])].name
    if at == 0:
        what = f"{part}, for {project.name}" if part else project.name
        return f"First try at {what}: {in_100(chances[1])}."
    number = _TRIES[at] if at < len(_TRIES) else "Another"
    before, after = in_100(chances[0]), in_100(chances[1])
    if before == after:
        return f"{number} try at the same goal: it stays at {after}."
    short = before.removesuffix(" in 100") if before[0].isdigit() else before
    return f"{number} try at the same goal: {short} becomes {after}."


def _bet(chance: float) -> str:
    return f"He may carry it ({in_100(chance)}); all his clutches hang on that, and together never pass it."


def day_words(day: dt.date) -> str:
    """A day as "8 July"."""
    return f"{day.day} {day.strftime('%B')}"


def clutches(n: int) -> str:
    """A number of clutches: "1 clutch", "5 clutches"."""
    return f"{n} clutch" if n == 1 else f"{n} clutches"


def pairings(n: int) -> str:
    """A number of pairings."""
    return f"{n} pairing" if n == 1 else f"{n} pairings"


def names(inp: PlanInput, animals: tuple[str, ...]) -> str:
    """Animals in a row: "Ledger, Harrow and Mortar"."""
    told = [inp.name(one) for one in animals]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
