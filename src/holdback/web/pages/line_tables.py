"""Tables on the page of a line: founders, carriers, pairs, years."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.http import urlencode
from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.answers.descent import LineReport, LineShare
from holdback.answers.descent.line_parts import LinePair
from holdback.answers.descent.names import named, percent
from holdback.web.pages.components import Column, Table
from holdback.web.pages.descent_words import share_cell
from holdback.web.pages.wording import listed
from holdback.web.records import clock
from holdback.web.records.queries import present_animals


class Links:
    """Animals of a report as links; one query.

    Parameters
    ----------
    answers : Answers
        For the names.
    report : LineReport
        Whose animals are linked.
    """

    def __init__(self, answers: Answers, report: LineReport) -> None:
        ids = {one.animal for one in report.carriers} | {one.animal for one in report.founders}
        ids |= {animal for pair in report.pairs for animal in (pair.sire, pair.dam)}
        ids |= {animal for one in report.founders for animal in one.through}
        ids |= {part.animal for one in report.carriers for part in one.carried}
        species = answers.collection.species
        self._keys: Mapping[str, Any] = dict(
            present_animals().filter(species=species, tag__in=ids).values_list("tag", "pk")
        )
        self._collection = answers.collection

    def name(self, animal: str) -> str:
        """Name and id."""
        return named(self._collection, animal)

    def __call__(self, animal: str) -> SafeString:
        """Name and id as a link; the bare words for an animal without a page."""
        words = self.name(animal)
        key = self._keys.get(animal)
        if key is None:
            return format_html("{}", words)
        return format_html('<a href="{}">{}</a>', reverse("pages:animal", args=[key]), words)


def founders_table(report: LineReport, links: Links) -> Table | None:
    """Who brought the line in, and what is left of each; None where nobody did."""
    if not report.founders:
        return None
    heads = [
        Column("Founder"),
        Column("Said to be"),
        Column("On what ground", is_full=True),
        Column("Lives on through", is_full=True),
        Column("Part in the carriers", is_number=True),
        Column("Genes left without it", is_number=True),
    ]
    rows = []
    for one in report.founders:
        said = percent(one.low) if one.low == one.high else f"{percent(one.low)} to {percent(one.high)}"
        through = listed([str(links(young)) for young in one.through]) if one.through else "nobody here"
        rows.append(
            [
                links(one.animal) if one.is_here else format_html("{} (not here)", links(one.animal)),
                said,
                one.ground,
                SafeString(through),
                percent(one.standing.contribution),
                percent(one.standing.retained),
            ]
        )
    return Table(heads, rows)


def carriers_table(answers: Answers, carriers: Sequence[LineShare], links: Links) -> Table | None:
    """Who carries how much, with the drawing of each share; None where nobody does."""
    if not carriers:
        return None
    rows = [
        [
            format_html('{}<br><span class="second">{}</span>', links(one.animal), _sex(answers, one.animal)),
            share_cell(one),
            percent(answers.descent.inbreeding_of(one.animal)),
        ]
        for one in carriers
    ]
    heads = [Column("Animal"), Column("Share, and nine in ten between"), Column("Inbred", is_number=True)]
    return Table(heads, rows, is_cards=False)


def _sex(answers: Answers, animal: str) -> str:
    record = answers.collection.animals[animal]
    year = f", {record.hatched.year}" if record.hatched else ""
    return f"{record.sex}{year}" if str(record.sex) != "unknown" else f"sex not known{year}"


def pairs_table(report: LineReport, links: Links) -> Table | None:
    """Pairs that raise the share without much inbreeding, each a link to its page."""
    if not report.pairs:
        return None
    heads = [
        Column("Pair"),
        Column("Share of the young", is_number=True),
        Column("Their inbreeding", is_number=True),
        Column("Both grown"),
    ]
    rows = [[_pair_link(one, links), _pair_share(one), percent(one.inbreeding), _grown(one)] for one in report.pairs]
    return Table(heads, rows)


def _pair_share(one: LinePair) -> str:
    if one.share - one.at_least < 1e-9:
        return percent(one.share)
    return f"{percent(one.share)}, {percent(one.at_least)} if a claim falls short"


def _pair_link(one: LinePair, links: Links) -> SafeString:
    return format_html(
        '<a href="{}?{}">{} with {}</a>',
        reverse("pages:pair"),
        urlencode({"sire": one.sire, "dam": one.dam}),
        links.name(one.sire),
        links.name(one.dam),
    )


def _grown(one: LinePair) -> str:
    """From when both are of breeding age."""
    if one.grown is None:
        return "age not known"
    return "now, by age" if one.grown <= clock.today().year else f"from {one.grown}"


def years_table(report: LineReport) -> Table | None:
    """Young by year of hatching, and those still here; None where no year is known."""
    if not report.years:
        return None
    heads = [
        Column("Year"),
        *(Column(words, is_number=True) for words in ("Young", "Mean share", "Still here", "Inbred")),
    ]
    rows = [
        [
            str(one.year),
            f"{one.young}",
            percent(one.mean),
            "none" if one.kept_mean is None else f"{one.kept} at {percent(one.kept_mean)}",
            percent(one.inbreeding),
        ]
        for one in report.years
    ]
    return Table(heads, rows, is_cards=False)
