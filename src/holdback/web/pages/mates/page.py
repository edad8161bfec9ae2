"""What the page of an animal's mates says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import SafeString

from holdback.collection.estimate import Estimate
from holdback.decisions.goal import Goal
from holdback.decisions.mates import Mate, last_season
from holdback.web.pages.components import Column, Table
from holdback.web.pages.mates.worked import Found
from holdback.web.pages.season.names import Names
from holdback.web.pages.season_plan.words import in_100
from holdback.web.pages.wording import counted, listed, percent, span

_SHOWN = 8
"""Mates told in full; the others stand in the table of all."""
_NEVER = 1e-9
_NOTE = "note"
_NAMED = 4
"""Mates named beside what is to be noted of several."""


@dataclass(frozen=True, slots=True)
class MateShown:
    """One mate: who, how good, why, and what can be done.

    Parameters
    ----------
    who : safe mark-up
        Name, linked.
    name : str
        What it is called.
    score : str
        Chance by the season wished for.
    now : Estimate
        Chance in this season.
    reasons, hidden : tuple of str
        Why; what cannot be seen on the young.
    cautions : tuple of (str, str)
        Level and message of those that are more than a note.
    step : int or None
        Step of the way that the pair makes.
    odds : str
        Address of the odds of the two.
    keys : tuple of two str
        Keys of the female and the male.
    """

    who: SafeString
    name: str
    score: str
    now: Estimate
    reasons: tuple[str, ...]
    hidden: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    step: int | None
    odds: str
    keys: tuple[str, str]


def told(found: Found) -> dict[str, Any]:
    """Mates in their order, those that bring nothing or cannot be paired folded, and what is missing."""
    ids = [found.wanted.animal, *(one.mate for one in found.mates)]
    names = Names.of(found.decisions.answers.collection, ids)
    open_to = [one for one in found.mates if not one.blocked]
    good = [one for one in open_to if one.score > _NEVER]
    plain, doubt = _lede(found, good, names)
    return {
        "plain": plain,
        "doubt": doubt,
        "by": by_year(found),
        "mates": [_shown(one, found, names) for one in good[:_SHOWN]],
        "table": _table(good, found, names) if good else None,
        "notes": _notes(good[:_SHOWN], names),
        "idle": [names.link(one.mate) for one in open_to if one.score <= _NEVER],
        "blocked": [(names.link(one.mate), one.blocked) for one in found.mates if one.blocked],
        "missing": [one.text for one in found.missing],
    }


def goal_of(found: Found) -> Goal:
    """The goal that is asked for."""
    wanted = found.wanted
    if wanted.project:
        return found.decisions.goals[found.decisions.key_of(wanted.project)]
    return Goal(name=wanted.want, want=wanted.want)


def by_year(found: Found) -> int:
    """Last season that counts."""
    stock = found.decisions.stock
    return stock.year + last_season(stock, goal_of(found), found.wanted.year - stock.year)


def _lede(found: Found, good: list[Mate], names: Names) -> tuple[str, str]:
    what = goal_of(found).name
    if not good:
        return f"No mate at hand brings {what} any nearer.", ""
    best = good[0]
    plain = f"{names.label(best.mate)} first: {in_100(best.score)} for {what} by {by_year(found)}."
    may = next((reason for reason in best.reasons if "may carry" in reason), "")
    return plain, may


def _shown(one: Mate, found: Found, names: Names) -> MateShown:
    pair = urlencode({"sire": one.sire, "dam": one.dam})
    return MateShown(
        who=names.link(one.mate),
        name=names.label(one.mate),
        score=in_100(one.score),
        now=one.at_least_one,
        reasons=one.reasons,
        hidden=one.hidden,
        cautions=tuple((each.level, each.message) for each in one.cautions if each.level != _NOTE),
        step=one.step,
        odds=f"{reverse('pages:pair')}?{pair}",
        keys=(str(names.keys.get(one.dam, "")), str(names.keys.get(one.sire, ""))),
    )


def _notes(mates: list[Mate], names: Names) -> list[tuple[str, str]]:
    """What is to be noted of the pairs, each once, with the mates that it is about."""
    found: dict[str, list[str]] = {}
    for one in mates:
        for each in one.cautions:
            if each.level == _NOTE:
                found.setdefault(each.message, []).append(names.short(one.mate))
    return [(message, _whose(whose)) for message, whose in found.items()]


def _whose(names: list[str]) -> str:
    rest = len(names) - _NAMED
    return f"{', '.join(names[:_NAMED])} and {counted(rest, 'other')}" if rest > 0 else listed(names)


def _table(mates: list[Mate], found: Found, names: Names) -> Table:
    has_line = any(one.share == one.share for one in mates)  # nan where no line is asked
    heads = [
        Column("Mate"),
        Column(f"By {by_year(found)}", is_number=True),
        Column(f"In {found.wanted.year}", is_number=True),
        Column("Of the young", is_number=True),
        Column("Young inbred", is_number=True),
        *([Column("Of the line", is_number=True)] if has_line else []),
        Column("Size of young", is_number=True),
    ]
    rows = [
        [
            names.link(one.mate),
            in_100(one.score),
            in_100(one.at_least_one.mean / 100),
            percent(one.per_hatchling),
            percent(one.inbreeding),
            *([percent(one.share)] if has_line else []),
            _size(one.size),
        ]
        for one in mates
    ]
    return Table(heads, rows, "Every mate that brings the goal nearer; size in percent above or below the ordinary.")


def _size(value: Estimate | None) -> str:
    return "not known" if value is None else span(value.low, value.high)
