"""Carrying a gene into a line, ready for the template."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.line_plans import carried_into_line, unspoken_for
from holdback.decisions.backcross_result import BackcrossPlan, BackcrossWay, Generation
from holdback.errors import Fault, HoldbackError
from holdback.heredity.crosses.result import Caution
from holdback.web.pages.components import Column, Table
from holdback.web.pages.line.breeding import signed, spaced
from holdback.web.pages.line.forms import CarryForm
from holdback.web.pages.line.work import stock_or_work
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import listed, number, percent
from holdback.web.pages.worked_out import Working


@dataclass(frozen=True, slots=True)
class WayShown:
    """One way: its name, what it ends in, the crosses in words, and the numbers."""

    name: str
    ends: str
    crosses: list[tuple[str, str, str]]
    numbers: Table
    notes: list[str]


@dataclass(frozen=True)
class Carried:
    """State of the page.

    Parameters
    ----------
    form : CarryForm
        As typed.
    who : str
        Who brings the gene, and who is bred back to.
    ways : list of WayShown
        The one proposed first.
    minds : list of str
        What stands against the first way.
    notes : list of str
        What holds for all ways.
    unspoken : tuple of (Caution, str)
        What has to be spoken for first, with the address that does.
    accepted : tuple of str
        Codes spoken for.
    working : Working or None
        The job that gets the animals ready.
    faults : tuple of Fault
        What is wrong beside what stands at the fields.
    """

    form: CarryForm
    who: str = ""
    ways: list[WayShown] = field(default_factory=list)
    minds: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unspoken: tuple[tuple[Caution, str], ...] = ()
    accepted: tuple[str, ...] = ()
    working: Working | None = None
    faults: tuple[Fault, ...] = ()


def carried(line: str, given: QueryDict) -> Carried:
    """Everything that the page says of carrying a gene into a line."""
    form = CarryForm.of(given)
    accepted = tuple(dict.fromkeys(code for code in given.getlist("accept") if code))
    if not form.is_bound or not form.is_valid():
        return Carried(form, accepted=accepted)
    gene = form.cleaned_data["gene"]
    try:
        plans = stock_or_work()
        if isinstance(plans, Working):
            return Carried(form, accepted=accepted, working=plans)
        stops = unspoken_for(plans, gene, frozenset(accepted))
        if stops:
            told = tuple((one, _address(form, (*accepted, one.code))) for one in stops)
            return Carried(form, accepted=accepted, unspoken=told)
        plan = carried_into_line(
            plans,
            gene,
            line,
            backcrosses=form.crosses_asked,
            inbreeding_at_most=form.inbreeding_asked,
            accepted=frozenset(accepted),
        )
    except HoldbackError as error:
        return Carried(form, accepted=accepted, faults=form.take(error))
    return _shown(plans, plan, form, accepted)


def _address(form: CarryForm, accepted: tuple[str, ...]) -> str:
    """Query that asks the same with more cautions spoken for."""
    said: dict[str, Any] = {name: form.data.get(name) for name in form.fields if form.data.get(name) not in (None, "")}
    return "?" + urlencode([*said.items(), *(("accept", code) for code in dict.fromkeys(accepted))])


def _shown(plans: Decisions, plan: BackcrossPlan, form: CarryForm, accepted: tuple[str, ...]) -> Carried:
    names = Names.of(plans.answers.collection, [plan.donor, *plan.sources])
    sources = SafeString(
        listed([str(names.link(one)) for one in plan.sources])
    )  # links are escaped where they are made
    who = format_html("{} brings it. Of {}, not akin to each other: {}.", names.link(plan.donor), plan.line, sources)
    limit = form.inbreeding_asked
    worst = max(one.inbreeding for one in plan.ways[0].made)
    minds = [said for said in plan.notes if said.startswith("Inbreeding reaches")] if worst > limit else []
    return Carried(
        form,
        who=who,
        ways=[_way(one) for one in plan.ways],
        minds=[spaced(said) for said in minds],
        notes=[spaced(said) for said in plan.notes if said not in minds],
        accepted=accepted,
    )


def _way(way: BackcrossWay) -> WayShown:
    goal = way.goal
    size = "" if goal.size is None else f", {signed(goal.size)} in size"
    return WayShown(
        name=f"Through {'sons' if way.through == 'male' else 'daughters'}; {way.handling}",
        ends=(
            f"{_years(goal)}: {percent(goal.share.mean)} of the line{size}, inbred {percent(goal.inbreeding)}, after "
            f"about {way.eggs_95:.0f} eggs."
        ),
        crosses=[(_years(one), str(one.cross), one.said) for one in way.made],
        numbers=_numbers(way),
        notes=[spaced(said) for said in way.notes],
    )


def _years(one: Generation) -> str:
    """Year at the soonest, and with the mean wait."""
    if one.expected_year is None:
        return f"{one.year} at the soonest"
    late = round(one.expected_year)
    return str(one.year) if late == one.year else f"{one.year}, with the usual wait {late}"


def _numbers(way: BackcrossWay) -> Table:
    heads = [
        Column("Young of"),
        Column("Of the line", is_number=True),
        Column("Size", is_number=True),
        Column("Inbred", is_number=True),
        Column("In the first season", is_number=True),
        Column("Eggs for 95 in 100", is_number=True),
    ]
    rows = [
        [
            format_html('{}<br><span class="second">{}</span>', one.cross, _years(one)),
            f"{percent(one.share.mean)}, {percent(one.share.low)} to {percent(one.share.high)}",
            signed(one.size),
            percent(one.inbreeding),
            f"{100 * one.chance:.0f} in 100",
            number(one.eggs_95),
        ]
        for one in way.made
    ]
    return Table(heads, rows)
