"""Which hatchlings of a collection to hold back, weighed for its open projects."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from holdback.answers.decisions.goals import kept_for_others
from holdback.answers.decisions.hatchlings import candidates_of
from holdback.answers.decisions.stock import stock_of
from holdback.collection.model import Sex
from holdback.decisions.barring import Barring
from holdback.decisions.goal import Goal, Target
from holdback.decisions.holdbacks import Candidate, HoldBacks, Keeping, Project, Tools, hold_backs
from holdback.decisions.holdbacks.hold_backs import check_keeping
from holdback.decisions.holdbacks.played import RUNS, played
from holdback.decisions.steps import Plan
from holdback.decisions.stock import NEVER, FloatArray, Stock
from holdback.decisions.welfare import PairWelfare
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions

_SEASONS = 9
"""Seasons rehearsed at least."""
_BEYOND = 3
"""Seasons rehearsed beyond the last one wished."""
_GROWN_MONTHS = 60.0


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of hatchlings.

    Parameters
    ----------
    clutches : tuple of str
        Clutch ids; all of the last year with young here where there are none.
    projects : tuple of str
        Keys of projects; all open ones where there are none.
    keeping : Keeping
        Tubs, and what they cost.
    runs : int
        Rehearsals of each plan.
    seed : int
        What luck is hashed from.
    """

    clutches: tuple[str, ...]
    keeping: Keeping
    projects: tuple[str, ...] = ()
    runs: int = RUNS
    seed: int = 0


def hold_backs_of(
    decisions: Decisions,
    asked: Asked,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> HoldBacks:
    """Hatchlings in order.

    Parameters
    ----------
    decisions : Decisions
        Goals and records of a day.
    asked : Asked
        Clutches, projects, tubs.
    progress, cancelled : callable, optional
        As in `holdback.decisions.holdbacks.hold_backs`.

    Raises
    ------
    DecisionError
        DEC-090 to DEC-094 of what is asked; DEC-140 of a project that is none; DEC-142 where the keeper has spoken for
        none of the goals' cautions; as the goals raise.
    Cancelled
        If asked to stop.
    """
    candidates = candidates_of(decisions, asked.clutches)
    keys = _keys(decisions, asked)
    open_keys = _spoken_for(decisions, keys)
    projects = [Project(decisions.goals[key], decisions.targets(decisions.goals[key])) for key in open_keys]
    unknown = frozenset(one.animal for one in candidates if one.sex is Sex.UNKNOWN)
    stock = stock_of(decisions.answers, decisions.season, also=unknown)
    beat = _Beat(progress, cancelled)
    found = hold_backs(
        stock,
        candidates,
        projects,
        keeping=asked.keeping,
        tools=_tools(decisions, stock, asked, candidates=candidates, keys=open_keys, beat=beat),
        catalogue=decisions.catalogue,
        progress=beat,
        cancelled=cancelled,
    )
    left_out = [decisions.goals[key].name for key in keys if key not in open_keys]
    said = tuple(f"Not weighed: {name}; its cautions are not spoken for." for name in left_out)
    return replace(found, assumptions=(*found.assumptions, *said))


def check_asked(decisions: Decisions, asked: Asked) -> None:
    """Say at once what no work could mend.

    Parameters
    ----------
    decisions : Decisions
        Goals and records of a day.
    asked : Asked
        Clutches, projects, tubs.

    Raises
    ------
    DecisionError
        DEC-090 to DEC-094, DEC-140 and DEC-142 as `hold_backs_of`.
    """
    check_keeping(asked.keeping)
    candidates_of(decisions, asked.clutches)
    keys = _keys(decisions, asked)
    if not keys:
        raise DecisionError(
            Fault(
                "DEC-092", "There is no goal to weigh the hatchlings for.", "Write down a project, or open one again."
            )
        )
    _spoken_for(decisions, keys)


def _keys(decisions: Decisions, asked: Asked) -> tuple[str, ...]:
    """Keys of the projects to weigh for, all open ones where none is named."""
    return tuple(dict.fromkeys(decisions.key_of(text) for text in asked.projects)) or tuple(decisions.goals)


@dataclass
class _Beat:
    """Progress that is told again and again while a part of the work goes on, as a sign of life."""

    progress: Callable[[float], None] | None
    cancelled: Callable[[], bool] | None
    share: float = 0.0

    def __call__(self, share: float | None = None) -> None:
        self.share = self.share if share is None else share
        if self.progress:
            self.progress(self.share)


def _spoken_for(decisions: Decisions, keys: Sequence[str]) -> tuple[str, ...]:
    """Projects whose cautions are spoken for.

    Raises
    ------
    DecisionError
        DEC-142 if there are projects and all have a caution that is not.
    """
    stops = {key: decisions.unspoken(key) for key in keys}
    found = tuple(key for key in keys if not stops[key])
    if keys and not found:
        hint = "Speak for it in the project, or change what is wanted."
        raise DecisionError(
            [
                Fault("DEC-142", f"Nothing is planned for {decisions.goals[key].name}: {stop[0].message}", hint)
                for key, stop in stops.items()
            ]
        )
    return found


def _tools(
    decisions: Decisions,
    stock: Stock,
    asked: Asked,
    *,
    candidates: Sequence[Candidate],
    keys: Sequence[str],
    beat: _Beat,
) -> Tools:
    """Search and rehearsal in which each project uses the animals and the pairs that it may."""
    others = {decisions.goals[key]: sorted(kept_for_others(decisions.goals, key)) for key in keys}
    names = {one.animal for one in candidates}
    welfare = PairWelfare(stock, decisions.catalogue)
    banned = {goal: _banned(stock, goal, welfare) for goal in others}
    last = max((goal.by - stock.year + 1 for goal in others if goal.by), default=0)
    tools = played(
        decisions.catalogue,
        names,
        runs=asked.runs,
        seasons=max(last + _BEYOND, _SEASONS),
        seed=asked.seed,
        banned=lambda goal: banned[goal],
        ordinary_g=_ordinary_g(decisions),
        cancelled=beat.cancelled,
    )

    def own(stock: Stock, goal: Goal) -> Stock:
        away = [one for one in others[goal] if one in stock.animals and one not in names]
        return stock.without(away) if away else stock

    def search(stock: Stock, target: Target, goal: Goal) -> Plan | None:
        beat()
        return tools.search(own(stock, goal), target, goal)

    def play(stock: Stock, plan: Plan, goal: Goal, number: int) -> FloatArray:
        beat()
        return tools.play(own(stock, goal), plan, goal, number)

    return Tools(search, play, tools.seasons)


def _banned(stock: Stock, goal: Goal, welfare: PairWelfare) -> frozenset[tuple[str, str]]:
    """Pairs against which a caution stands that is not spoken for; of unknown sex each may be either."""
    barring = Barring(stock, goal, welfare, NEVER)
    either = stock.of_sex(Sex.UNKNOWN)
    males, females = ([stock.animals[at] for at in (*stock.of_sex(sex), *either)] for sex in (Sex.MALE, Sex.FEMALE))
    return frozenset(
        (sire, dam) for sire in males for dam in females if sire != dam and not barring.may_pair(sire, dam)
    )


def _ordinary_g(decisions: Decisions) -> float:
    """Adult mass of an ordinary female, in gram."""
    return float(decisions.answers.sizes.evaluation.curves.ordinary(Sex.FEMALE, [_GROWN_MONTHS]).median[0])
