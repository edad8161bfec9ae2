"""Limits in a breeder's words: that one is used up, that one is broken, and what one more would be."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

from holdback.decisions.season_plan.limits import Limit
from holdback.decisions.season_plan.plan_input import PlanInput, Project, WeeklyLoad
from holdback.decisions.season_plan.words import clutches, day_words, pairings

_NOT_OF_A_WEEK = ("male", "least", "most", "eggs", "money", "reserve", "clutches", "other", "used")


def used_up(inp: PlanInput, limit: Limit, sire: str) -> str:
    """Why a limit leaves no room for a pair with this male, as a sentence."""
    words: dict[str, Callable[[], str]] = {
        "male": lambda: f"{inp.name(sire)} has his {clutches(_cap(inp, sire))}.",
        "most": lambda: f"{_project(inp, limit).name} has its {pairings(_project(inp, limit).most or 0)}.",
        "eggs": lambda: f"{_project(inp, limit).name} has too few eggs left for her clutch.",
        "money": lambda: f"{_project(inp, limit).name} has too little money left for her clutch.",
        "reserve": lambda: f"{inp.name(sire)} is kept free.",
        "other": lambda: "The pair belongs to the plan that this one is to differ from.",
        "clutches": lambda: f"All {inp.clutches_at_most} pairings are given out.",
    }
    return words.get(limit.kind, lambda: f"Too few {limit.kind} are left in the week of {_day(limit)}.")()


def broken(inp: PlanInput, limit: Limit, by: float) -> str:
    """That a limit is broken by an amount, as a sentence."""
    words: dict[str, Callable[[], str]] = {
        "male": lambda: (
            f"{inp.name(limit.about)} has {clutches(_cap(inp, limit.about) + round(by))}, of"
            f" {_cap(inp, limit.about)} that he may have."
        ),
        "least": lambda: (
            f"{_project(inp, limit).name} has {pairings(_project(inp, limit).least - round(by))}, and is"
            f" to have at least {_project(inp, limit).least}."
        ),
        "most": lambda: (
            f"{_project(inp, limit).name} has {pairings((_project(inp, limit).most or 0) + round(by))}, and"
            f" is to have at most {_project(inp, limit).most}."
        ),
        "eggs": lambda: f"{_project(inp, limit).name} takes {by:.1f} eggs more than the {limit.high:g} it may take.",
        "money": lambda: f"{_project(inp, limit).name} takes {by:.2f} more money than the {limit.high:g} it may.",
        "reserve": lambda: f"{_kept_free(inp, limit, round(by))}.",
        "other": lambda: "It is too much like the plan that it is to differ from.",
        "used": lambda: f"{inp.name(limit.about)} stays without a pairing.",
        "clutches": lambda: (
            f"There are {pairings((inp.clutches_at_most or 0) + round(by))}, of {inp.clutches_at_most} in all."
        ),
    }
    week = f"In the week of {_day(limit)} {by:.1f} {limit.kind} are lacking" if is_week(limit) else ""
    return words.get(limit.kind, lambda: f"{week}{_planned_for(inp)}.")()


def one_more(inp: PlanInput, limit: Limit) -> str:
    """What relaxing a limit by one would be: "one more clutch from Ledger"."""
    words: dict[str, Callable[[], str]] = {
        "male": lambda: f"one more clutch from {inp.name(limit.about)}",
        "least": lambda: f"one pairing less asked for {_project(inp, limit).name}",
        "most": lambda: f"one more pairing for {_project(inp, limit).name}",
        "eggs": lambda: f"ten more eggs for {_project(inp, limit).name}",
        "money": lambda: f"a tenth more money for {_project(inp, limit).name}",
        "reserve": lambda: "one male less kept free" + (f" for {_project(inp, limit).name}" if limit.about else ""),
        "other": lambda: "a plan that differs less",
        "used": lambda: f"{inp.name(limit.about)} left out",
        "clutches": lambda: "one more pairing in all",
    }
    return words.get(limit.kind, lambda: f"one more of the {limit.kind} in the week of {_day(limit)}")()


def relaxed(inp: PlanInput, limit: Limit) -> PlanInput:
    """The input with a limit relaxed by what `one_more` says."""
    if limit.kind == "male":
        caps = inp.caps.copy()
        caps[inp.males.index(limit.about)] += 1
        return replace(inp, caps=caps)
    if limit.kind == "clutches":
        return replace(inp, clutches_at_most=(inp.clutches_at_most or 0) + 1)
    if limit.kind == "reserve" and not limit.about:
        return replace(inp, reserve=inp.reserve - 1)
    if is_week(limit):
        return replace(inp, loads=tuple(_with_place(inp, one, limit) for one in inp.loads))
    one = _project(inp, limit)
    looser = {
        "least": replace(one, least=one.least - 1),
        "most": replace(one, most=(one.most or 0) + 1),
        "eggs": replace(one, eggs=(one.eggs or 0.0) + 10),
        "money": replace(one, money=(one.money or 0.0) * 1.1),
        "reserve": replace(one, reserve=one.reserve - 1),
    }[limit.kind]
    return replace(inp, projects=tuple(looser if other is one else other for other in inp.projects))


def _with_place(inp: PlanInput, load: WeeklyLoad, limit: Limit) -> WeeklyLoad:
    if load.name != limit.kind:
        return load
    places = load.places.copy()
    places[[day.isoformat() for day in inp.weeks].index(limit.about)] += 1
    return replace(load, places=places)


def _kept_free(inp: PlanInput, limit: Limit, by: int) -> str:
    if not limit.about:
        return f"{inp.reserve - by} males are kept free, of {inp.reserve}"
    one = _project(inp, limit)
    return f"{one.reserve - by} males are kept free for {one.name}, of {one.reserve}"


def _planned_for(inp: PlanInput) -> str:
    return " in the year that is planned for" if inp.caution > 0 else ""


def is_week(limit: Limit) -> bool:
    """Whether a limit is on the places of a week."""
    return limit.kind not in _NOT_OF_A_WEEK


def span(weeks: Sequence[Limit]) -> str:
    """Weeks in words, from the first to the last."""
    if len(weeks) == 1:
        return f"in the week of {_day(weeks[0])}"
    return f"from the week of {_day(weeks[0])} to that of {_day(weeks[-1])}"


def _project(inp: PlanInput, limit: Limit) -> Project:
    return next(one for one in inp.projects if one.id == limit.about)


def _cap(inp: PlanInput, male: str) -> int:
    return int(inp.caps[inp.males.index(male)])


def _day(limit: Limit) -> str:
    return day_words(dt.date.fromisoformat(limit.about))
