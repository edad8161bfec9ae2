"""What is done for a project now: pairings of this season and the next that can be planned, and why these."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.season_input import Wish
from holdback.bridge.projects import Planned
from holdback.collection.projects import PairingState
from holdback.decisions.kind_words import in_hundred
from holdback.decisions.season_plan import Pairing, PlanInput, SeasonPlan
from holdback.decisions.steps import Plan, Step
from holdback.errors import DecisionError
from holdback.web.pages.projects.words import couple_said, mates_url, spaced
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import counted

MATES_SHOWN = 3
"""Other mates of a dam that are named."""


@dataclass(frozen=True, slots=True)
class MateShown:
    """Another mate of a dam: who, the chance by the date wished for, and why."""

    who: SafeString
    chance: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PairShown:
    """One pairing: the couple, linked and in words, how it stands, why, its chance, and other mates of the dam."""

    couple: SafeString
    words: str
    state: str
    reasons: tuple[str, ...] = ()
    chance: str = ""
    dam: str = ""
    others: tuple[MateShown, ...] = ()
    all_mates: str = ""
    is_written: bool = False
    is_made: bool = False


@dataclass(frozen=True, slots=True)
class SeasonShown:
    """What is done for a project in one season.

    Parameters
    ----------
    year : int
        By laying.
    pairs : tuple of PairShown
        Pairings.
    differs : tuple of str
        Why pairs of the way are not among them, a sentence or two each.
    fault : str
        Why nothing is planned; empty where something is.
    """

    year: int
    pairs: tuple[PairShown, ...] = ()
    differs: tuple[str, ...] = ()
    fault: str = ""


def now_shown(planned: Sequence[Planned], key: str, names: Names, year: int) -> SeasonShown:
    """Pairings of the season under way that were planned for a project, those that were dropped left out."""
    mine = [one for one in planned if one.pairing.project == key and one.pairing.year == year]
    found = [one for one in mine if one.is_made or one.is_open]
    pairs = []
    for one in found:
        sire, dam = one.pairing.sire, one.pairing.dam
        notes = (one.pairing.note,) if one.pairing.note else ()
        pairs.append(
            PairShown(
                _couple(sire, dam, names),
                _words(sire, dam, names),
                _state(one),
                notes,
                dam=dam,
                is_written=True,
                is_made=one.is_made,
            )
        )
    return SeasonShown(year, tuple(pairs))


def open_shown(plans: Decisions, key: str, planned: Sequence[Planned], names: Names) -> SeasonShown:
    """Pairings of the next season that can be planned, as the season plan has them for a project."""
    year = plans.open_year
    try:
        plan, inp = plans.season_plan(), plans.season_input(year, Wish())
    except DecisionError as error:
        return SeasonShown(year, fault=" ".join(f"{one.what} {one.hint}".strip() for one in error.faults))
    written = {(one.pairing.sire, one.pairing.dam): one for one in planned if one.pairing.year == year}
    pairs = tuple(_planned(plans, one, key, written, names) for one in plan.pairings if one.project == key)
    route = plans.route_or_none(key)
    differs = tuple(_differing(route, plan, inp, plans, key, names)) if route else ()
    if differs:
        differs = (*differs, "What is rehearsed below is the way, not these pairs.")
    return SeasonShown(year, pairs, differs)


def _planned(
    plans: Decisions, one: Pairing, key: str, written: Mapping[tuple[str, str], Planned], names: Names
) -> PairShown:
    """A pairing of the season plan, and how it stands on record."""
    record = written.get((one.sire, one.dam))
    return PairShown(
        _couple(one.sire, one.dam, names),
        _words(one.sire, one.dam, names),
        _state(record) if record else "not written down yet",
        tuple(spaced(each) for each in plans.reasons(one, plans.open_year)),
        in_hundred(one.chance),
        one.dam,
        _other_mates(plans, key, one.sire, one.dam, names),
        mates_url(one.dam, key, names),
        is_written=record is not None and record.pairing.state is not PairingState.DROPPED,
        is_made=record is not None and record.is_made,
    )


def _words(sire: str, dam: str, names: Names) -> str:
    return f"{names.short(sire)} with {names.short(dam)}"


def _couple(sire: str, dam: str, names: Names) -> SafeString:
    query = urlencode({"sire": sire, "dam": dam})
    return format_html('<a href="{}?{}">{}</a>', reverse("pages:pair"), query, _words(sire, dam, names))


def _state(one: Planned) -> str:
    if one.is_made:
        locks = sum(mating.locks or 0 for mating in one.matings)
        return f"done, {counted(locks, 'lock')} seen" if locks else "put together"
    return {
        PairingState.LOCKED: "planned, and fixed",
        PairingState.DROPPED: "dropped",
        PairingState.PLANNED: "planned, not done yet",
    }[one.pairing.state]


def _other_mates(plans: Decisions, key: str, sire: str, dam: str, names: Names) -> tuple[MateShown, ...]:
    found = [one for one in plans.mates(dam, key=key) if one.mate != sire and not one.blocked and one.score > 0]
    by = plans.goals[key].by
    until = f" by {by}" if by else ""
    return tuple(
        MateShown(
            _couple(one.sire, one.dam, names),
            f"{in_hundred(one.score)}{until}",
            tuple(spaced(each) for each in one.reasons),
        )
        for one in found[:MATES_SHOWN]
    )


def _differing(
    route: Plan, plan: SeasonPlan, inp: PlanInput, plans: Decisions, key: str, names: Names
) -> Iterator[str]:  # fmt: skip
    """Why a couple that the way begins with is not paired in the season."""
    season = plans.open_year - plans.stock.year
    for step in route.steps:
        if step.first_season > season or not step.sire.animals or not step.dam.animals:
            continue
        is_paired = any(
            one.project == key and one.sire in step.sire.animals and one.dam in step.dam.animals
            for one in plan.pairings
        )  # fmt: skip
        if not is_paired:
            yield _why_not(step, plan, inp, plans, key, names)


def _why_not(step: Step, plan: SeasonPlan, inp: PlanInput, plans: Decisions, key: str, names: Names) -> str:
    sire, dam = step.sire.animals[0], step.dam.animals[0]
    head = f"The way begins with {couple_said(step, names)}."
    hers = next((one for one in plan.pairings if one.dam == dam), None)
    if hers is None:
        left = next((one.reason for one in plan.left_out if one.dam == dam), "")
        return f"{head} {names.short(dam)} is left out: {left[:1].lower()}{left[1:]}" if left else head
    here = _chance(inp, sire, dam, key, part=hers.part if hers.project == key else 0)
    other = names.short(hers.sire)
    if hers.locked:
        return f"{head} You fixed {names.short(dam)} with {other}."
    if hers.project == key:
        gain = f", {in_hundred(hers.chance)} against {in_hundred(here)}" if here else ""
        return f"{head} With {other} she gains more beside the other pairings of the season{gain}."
    goal = plans.goals.get(hers.project)
    theirs = goal.name if goal else "no project"
    mine = f", against {in_hundred(here)} for this goal with {names.short(sire)}" if here else ""
    return (
        f"{head} The season gives {names.short(dam)} to {other} for {theirs}, which gains more from her: "
        f"{in_hundred(hers.chance)} for its goal{mine}."
    )


def _chance(inp: PlanInput, sire: str, dam: str, key: str, *, part: int) -> float:
    """Chance that a clutch of two alone brings a part of a project, in the season planned; 0 where it cannot."""
    keys = [one.id for one in inp.projects]
    if sire not in inp.males or dam not in inp.females or key not in keys:
        return 0.0
    crosses = inp.crosses
    same = (crosses.sire == inp.males.index(sire)) & (crosses.dam == inp.females.index(dam))
    same &= (crosses.project == keys.index(key)) & (crosses.part == part)
    return float(crosses.chance[same].max()) if same.any() else 0.0
