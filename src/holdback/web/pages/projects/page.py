"""The page of one project: where it stands, the way, what is rehearsed, what is done now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from holdback.answers import Answers
from holdback.answers.decisions import Decisions
from holdback.answers.decisions.decisions import RUNS
from holdback.answers.decisions.standing import Standing
from holdback.bridge.projects import Planned, prices_of_records
from holdback.collection.model import Sex
from holdback.decisions.kind_words import in_hundred
from holdback.decisions.rehearsal import Rehearsal
from holdback.decisions.season_plan import SeasonPlan
from holdback.errors import DecisionError, Fault
from holdback.web.pages.projects.first import ToSettle, to_settle
from holdback.web.pages.projects.monday import NotHere, Todo, not_here, todos
from holdback.web.pages.projects.rehearsed import RehearsedShown, rehearsed_shown
from holdback.web.pages.projects.stands import StandsShown, stands_shown
from holdback.web.pages.projects.this_season import SeasonShown, now_shown, open_shown
from holdback.web.pages.projects.way import WayShown, way_shown
from holdback.web.pages.projects.words import animals_of, spaced
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import listed


@dataclass(frozen=True, slots=True)
class Asked:
    """How the rehearsal is asked for: runs and seed."""

    runs: int = RUNS
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Planning:
    """All that rests on the way, once it is worked out.

    Parameters
    ----------
    plain, doubt : str
        What the page answers first, and the uncertain part of it.
    way : WayShown or None
        None where there is none.
    dead_end : tuple of Fault
        Why there is none.
    rehearsed : RehearsedShown or None
        As it was asked for.
    now, then : SeasonShown
        Pairings of the season under way, and of the next that can be planned.
    todos : list of Todo
        What is to be done, first things first.
    not_here : list of NotHere
        Mates that are not in the collection.
    settle, beside : list of ToSettle
        What is to be settled first, and what is at odds about genes that the goal does not speak of.
    """

    plain: str
    doubt: str
    way: WayShown | None
    dead_end: tuple[Fault, ...]
    rehearsed: RehearsedShown | None
    now: SeasonShown
    then: SeasonShown
    todos: list[Todo] = field(default_factory=list)
    not_here: list[NotHere] = field(default_factory=list)
    settle: list[ToSettle] = field(default_factory=list)
    beside: list[ToSettle] = field(default_factory=list)


def standing_shown(plans: Decisions, key: str) -> StandsShown | None:
    """Where a project stands; None where its goal cannot be read."""
    try:
        found = plans.standing(key)
    except DecisionError:
        return None
    return stands_shown(found, names_of(plans, (one.animal for one in found.carriers)), plans.stock.year)


def standing_or_none(plans: Decisions, key: str) -> Standing | None:
    """Where a project stands; None where its goal cannot be read."""
    try:
        return plans.standing(key)
    except DecisionError:
        return None


def planning(plans: Decisions, key: str, planned: tuple[Planned, ...], asked: Asked, fit: Answers | None) -> Planning:
    """Everything that rests on the way of a project.

    Parameters
    ----------
    plans : Decisions
        Worked out.
    key : str
        Key of the project.
    planned : tuple of Planned
        All planned pairings on record.
    asked : Asked
        Which rehearsal.
    fit : Answers or None
        With the conflicts worked out; None where they are not yet.
    """
    year, season = plans.stock.year, _season_plan(plans)
    mine = [one for one in (season.pairings if season else ()) if one.project == key]
    route = plans.route_or_none(key)
    of_way = animals_of(route) if route else ()
    counted_on = list(dict.fromkeys([*of_way, *(animal for one in mine for animal in (one.sire, one.dam))]))
    named = {*counted_on, *(a for one in planned for a in (one.pairing.sire, one.pairing.dam))}
    if season:
        named |= {a for one in season.pairings for a in (one.sire, one.dam)}
    names = names_of(plans, named)
    rehearsal = plans.rehearsed(key, runs=asked.runs, seed=asked.seed) if route else None
    then = open_shown(plans, key, planned, names)
    couples = [f"{names.short(one.sire)} with {names.short(one.dam)}" for one in mine]
    plain, doubt = _lede(plans, key, rehearsal, then, couples)
    genes = {gene.name for target in plans.targets(plans.goals[key]) for gene in target.genes}
    settle, beside = to_settle(fit, counted_on, genes, names) if fit else ([], [])
    if settle:
        plain = f"Settle first what does not fit about {settle[0].who}. {plain}"
    now = now_shown(planned, key, names, year)
    dams = [one for one in counted_on if plans.stock.sexes[plans.stock.index(one)] is Sex.FEMALE]
    return Planning(
        plain=plain,
        doubt=doubt,
        way=way_shown(route, names, plans.stock, _parts(plans, key)) if route else None,
        dead_end=() if route else dead_end(plans, key),
        rehearsed=_rehearsed(plans, key, rehearsal),
        now=now,
        then=then,
        todos=todos(plans, standing_or_none(plans, key), names, now, then, settle),
        not_here=not_here(plans, key, dams, names) if route else [],
        settle=settle,
        beside=beside,
    )


def _parts(plans: Decisions, key: str) -> dict[str, str]:
    """What each animal of the project is in it."""
    standing = standing_or_none(plans, key)
    return {one.animal: spaced(one.part) for one in standing.carriers} if standing else {}


def dead_end(plans: Decisions, key: str) -> tuple[Fault, ...]:
    """Why a project has no way."""
    try:
        plans.route(key)
    except DecisionError as error:
        return error.faults
    return ()


def names_of(plans: Decisions, ids: Iterable[str]) -> Names:
    """Names of some animals; one query."""
    return Names.of(plans.answers.collection, ids)


def _season_plan(plans: Decisions) -> SeasonPlan | None:
    try:
        return plans.season_plan()
    except DecisionError:
        return None


def _rehearsed(plans: Decisions, key: str, found: Rehearsal | None) -> RehearsedShown | None:
    if found is None:
        return None
    return rehearsed_shown(found, is_dated=bool(plans.goals[key].by), currency=prices_of_records().currency)


def _lede(
    plans: Decisions, key: str, rehearsal: Rehearsal | None, then: SeasonShown, couples: list[str]
) -> tuple[str, str]:
    """What to do, and how likely the goal is."""
    if plans.unspoken(key):
        return "Nothing is planned for it yet.", "It wants a word from you first."
    if rehearsal is None:
        return ("No way leads there from the animals at hand.", "") if plans.route_or_none(key) is None else ("", "")
    doubt = f"{in_hundred(rehearsal.by_wished.mean)} rehearsals reach it by {rehearsal.year + rehearsal.wished}."
    doubt = f"{doubt[:1].upper()}{doubt[1:]}"
    plain = f"For {then.year} pair {listed(couples)}." if couples else f"Nothing is to be paired for it in {then.year}."
    return plain, doubt
