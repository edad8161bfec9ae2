"""Everything that the page of a season plan says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from holdback.decisions.season_plan import SeasonPlan
from holdback.errors import HoldbackError
from holdback.web.pages.family import label
from holdback.web.pages.season.names import Names
from holdback.web.pages.season_plan import board
from holdback.web.pages.season_plan.asked import Asked
from holdback.web.pages.season_plan.her import for_her
from holdback.web.pages.season_plan.keeping import dropped_by
from holdback.web.pages.season_plan.places import places_shown
from holdback.web.pages.season_plan.words import (
    broken_words,
    chances_changed,
    cost,
    lede,
    outlook_words,
    proof_words,
)
from holdback.web.pages.season_plan.worked import Costs, Planned, planned, proof
from holdback.web.pages.worked_out import Working
from holdback.web.records.models import PlannedPairing

_NOTHING = 0.005
"""Worth below which a loosened limit changes nothing."""


@dataclass(frozen=True, slots=True)
class Left:
    """Females left out for one reason, each with the address that looks for a male for her."""

    reason: str
    takes: str
    females: tuple[tuple[SafeString, str, str], ...]


def told(asked: Asked) -> dict[str, Any]:
    """The board, or how far its plan is, or why there is none."""
    try:
        found = planned(asked)
        if isinstance(found, Working):
            return {"working": found}
        now = board.Now.of(found, asked)
        return _told(now)
    except HoldbackError as error:
        return {"faults": error.faults}


def _told(now: board.Now) -> dict[str, Any]:
    found, asked = now.found, now.asked
    names = names_of(found)
    record = on_record(asked.year)
    plain, doubt = lede(found, now.state)
    return {
        "plan": found.plan,
        "plain": plain,
        "doubt": doubt,
        "outlook": outlook_words(found, now.state.projects),
        "proof": proof_words(found.plan),
        "proving": proof(found),
        "without": without(found),
        "pairs": board.pairs_shown(now, names, record),
        "board": board.board_of(now, names),
        "her": for_her(now, names),
        "moved": _moved(now, names),
        "left": left_out(now, names),
        "spare": [names.link(one) for one in found.plan.spare],
        "places": places_shown(now.state.load),
        "has_places": bool(now.state.load),
        "drops": [f"{label(one.sire)} with {label(one.dam)}" for one in dropped_by(now, names)],
        "fixed": [
            (names.label(one.sire), names.label(one.dam), _without_fixed(asked, one.dam).address) for one in asked.fixed
        ],
    }


def names_of(found: Planned) -> Names:
    """Names of everybody in a plan; one query."""
    return Names.of(found.decisions.answers.collection, [*found.inp.males, *found.inp.females])


def on_record(year: int) -> list[PlannedPairing]:
    """Planned pairings of a season; one query."""
    return list(PlannedPairing.objects.filter(year=year).select_related("dam", "sire", "project"))


def without(found: Planned) -> list[str]:
    """Projects that nothing is planned for, with the reason."""
    goals = found.decisions.goals
    return [
        why if why.startswith(goals[key].name) else f"{goals[key].name}: {why}"
        for key, why in found.decisions.without_route.items()
    ]


def _moved(now: board.Now, names: Names) -> dict[str, Any] | None:
    """What the changes made by hand come to; None where there are none."""
    asked = now.asked
    if not asked.moves:
        return None
    return {
        "told": list(board.moves_told(now, names)),
        "cost": cost(now.state.change),
        "chances": chances_changed(now.found, now.state.projects),
        "broken": broken_words(now.state),
        "back": asked.last_taken_back.address,
        "plan": asked.plain.address,
        "around": asked.moves_fixed.address if any(one.sire for one in asked.moves) else "",
    }


def _without_fixed(asked: Asked, dam: str) -> Asked:
    return asked.plain.but(fixed=tuple(one for one in asked.fixed if one.dam != dam))


def left_out(now: board.Now, names: Names) -> list[Left]:
    """Females without a pairing as it stands, those for one reason together."""
    found, asked = now.found, now.asked
    paired = {one.dam for one in now.state.pairings}
    groups: dict[tuple[str, str], list[str]] = {}
    for one in found.plan.left_out:
        if one.dam not in paired:
            groups.setdefault((one.reason, one.takes), []).append(one.dam)
    by_hand = [one.dam for one in asked.moves if not one.sire and one.dam not in paired]
    known = {one.dam for one in found.plan.left_out}
    if new := [one for one in by_hand if one not in known]:
        groups = {("You left her out.", ""): new, **groups}
    return [
        Left(
            reason,
            takes,
            tuple((names.link(dam), names.short(dam), f"{asked.but(her=dam).address}#her") for dam in dams),
        )
        for (reason, takes), dams in groups.items()
    ]


def costs_told(found: Costs, plans: Planned) -> dict[str, Any]:
    """What each limit costs, and the next best plan beside this one."""
    names = names_of(plans)
    return {
        "prices": [(one.sentence, one.proven) for one in found.prices if one.gain > _NOTHING],
        "n_idle": sum(one.gain <= _NOTHING for one in found.prices),
        "other": _other(found.other, plans, names) if found.other else None,
        "why_none": found.why_none,
    }


def _other(other: SeasonPlan, plans: Planned, names: Names) -> dict[str, Any]:
    before, after = _by_dam(plans.plan), _by_dam(other)
    dams = [one for one in plans.inp.females if before.get(one) != after.get(one)]
    rows = [(names.link(dam), _male(before, dam, names), _male(after, dam, names)) for dam in dams]
    fixed = plans.asked.plain
    for dam in dams:
        if dam in after:
            fixed = fixed.moved(dam, *after[dam])
        else:
            fixed = fixed.moved(dam)
    return {
        "rows": rows,
        "cost": cost(other.worth - plans.plan.worth),
        "same": len(before.items() & after.items()),
        "outlook": outlook_words(plans, other.projects),
        "address": f"{fixed.address}#moved",
    }


def _by_dam(plan: SeasonPlan) -> Mapping[str, tuple[str, str]]:
    return {one.dam: (one.sire, one.project) for one in plan.pairings}


def _male(pairs: Mapping[str, tuple[str, str]], dam: str, names: Names) -> str:
    return names.short(pairs[dam][0]) if dam in pairs else "nobody"
