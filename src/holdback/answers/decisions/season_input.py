"""What a season plan is made from: every pair at hand that could serve a project this season.

A project needs its goal, and the young that the steps of its route keep; each is a part. A pair counts for a part by
the exact chance that its clutch brings such a young, as far as a keeper can know it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from holdback.answers.decisions.goals import kept_for_others
from holdback.answers.decisions.places import loads_of, weeks_of
from holdback.answers.decisions.worths import worth_of_goal, worth_of_step
from holdback.collection.model import Sex
from holdback.collection.projects import PairingState
from holdback.decisions.barring import Barring
from holdback.decisions.goal import Goal, Target
from holdback.decisions.kind_words import kind_words
from holdback.decisions.kinds import kind_law
from holdback.decisions.offspring import PairLaw, pair_law
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.season_plan import BAD_YEAR, Ban, Crosses, Lock, MayCarry, Part, PlanInput, Project
from holdback.decisions.steps import Kind, Plan
from holdback.decisions.stock import NEVER, Stock
from holdback.decisions.welfare import PairWelfare
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions

WORTH_TELLING = 0.02
"""Chance that a clutch serves a part below which the pair is not considered for it."""
_CERTAIN = 0.995


@dataclass(frozen=True, slots=True)
class Wish:
    """How a season is planned.

    Parameters
    ----------
    caution : float
        Standard deviations above the mean that must find room: 0 plans for the mean year.
    reserve : int
        Males to be kept free in all.
    locks : tuple of Lock
        Pairs that stay, beside those locked on record.
    clutches_at_most : int or None
        Pairings in all.
    """

    caution: float = BAD_YEAR
    reserve: int = 0
    locks: tuple[Lock, ...] = ()
    clutches_at_most: int | None = None


@dataclass(frozen=True, eq=False)
class _Needed:
    """A part of a project: what its young must be, and what having one is worth."""

    words: str
    kind: Kind | None
    worth: float


@dataclass(frozen=True, slots=True)
class _Served:
    """A pair that serves a part."""

    sire: str
    dam: str
    part: int
    chance: float
    possible: float


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
    welfare = PairWelfare(stock, decisions.catalogue)
    for number, (key, goal) in enumerate(decisions.goals.items()):
        plan = decisions.route_or_none(key)
        if plan is None:
            projects.append(Project(key, goal.name, goal.worth_eggs))
            continue
        parts = _parts(goal, plan, decisions.chances(key), season, stock.year)
        served = list(_served(decisions, key, parts, plan.target, ready=ready))
        projects.append(_project(key, goal, parts))
        crosses += [(one.sire, one.dam, number, one.part, one.chance) for one in served]
        bans += _bans(stock, goal, welfare, key, {(one.sire, one.dam) for one in served}, season)
        carries += _may_carry(key, served)
    locks = (*_locks(decisions, year), *wish.locks)
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
        caution=wish.caution,
    )


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


def _parts(goal: Goal, plan: Plan, by_season: Sequence[float], season: int, year: int) -> tuple[_Needed, ...]:
    """The goal itself, and what the steps keep whose parents are at hand and whose time has come."""
    steps = [
        step
        for step in plan.steps
        if not step.is_goal and step.sire.step is None and step.dam.step is None and step.first_season <= season
    ]
    return (
        _Needed("the goal itself", None, worth_of_goal(goal, by_season, season, year)),
        *(
            _Needed(
                kind_words(step.keep, plan.target, is_bred=True), step.keep, worth_of_step(goal, by_season, step, year)
            )
            for step in steps
        ),
    )


def _project(key: str, goal: Goal, parts: Sequence[_Needed]) -> Project:
    worth = max(one.worth for one in parts)
    return Project(
        id=key,
        name=goal.name,
        worth=worth,
        parts=tuple(Part(one.words, one.worth / worth if worth else 0.0) for one in parts),
        least=goal.least_pairings,
        eggs=None if goal.budget.eggs is None else float(goal.budget.eggs),
    )


def _served(
    decisions: Decisions, key: str, parts: Sequence[_Needed], target: Target, *, ready: frozenset[str]
) -> Iterator[_Served]:
    """Every pair that could serve a part with a chance that is worth telling."""
    stock = decisions.stock
    free = ready - kept_for_others(decisions.goals, key)
    tables = PairTables(target, decisions.catalogue)
    carried = {one: _carried(stock, one, target) for one in stock.animals}
    males, females = (
        [stock.animals[at] for at in stock.of_sex(sex) if stock.animals[at] in free] for sex in (Sex.MALE, Sex.FEMALE)
    )
    for number, part in enumerate(parts):
        kind = part.kind or goal_kind(target)
        for sire in males:
            for dam in females:
                if not _could(stock, sire, dam, kind, target, carried=carried):
                    continue
                law = _law(stock, sire, dam, part.kind, tables)
                at = stock.index(dam)
                chance = law.tries(1, stock.young[at], float(stock.lays[at]))
                if chance >= WORTH_TELLING:
                    yield _Served(sire, dam, number, chance, law.possible)


def goal_kind(target: Target) -> Kind:
    """What a young must be known to be, to be the target."""
    wanted = {0: (1.0, 0.0), 1: (1.0, 0.0), 2: (1.0, 1.0)}
    return Kind(tuple(wanted[gene.copies] for gene in target.genes), target.sex, target.share)


def _law(stock: Stock, sire: str, dam: str, kind: Kind | None, tables: PairTables) -> PairLaw:
    if kind is None:
        return pair_law(stock, sire, dam, tables)
    return kind_law(stock, sire, dam, kind, tables)


def _carried(stock: Stock, animal: str, target: Target) -> tuple[float, ...]:
    """Chance that an animal can pass on each gene that is asked for; 1 for those that are refused."""
    found = []
    for gene in target.genes:
        chances = stock.genes.at(animal, gene.locus).items()
        some = sum(chance for alleles, chance in chances if any(one in gene.alleles for one in alleles))
        found.append(1.0 if gene.copies == 0 else some)
    return tuple(found)


def _could(
    stock: Stock, sire: str, dam: str, kind: Kind, target: Target, *, carried: Mapping[str, tuple[float, ...]]
) -> bool:
    """Whether a pair may serve a kind at all: a quick look before the exact chance."""
    if kind.share > 0.0:
        shares = stock.shares.get(target.line)
        if shares is None or (shares[stock.index(sire)] + shares[stock.index(dam)]) / 2 < kind.share - 1e-9:
            return False
    for least, his, hers in zip(kind.genes, carried[sire], carried[dam], strict=True):
        some, two = least
        if some > 0.0 and max(his, hers) < WORTH_TELLING:
            return False
        if two > 0.0 and min(his, hers) < WORTH_TELLING:
            return False
    return True


def _bans(
    stock: Stock, goal: Goal, welfare: PairWelfare, key: str, pairs: set[tuple[str, str]], season: int
) -> Iterator[Ban]:
    """Pairs that the project may not make: too close, or not spoken for."""
    barring = Barring(stock, goal, welfare, season)
    for sire, dam in sorted(pairs):
        why = barring.why(sire, dam)
        if why:
            yield Ban(sire, dam, why, key)


def _may_carry(key: str, served: Sequence[_Served]) -> Iterator[MayCarry]:
    """Males whose clutches all hang on what he may carry: with the surest dam there is still a doubt."""
    surest: dict[tuple[str, int], float] = {}
    for one in served:
        surest[one.sire, one.part] = max(surest.get((one.sire, one.part), 0.0), one.possible)
    for (sire, part), chance in surest.items():
        if chance < _CERTAIN:
            yield MayCarry(sire, key, chance, part)


def _locks(decisions: Decisions, year: int) -> Iterator[Lock]:
    """Pairs locked on record, and those that are together already."""
    known = set(decisions.goals)
    for one in decisions.answers.collection.records.planned_pairings:
        if one.year == year and one.state is PairingState.LOCKED:
            yield Lock(one.sire, one.dam, one.project if one.project in known else "")


def with_locks(wish: Wish, locks: Sequence[Lock]) -> Wish:
    """The same wish with further locks."""
    return replace(wish, locks=(*wish.locks, *locks))
