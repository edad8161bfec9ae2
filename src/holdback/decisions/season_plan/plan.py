"""The season's pairings for all at once."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from holdback.decisions.season_plan.checking import check
from holdback.decisions.season_plan.columns import Columns, columns_of
from holdback.decisions.season_plan.left_out import left_out
from holdback.decisions.season_plan.limits import Limit, limits_of, ready_males
from holdback.decisions.season_plan.plan_input import IntArray, PlanInput
from holdback.decisions.season_plan.programme import Programme
from holdback.decisions.season_plan.result import Pairing, SeasonPlan
from holdback.decisions.season_plan.search import Choice, Search
from holdback.decisions.season_plan.smallest_change import smallest_change
from holdback.decisions.season_plan.state import Four, State
from holdback.decisions.season_plan.words import day_words, reasons
from holdback.errors import DecisionError, Fault

_NONE_YET = ("No season plan was found in the time it was given.", "Give it more time.")


def plan_season(
    inp: PlanInput,
    *,
    gap: float = 1e-6,
    seconds: float = 10.0,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> SeasonPlan:
    """Best pairings within all limits, proven, or with the gap that is left.

    Parameters
    ----------
    inp : PlanInput
        Who is there, what each cross could give, and the limits.
    gap : float
        Share of the worth within which the plan counts as proven.
    seconds : float
        Time it may take; the best plan by then is given, with its gap.
    progress : callable, optional
        Told the share of the time that is used.
    cancelled : callable, optional
        Asked now and then whether to stop; what was found by then is given.

    Returns
    -------
    SeasonPlan
        Pairings, females left out, and the bound.

    Raises
    ------
    DecisionError
        If the input is wrong, nobody can be paired, or no plan keeps all limits: DEC-030 to DEC-038.

    Notes
    -----
    Clutches count as independent but for those of an uncertain male. A week's places hold the mean and
    `PlanInput.caution` standard deviations; the deviation is taken by a tangent that never lies below it.
    """
    return best_plan(inp, Run(gap, seconds, progress, cancelled))


@dataclass(frozen=True, slots=True)
class Run:
    """How long and how far to search; see `plan_season`."""

    gap: float
    seconds: float
    progress: Callable[[float], None] | None = None
    cancelled: Callable[[], bool] | None = None


def best_plan(
    inp: PlanInput,
    run: Run,
    *,
    also: Callable[[Columns], Sequence[Limit]] | None = None,
    start: Sequence[Four] | None = None,
) -> SeasonPlan:
    """Best plan under further limits, from pairs that are known to keep all of them."""
    begin = time.monotonic()
    check(inp)
    columns = columns_of(inp)
    limits = [*limits_of(inp, columns), *(also(columns) if also else ())]
    programme = Programme(columns, limits)
    search = Search(programme, gap=run.gap, seconds=run.seconds, progress=run.progress, cancelled=run.cancelled)
    found = search.run(None if start is None else places_of(inp, columns, start))
    if found.chosen is None:
        raise DecisionError(smallest_change(inp, programme) if found.infeasible else Fault("DEC-038", *_NONE_YET))
    return told(inp, columns, limits, found, gap=run.gap, seconds=time.monotonic() - begin)


def told(
    inp: PlanInput, columns: Columns, limits: Sequence[Limit], found: Choice, *, gap: float, seconds: float
) -> SeasonPlan:
    """A choice as a plan, with its reasons."""
    assert found.chosen is not None
    chosen = found.chosen
    state = State(inp, pairs_of(inp, columns, chosen))
    used = set(state.pairs[:, 0].tolist())
    spare = tuple(inp.males[one] for one in ready_males(inp).tolist() if one not in used)
    return SeasonPlan(
        pairings=pairings_of(state),
        left_out=left_out(inp, columns, limits, chosen),
        projects=state.outlooks(),
        worth=found.worth,
        bound=found.bound,
        gap=found.gap(),
        optimal=found.gap() <= gap,
        spare=spare,
        load=state.load(),
        notes=tuple(_notes(inp, found, gap)),
        seconds=seconds,
    )


def _notes(inp: PlanInput, found: Choice, gap: float) -> Iterator[str]:
    """What is to be said of the whole plan."""
    if found.gap() > gap:
        most = found.bound - found.worth
        yield f"Not proven best: another plan could be worth up to {most:.2g} more, of {found.worth:.0f}."
    for load in inp.loads:
        full = load.taken_mean + inp.caution * load.taken_sd > load.places + 1e-9
        if full.any():
            first = day_words(inp.weeks[int(np.argmax(full))])
            yield f"From the week of {first} there are too few {load.name} already; no clutch is added to such weeks."


def pairs_of(inp: PlanInput, columns: Columns, chosen: IntArray) -> list[Four]:
    """Places of sire, dam, project and part within the project of chosen columns."""
    first = np.concatenate([[0], np.cumsum([len(one.parts) for one in inp.projects])])
    project, part = columns.project[chosen], columns.part[chosen]
    within = np.where(part >= 0, part - first[np.maximum(project, 0)], 0)
    rows = zip(columns.sire[chosen], columns.dam[chosen], project, within, strict=True)
    return [(int(sire), int(dam), int(which), int(place)) for sire, dam, which, place in rows]


def places_of(inp: PlanInput, columns: Columns, pairs: Sequence[Four]) -> IntArray | None:
    """Columns of some pairs; None where one of them may not be chosen."""
    place = {four: at for at, four in enumerate(pairs_of(inp, columns, np.arange(columns.n)))}
    if any(four not in place for four in pairs):
        return None
    return np.array([place[four] for four in pairs], dtype=np.int64)


def fours(inp: PlanInput, plan: SeasonPlan) -> list[Four]:
    """Places of sire, dam, project and part of the pairings of a plan."""
    males, females = ({one: place for place, one in enumerate(animals)} for animals in (inp.males, inp.females))
    projects = {one.id: place for place, one in enumerate(inp.projects)} | {"": -1}
    return [(males[one.sire], females[one.dam], projects[one.project], one.part) for one in plan.pairings]


def pairings_of(state: State) -> tuple[Pairing, ...]:
    """Pairs with worth and reasons, by project and the best chance first."""
    inp = state.inp
    locked = {(inp.males.index(one.sire), inp.females.index(one.dam)) for one in inp.locks}
    why = reasons(state, locked)
    order = sorted(
        range(len(state.pairs)),
        key=lambda at: (state.pairs[at, 2] < 0, *state.pairs[at, 2:].tolist(), -state.columns.chance[at]),
    )
    found = []
    for at in order:
        sire, dam, project, part = state.pairs[at].tolist()
        found.append(
            Pairing(
                inp.males[sire],
                inp.females[dam],
                inp.projects[project].id if project >= 0 else "",
                part,
                float(state.columns.chance[at]),
                state.value(at),
                (sire, dam) in locked,
                why[at],
            )
        )
    return tuple(found)
