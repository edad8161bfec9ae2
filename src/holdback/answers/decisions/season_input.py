"""What a season plan is made from: every pair at hand that could serve a project this season.

What a pair could serve, and with what chance, is worked out in `serving`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from holdback.answers.decisions.places import loads_of, weeks_of
from holdback.answers.decisions.serving import CERTAIN, Needed, Served, parts_of, served, sure_of
from holdback.collection.model import Sex
from holdback.collection.projects import PairingState
from holdback.decisions.barring import Barring
from holdback.decisions.goal import Goal, Target
from holdback.decisions.season_plan import Ban, Crosses, Lock, MayCarry, Part, PlanInput, Project
from holdback.decisions.stock import NEVER, Stock
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions
    from holdback.decisions.steps import Plan


@dataclass(frozen=True, slots=True)
class Wish:
    """How a season is planned.

    Parameters
    ----------
    caution : float or None
        Standard deviations above the mean that must find room: 0 plans for the mean year, None for the bad year of the
        species file.
    reserve : int
        Males to be kept free in all.
    locks : tuple of Lock
        Pairs that stay, beside those locked on record.
    clutches_at_most : int or None
        Pairings in all.
    """

    caution: float | None = None
    reserve: int = 0
    locks: tuple[Lock, ...] = ()
    clutches_at_most: int | None = None


def season_input(decisions: Decisions, year: int, wish: Wish) -> PlanInput:
    """Everything that the pairings of a season are chosen from.

    Parameters
    ----------
    decisions : Decisions
        Stock, goals and routes.
    year : int
        Season, by the year of laying.
    wish : Wish
        How it is planned.

    Raises
    ------
    DecisionError
        DEC-141 if the season is over or lies too far ahead; as the routes raise.
    """
    stock, season = decisions.stock, year - decisions.stock.year
    _check_year(decisions, year)
    females, males = ([stock.animals[at] for at in stock.of_sex(sex)] for sex in (Sex.FEMALE, Sex.MALE))
    near = [one for one in (*females, *males) if stock.ready[stock.index(one)] <= season + 1]
    females, males = [one for one in females if one in near], [one for one in males if one in near]
    not_ready = dict(_not_ready(stock, near, season))
    ready = frozenset(near) - not_ready.keys()
    projects: list[Project] = []
    crosses: list[tuple[str, str, int, int, float]] = []
    bans: list[Ban] = []
    carries: list[MayCarry] = []
    for number, (key, goal) in enumerate(decisions.goals.items()):
        plan = decisions.route_or_none(key)
        if plan is None:
            projects.append(Project(key, goal.name, goal.worth_eggs))
            continue
        parts, pairs = _serving(decisions, key, plan, season, ready)
        projects.append(_project(key, goal, parts))
        crosses += [(one.sire, one.dam, number, one.part, one.chance) for one in pairs]
        bans += [Ban(one.sire, one.dam, one.blocked, key) for one in pairs if one.blocked and one.part == 0]
        carries += _may_carry(stock, key, plan.target, pairs)
    locks = (*_locks(decisions, year), *wish.locks)
    bans += _against_locks(decisions, locks, season)
    sires, dams = {male: at for at, male in enumerate(males)}, {female: at for at, female in enumerate(females)}
    at = [stock.index(dam) for dam in females]
    eggs = np.array([float(stock.lays[one]) * stock.eggs[one].mean for one in at])
    return PlanInput(
        males=tuple(males),
        females=tuple(females),
        caps=np.array([stock.clutches[stock.index(male)] for male in males], dtype=np.int64),
        projects=tuple(projects),
        crosses=Crosses(
            np.array([sires[row[0]] for row in crosses], dtype=np.int64),
            np.array([dams[row[1]] for row in crosses], dtype=np.int64),
            np.array([row[2] for row in crosses], dtype=np.int64),
            np.array([row[3] for row in crosses], dtype=np.int64),
            np.array([row[4] for row in crosses], dtype=np.float64),
        ),
        names=stock.names,
        not_ready=not_ready,
        clutch_costs=eggs,
        eggs=eggs,
        bans=tuple(bans),
        locks=locks,
        may_carry=tuple(carries),
        reserve=wish.reserve,
        clutches_at_most=wish.clutches_at_most,
        weeks=weeks_of(year, decisions.season),
        loads=loads_of(stock, tuple(females), year, decisions.season),
        caution=_caution(decisions, wish),
    )


def _serving(
    decisions: Decisions, key: str, route: Plan, season: int, ready: frozenset[str]
) -> tuple[tuple[Needed, ...], tuple[Served, ...]]:
    """What a project needs of a season and the pairs that serve it; kept, as no lock and no caution bears on it."""
    found = decisions.kept_serving.get((key, season))
    if found is None:
        parts = parts_of(decisions, key, route, season)
        found = (parts, tuple(served(decisions, key, parts, season, ready=ready)))
        decisions.kept_serving[key, season] = found
    return found


def _caution(decisions: Decisions, wish: Wish) -> float:
    return decisions.catalogue.decisions["bad_year_z"].value if wish.caution is None else wish.caution


def _check_year(decisions: Decisions, year: int) -> None:
    first = decisions.open_year
    if not first <= year <= first + 5:
        what = f"The season of {year} cannot be planned on {decisions.season.on.isoformat()}."
        hint = f"Give {first} to {first + 5}."
        raise DecisionError(Fault("DEC-141", what, hint, field="year", value=str(year)))


def _not_ready(stock: Stock, animals: Sequence[str], season: int) -> Iterator[tuple[str, str]]:
    """Animals that cannot have young in a season, with the reason."""
    for animal in animals:
        ready = int(stock.ready[stock.index(animal)])
        if ready > season:
            when = "Will not breed." if ready >= NEVER else f"Can have young from {stock.year + ready} on."
            yield animal, f"{stock.why_not.get(animal, '')} {when}".strip()


def _project(key: str, goal: Goal, parts: Sequence[Needed]) -> Project:
    worth = max(one.worth for one in parts)
    return Project(
        id=key,
        name=goal.name,
        worth=worth,
        parts=tuple(Part(one.words, one.worth / worth if worth else 0.0) for one in parts),
        least=goal.least_pairings,
        eggs=None if goal.budget.eggs is None else float(goal.budget.eggs),
    )


def _may_carry(stock: Stock, key: str, target: Target, pairs: Sequence[Served]) -> Iterator[MayCarry]:
    """Males whose clutches for the goal all hang on what they may carry.

    Where a young kept of one of his clutches serves too, it does so whatever he carries.
    """
    at_once: dict[str, bool] = {}
    best: dict[str, float] = {}
    for one in (one for one in pairs if one.part == 0):
        at_once[one.sire] = at_once.get(one.sire, True) and one.is_at_once
        best[one.sire] = max(best.get(one.sire, 0.0), one.chance)
    for sire, is_all in at_once.items():
        chance = sure_of(stock, sire, target)
        if is_all and best[sire] < chance < CERTAIN:
            yield MayCarry(sire, key, chance)


def _locks(decisions: Decisions, year: int) -> Iterator[Lock]:
    """Pairs locked on record, and those that are together already."""
    known = set(decisions.goals)
    for one in decisions.answers.collection.records.planned_pairings:
        if one.year == year and one.state is PairingState.LOCKED:
            yield Lock(one.sire, one.dam, one.project if one.project in known else "")


def _against_locks(decisions: Decisions, locks: Sequence[Lock], season: int) -> Iterator[Ban]:
    """Fixed pairs that the project they are for, or else every project, could not make."""
    stock = decisions.stock
    for lock in locks:
        if lock.sire not in stock.animals or lock.dam not in stock.animals:
            continue
        goals = [decisions.goals[lock.project]] if lock.project else list(decisions.goals.values())
        why = [Barring(stock, goal, decisions.welfare, season).why(lock.sire, lock.dam) for goal in goals]
        if why and all(why):
            yield Ban(lock.sire, lock.dam, why[0], lock.project)


def with_locks(wish: Wish, locks: Sequence[Lock]) -> Wish:
    """The same wish with further locks."""
    return replace(wish, locks=(*wish.locks, *locks))
