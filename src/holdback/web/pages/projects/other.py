"""Other ways to a goal on its page: looked for on request, and kept as long as the animals stay as they are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from weakref import WeakKeyDictionary

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.other_ways import OtherWays, other_ways
from holdback.decisions.goal import Goal
from holdback.decisions.kind_words import in_hundred
from holdback.decisions.route import Relaxed, Watch
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock
from holdback.errors import DecisionError
from holdback.web.pages.components import Column, Table
from holdback.web.pages.decided import Part, Tell, part_or_work, register
from holdback.web.pages.projects.words import side_said, spaced
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import percent
from holdback.web.pages.worked_out import Working

OTHER_WAYS = "other ways"
_POINT, _SEASON = 0.01, 0.15
"""Gain in chance, or in seasons, from which giving up a wish is worth telling."""

_Asked = tuple[str, tuple[tuple[str, Goal], ...]]
_found: WeakKeyDictionary[Stock, dict[_Asked, OtherWays]] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class OtherShown:
    """Other ways, ready for the page.

    Parameters
    ----------
    ways : Table or None
        Years against inbreeding against share.
    relaxed : tuple of str
        What giving up one wish buys.
    """

    ways: Table | None
    relaxed: tuple[str, ...]


def other_or_work(key: str) -> OtherWays | Working:
    """Other ways of a project, or the job that looks for them."""
    plans = part_or_work(OTHER_WAYS, key=key)
    if isinstance(plans, Working):
        return plans
    return other_found(plans, key) or OtherWays((), ())


def other_found(plans: Decisions, key: str) -> OtherWays | None:
    """Other ways as far as they were looked for."""
    return _found.get(plans.stock, {}).get(_asked(plans, key))


def other_shown(found: OtherWays, plans: Decisions, key: str, names: Names) -> OtherShown:
    """Other ways, ready for the page."""
    route, season = plans.route_or_none(key), _season(plans, key)
    return OtherShown(_ways(found, plans, key, names), tuple(_relaxed(found.relaxed, route, season)))


def animals_of_ways(found: OtherWays) -> set[str]:
    """Ids of the animals that the ways name."""
    return {a for plan in found.front for step in plan.steps for s in (step.sire, step.dam) for a in s.animals}


def _ways(found: OtherWays, plans: Decisions, key: str, names: Names) -> Table | None:
    if not found.front:
        return None
    goal, season, year = plans.goals[key], _season(plans, key), plans.stock.year
    line = found.front[0].target.line
    columns = [Column("Way", is_full=True), Column(f"By {year + season}"), Column("Seasons", is_number=True)]
    columns += [Column("Inbred"), *([Column(line)] if line else [])]
    rows = []
    for plan in found.front:
        chance = plan.by_season[min(season, len(plan.by_season) - 1)]
        over = " over your limit" if plan.largest_inbreeding > goal.inbreeding_at_most + 1e-9 else ""
        row: list[str] = [
            _couples(plan, names, year),
            format_html('<span class="nb">{}</span>', in_hundred(chance)),
            f"{plan.seasons:.1f}",
            f"{percent(plan.largest_inbreeding)}{over}",
        ]
        if line:
            less = " less than you want" if plan.share < goal.share_at_least - 1e-9 else ""
            row.append(f"{percent(plan.share)}{less}")
        rows.append(row)
    return Table(columns, rows)


def _couples(plan: Plan, names: Names, year: int) -> SafeString:
    """Crosses of a way with their years."""
    return format_html_join(
        ", then ",
        "{} {} with {}",
        (
            (
                year + step.first_season,
                side_said(step.sire, plan, names),
                side_said(step.dam, plan, names),
            )
            for step in plan.steps
        ),
    )


def _relaxed(found: tuple[Relaxed, ...], route: Plan | None, season: int) -> Iterator[str]:
    """What giving up a wish buys, where it buys anything."""
    for one in found:
        gain = _at(one.plan, season) - _at(route, season) if route else 1.0
        sooner = route.seasons - one.plan.seasons if route else 1.0
        if gain >= _POINT or sooner >= _SEASON:
            yield spaced(one.sentence.replace("%", " %").replace("  %", " %"))


def _at(plan: Plan, season: int) -> float:
    return plan.by_season[min(season, len(plan.by_season) - 1)]


def _season(plans: Decisions, key: str) -> int:
    """Season that the goal is wished by; that of the sixth year where nobody said."""
    by = plans.goals[key].by
    return max(by - plans.stock.year, 0) if by else 5


def _asked(plans: Decisions, key: str) -> _Asked:
    return key, tuple(plans.goals.items())


def _is_there(plans: Decisions, asked: dict[str, Any]) -> bool:
    return plans.is_worked_out and other_found(plans, asked["key"]) is not None


def _look(plans: Decisions, asked: dict[str, Any], tell: Tell) -> None:
    key = asked["key"]
    try:
        found = other_ways(plans, key, watch=Watch(tell))
    except DecisionError:
        found = OtherWays((), ())  # the page says what is wrong with the goal
    _found.setdefault(plans.stock, {})[_asked(plans, key)] = found


register(OTHER_WAYS, Part("Other ways", _is_there, _look))
