"""What a project needs of its keeper now, first things first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.readiness import latest_pairing
from holdback.answers.decisions.standing import Carrier, Standing
from holdback.web.pages.projects.first import ToSettle
from holdback.web.pages.projects.this_season import SeasonShown
from holdback.web.pages.projects.words import mates_url, page_url, spaced
from holdback.web.pages.season.names import Names
from holdback.web.pages.season.words import next_of
from holdback.web.pages.wording import day, listed

OPEN = (0.02, 0.98)
"""Chances of carrying between which it is worth proving."""
MISSING_SHOWN = 2
"""Kinds of mates that are not here, named for one female."""


@dataclass(frozen=True, slots=True)
class Todo:
    """One thing to do: when, what, and more of it."""

    when: str
    what: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class NotHere:
    """What kinds of mates would serve an animal better than those at hand."""

    who: SafeString
    kinds: tuple[str, ...]
    all_mates: str


def todos(
    plans: Decisions,
    standing: Standing | None,
    names: Names,
    now: SeasonShown,
    then: SeasonShown,
    settle: Sequence[ToSettle],
) -> list[Todo]:
    """What is to be done for a project, first things first."""
    found = [
        Todo("Now", format_html('<a href="#settle">Settle what does not fit about {}</a>.', one.who))
        for one in settle
    ]  # fmt: skip
    found += _under_way(plans, names, now)
    found += _to_write_down(plans, then)
    if standing is not None:
        found += _to_prove(standing, names)
        found += _to_grow(plans, standing, names)
    return found


def _under_way(plans: Decisions, names: Names, now: SeasonShown) -> Iterator[Todo]:
    """Females of the season under way that were paired for it, and what comes next of them."""
    season = plans.season
    for dam in dict.fromkeys(one.dam for one in now.pairs if one.is_made):
        outlook = next((one for one in season.outlooks if one.cycle.dam == dam), None)
        if outlook is None:
            continue
        cycle = outlook.cycle
        said = next_of(outlook, season.clutches.get(cycle.clutch) if cycle.clutch else None, today=season.on)
        what = format_html("{}: {}.", names.link(dam), f"{said.head[:1].lower()}{said.head[1:]}")
        yield Todo(str(now.year), what, " ".join(said.lines))


def _to_write_down(plans: Decisions, then: SeasonShown) -> Iterator[Todo]:
    """Pairs of the next season: those not on record yet, and by when all of them go together."""
    if not then.pairs:
        return
    if any(not one.is_written for one in then.pairs):
        url = page_url("pages:season-plan")
        what = f"Write the pairs of {then.year} down: nothing is on record yet that says so."
        yield Todo("Soon", format_html('{} <a href="{}">The season plan</a>', what, url) if url else what)
    last = day(latest_pairing(then.year, plans.catalogue))
    couples = listed([one.words for one in then.pairs if not one.is_made])
    if couples:
        yield Todo(f"By {last}", f"Put together {couples}.", "Later they would hardly lay in that season.")


def _to_prove(standing: Standing, names: Names) -> Iterator[Todo]:
    """Animals of the way whose genes are open."""
    for one in standing.carriers:
        genes = _open_genes(one, standing) if one.steps else []
        if genes:
            url = names.url(one.animal)
            link = format_html(' <a href="{}#settle">What would settle it</a>', url) if url else SafeString()
            what = format_html("{}: {} to be proven.{}", names.link(one.animal), listed(genes), link)
            yield Todo("Any time", what, "The way turns on it.")


def _open_genes(one: Carrier, standing: Standing) -> list[str]:
    return [
        gene.name
        for gene, (none, _, _) in zip(standing.target.genes, one.copies, strict=True)
        if gene.copies and OPEN[0] < 1 - none < OPEN[1]
    ]


def _to_grow(plans: Decisions, standing: Standing, names: Names) -> Iterator[Todo]:
    """Animals of the way that are not grown."""
    for one in standing.carriers:
        if one.steps and one.ready_from > plans.open_year:
            yield Todo(f"For {one.ready_from}", format_html("{} grows on.", names.link(one.animal)))


def not_here(plans: Decisions, key: str, dams: Sequence[str], names: Names) -> list[NotHere]:
    """Mates that are not in the collection and would serve better than those that are.

    Parameters
    ----------
    plans : Decisions
        Stock and goals.
    key : str
        Key of the project.
    dams : sequence of str
        Females that it counts on.
    names : Names
        Of them.
    """
    found = []
    for dam in dams:
        kinds = plans.missing_mates(dam, key=key)[:MISSING_SHOWN]
        if kinds:
            found.append(NotHere(names.link(dam), tuple(spaced(one.text) for one in kinds), mates_url(dam, key, names)))
    return found
