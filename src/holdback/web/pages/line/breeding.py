"""Who of a line should breed, ready for the template."""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.line_breeding import Breeder, LineBreeding, LineClutch
from holdback.answers.decisions.line_breeding_words import what_comes, what_it_costs, who_breeds, why_these
from holdback.collection.estimate import Estimate
from holdback.errors import Fault, HoldbackError
from holdback.web.pages.charts import Axis, Curve, Figure, Mark, axis_to
from holdback.web.pages.components import Column, Table
from holdback.web.pages.line.forms import BreedingForm
from holdback.web.pages.line.work import line_or_work
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import GAP, number, percent
from holdback.web.pages.worked_out import Working

_BEFORE_PERCENT = re.compile(r"(?<=\d) (?=%)")


@dataclass(frozen=True)
class BreedingShown:
    """Who of a line should breed.

    Parameters
    ----------
    who, comes : str
        The clutches in a sentence, and what comes of them.
    pairs : Table
        Clutches.
    cautions : list of (SafeString, str)
        Pair, and what has to be said of it.
    figure : Figure or None
        Size against inbreeding.
    figure_said : str
        Its message.
    trades : Table or None
        Its numbers.
    reasons : list of str
        Why these and not others.
    costs : list of str
        What inbreeding buys.
    breeders : Table
        All that can breed.
    waiting : list of (SafeString, str)
        Those that cannot, and why.
    notes : list of str
        What it rests on.
    is_by_size : bool
        Whether size was sought.
    """

    year: int
    who: str
    comes: str
    pairs: Table
    cautions: list[tuple[SafeString, str]]
    figure: Figure | None
    figure_said: str
    trades: Table | None
    reasons: list[str]
    costs: list[str]
    breeders: Table
    waiting: list[tuple[SafeString, str]]
    notes: list[str]
    is_by_size: bool


@dataclass(frozen=True)
class BreedingPart:
    """State of the entry: said, to be asked for afterwards, being worked out, or why it cannot be told."""

    form: BreedingForm
    said: BreedingShown | None = None
    is_late: bool = False
    working: Working | None = None
    faults: tuple[Fault, ...] = ()


def breeding_part(line: str, form: BreedingForm) -> BreedingPart:
    """Who of a line should breed as the form asks, or the job that works it out."""
    if not form.is_valid():
        return BreedingPart(form)
    try:
        plans = line_or_work(line, form.wish())
        if isinstance(plans, Working):
            return BreedingPart(form, working=plans)
        found = plans.contributions(line, form.wish())
    except HoldbackError as error:
        return BreedingPart(form, faults=form.take(error))
    return BreedingPart(form, said=_shown(plans, found))


def _shown(plans: Decisions, found: LineBreeding) -> BreedingShown:
    ids = [one.animal for one in found.breeders] + [animal for animal, _ in found.waiting]
    names = Names.of(plans.answers.collection, ids)
    short, figure = {one: names.short(one) for one in ids}, _figure(found)
    return BreedingShown(
        year=found.year,
        who=spaced(who_breeds(found, short)),
        comes=spaced(what_comes(found)),
        pairs=_pairs(found, names),
        cautions=[(pair_link(one, names), spaced(said)) for one in found.pairs for said in one.cautions],
        figure=figure,
        figure_said=figure.said if figure else "",
        trades=_trades(found),
        reasons=[spaced(said) for said in why_these(found, short)],
        costs=[spaced(said) for said in what_it_costs(found)[:1]] if found.percent_costs is not None else [],
        breeders=_breeders(found, names),
        waiting=[(names.link(animal), why) for animal, why in found.waiting],
        notes=[spaced(said) for said in found.notes],
        is_by_size=found.is_by_size,
    )


def spaced(text: str) -> str:
    """A sentence whose percent signs stay with their numbers."""
    return _BEFORE_PERCENT.sub(GAP, text)


def pair_link(one: LineClutch, names: Names) -> SafeString:
    """A pair as a link to its page."""
    query = urlencode({"sire": one.sire, "dam": one.dam})
    return format_html(
        '<a href="{}?{}">{} with {}</a>', reverse("pages:pair"), query, names.label(one.sire), names.label(one.dam)
    )


def signed(one: Estimate | None) -> str:
    """Size against ordinary animals, with its range."""
    if one is None:
        return "not known"
    return f"{_signed(one.mean)}{GAP}%, {_signed(one.low)} to {_signed(one.high)}"


def _signed(value: float) -> str:
    return f"{value:+.0f}".replace("-", "−")


def _pairs(found: LineBreeding, names: Names) -> Table:
    size = [Column("Size of the young", is_number=True)] if found.is_by_size else []
    heads = [Column("Pair"), Column("Of the line", is_number=True), *size]
    heads += [Column("Inbred", is_number=True), Column("She lays")]
    rows = [
        [
            pair_link(one, names),
            percent(one.share),
            *([signed(one.size)] if found.is_by_size else []),
            percent(one.inbreeding),
            f"{100 * one.lays:.0f} in 100",
        ]
        for one in found.pairs
    ]
    return Table(heads, rows)


def _breeders(found: LineBreeding, names: Names) -> Table:
    size = [Column("Size it passes on", is_number=True)] if found.is_by_size else []
    heads = [Column("Animal"), Column("Clutches"), Column("Best part of the genes", is_number=True)]
    heads += [Column("Of the line", is_number=True), *size, Column("Akin to the others", is_number=True)]
    return Table(heads, [_row(one, found, names) for one in found.breeders])


def _row(one: Breeder, found: LineBreeding, names: Names) -> list[str]:
    return [
        format_html('{}<br><span class="second">{}</span>', names.link(one.animal), one.sex),
        f"{one.clutches} of {one.clutches_at_most}",
        "none" if one.part < 5e-4 else percent(one.part),
        percent(one.share),
        *([signed(one.size)] if found.is_by_size else []),
        percent(one.kinship),
    ]


def _figure(found: LineBreeding) -> Figure | None:
    """Size won against kinship of the young; None where there is no choice."""
    if len(found.trades) < 2 or found.size is None:
        return None
    first, last = found.trades[0], found.trades[-1]
    points = [(100 * one.kinship, one.size - first.size) for one in found.trades]
    if found.best_size is not None and first.kinship < found.limit < last.kinship:
        points = sorted([*points, (100 * found.limit, found.best_size - first.size)])
    most = last.size - first.size
    said = (
        f"From {percent(first.kinship)} to {percent(last.kinship)} akin, the young of these animals can be "
        f"{number(most, 0)}{GAP}% bigger; these clutches have {percent(found.kinship)}."
    )
    won = found.size.mean - first.size
    y = axis_to(most, "%")
    x = axis_to(100 * last.kinship, "%")
    limit = 100 * found.limit
    return Figure(
        x=Axis(x.end, x.ticks),
        y=y,
        said=said,
        height=200,
        curves=[
            Curve([(limit, 0.0), (limit, y.end)], "other", "limit"),
            Curve(points, "me descent", "the best there is"),
        ],
        marks=[Mark(100 * found.kinship, won, "these clutches")] if 0 <= won <= y.end else [],
    )


def _trades(found: LineBreeding) -> Table | None:
    if not found.trades:
        return None
    heads = [
        Column("Young akin", is_number=True),
        Column("Size of the young", is_number=True),
        Column("Animals that take part", is_number=True),
    ]
    rows = [[percent(one.kinship), f"{_signed(one.size)}{GAP}%", str(one.n_animals)] for one in found.trades]
    return Table(heads, rows, is_cards=False)
