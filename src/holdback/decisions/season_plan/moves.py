"""A plan moved by hand: its worth, and every limit that it breaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from holdback.decisions.season_plan.limit_words import broken
from holdback.decisions.season_plan.limits import limits_of, stand
from holdback.decisions.season_plan.plan import fours, pairings_of
from holdback.decisions.season_plan.plan_input import PlanInput
from holdback.decisions.season_plan.result import Broken, Move, SeasonPlan, WeekPlaces, WhatIf
from holdback.decisions.season_plan.state import Four, State
from holdback.decisions.season_plan.words import day_words
from holdback.errors import DecisionError, Fault


def what_if(inp: PlanInput, plan: SeasonPlan, moves: Sequence[Move]) -> WhatIf:
    """A plan after some moves, whatever limits they break.

    Parameters
    ----------
    inp : PlanInput
        What the plan was made from.
    plan : SeasonPlan
        Plan to start from.
    moves : sequence of Move
        Changes, made one after the other.

    Returns
    -------
    WhatIf
        Worth, pairs, and broken limits with a sentence each.

    Raises
    ------
    DecisionError
        DEC-037 if a move names an animal or project that is not in the plan.
    """
    pairs = {inp.females.index(one.dam): four for one, four in zip(plan.pairings, fours(inp, plan), strict=True)}
    for move in moves:
        _check(inp, move)
        dam = inp.females.index(move.dam)
        pairs.pop(dam, None)
        if move.sire:
            pairs[dam] = _best_part(inp, list(pairs.values()), dam, move)
    state = State(inp, list(pairs.values()))
    return WhatIf(
        state.worth,
        state.worth - plan.worth,
        pairings_of(state),
        tuple(_broken(state)),
        state.load(),
        state.outlooks(),
    )


def _check(inp: PlanInput, move: Move) -> None:
    known = ((move.sire, {*inp.males, ""}), (move.dam, {*inp.females}))
    for name, there in (*known, (move.project, {"", *(one.id for one in inp.projects)})):
        if name not in there:
            what = f"A move names {name or 'no female'}, which is not in this plan."
            raise DecisionError(
                Fault("DEC-037", what, "Choose from the animals and projects of the plan.", animal=name)
            )


def _best_part(inp: PlanInput, others: list[Four], dam: int, move: Move) -> Four:
    """The pair moved, for the part that gains most by it; for no project where none does."""
    sire, crosses = inp.males.index(move.sire), inp.crosses
    wanted = [place for place, one in enumerate(inp.projects) if move.project in ("", one.id)]
    hers = np.flatnonzero((crosses.sire == sire) & (crosses.dam == dam) & np.isin(crosses.project, wanted))
    choices: list[Four] = [(sire, dam, int(crosses.project[one]), int(crosses.part[one])) for one in hers]
    if not choices:
        return (sire, dam, wanted[0] if move.project else -1, 0)
    return max(choices, key=lambda four: State(inp, [*others, four]).worth)


def _broken(state: State) -> Iterator[Broken]:
    inp = state.inp
    yield from _pairs_not_to_be_made(state)
    for limit in limits_of(inp, state.columns):
        if limit.kind in {load.name for load in inp.loads}:
            continue
        stands = stand(limit, state.columns, state.all)
        by = max(stands - limit.high, limit.low - stands)
        if by > 1e-9:
            yield Broken(limit.key, by, broken(inp, limit, by))
    taken = {
        (load.name, day): room
        for load in inp.loads
        for day, room in zip(inp.weeks, _taken(inp, load.name), strict=True)
    }
    for week in state.load():
        by = week.planned_for - max(week.places, taken[week.name, week.week])
        if by > 1e-6:
            yield _week(inp, week, by)


def _taken(inp: PlanInput, name: str) -> list[float]:
    """What is taken of a kind of places by week whatever the plan says, in the year planned for."""
    load = next(one for one in inp.loads if one.name == name)
    return list((load.taken_mean + inp.caution * load.taken_sd).tolist())


def _week(inp: PlanInput, week: WeekPlaces, by: float) -> Broken:
    year = " in the year that is planned for" if inp.caution > 0 else ""
    sentence = (
        f"In the week of {day_words(week.week)} {week.planned_for:.0f} {week.name} would be taken{year},"
        f" and there are {week.places:.0f}."
    )
    return Broken(f"{week.name}:{week.week.isoformat()}", by, sentence)


def _pairs_not_to_be_made(state: State) -> Iterator[Broken]:
    inp = state.inp
    bans: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for ban in inp.bans:
        bans.setdefault((ban.sire, ban.dam), []).append((ban.project, ban.reason))
    made = {}
    for sire, dam, project, _ in state.pairs.tolist():
        pair = (inp.males[sire], inp.females[dam])
        made[pair] = inp.projects[project].id if project >= 0 else ""
        for animal in pair:
            if animal in inp.not_ready:
                yield Broken(f"ready:{animal}", 1.0, inp.not_ready[animal])
        for which, reason in bans.get(pair, ()):
            if which in ("", made[pair]):
                yield Broken(f"pair:{pair[0]}:{pair[1]}", 1.0, reason)
    for lock in inp.locks:
        if (lock.sire, lock.dam) not in made or lock.project not in ("", made[lock.sire, lock.dam]):
            sentence = f"{inp.name(lock.sire)} and {inp.name(lock.dam)} are fixed."
            yield Broken(f"fixed:{lock.sire}:{lock.dam}", 1.0, sentence)
