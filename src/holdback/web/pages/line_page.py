"""What the page of a line says."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.answers.descent import LineReport, LineShare
from holdback.answers.descent.if_true import line_doubts
from holdback.answers.descent.line_report import LineFounder, LinePair
from holdback.answers.descent.names import named, percent
from holdback.collection.estimate import Basis
from holdback.web.pages.backcross_words import back_to_the_line
from holdback.web.pages.charts import Figure
from holdback.web.pages.components import Column, LedgerRow, Table
from holdback.web.pages.conflict_words import in_hundred
from holdback.web.pages.descent_words import share_cell, years_figure
from holdback.web.pages.wording import counted, listed, number
from holdback.web.records.queries import present_animals

SHOWN = 12
"""Carriers listed at once; the others unfold."""

MOST_DOUBTFUL = 0.5
"""Lower end of a claim up to which a founder comes after the surer ones."""


@dataclass(frozen=True)
class LinePage:
    """Everything that the template of a line takes.

    Parameters
    ----------
    line : str
        Name.
    plain, acts : str
        The answer in a sentence, and what can be acted on (in bold).
    founders, carriers, others, pairs, years : Table or None
        Tables, `others` of the carriers with less; None where there is nothing to list.
    figure : Figure or None
        Mean share by year.
    left : list of LedgerRow
        What is left of the variety.
    back : Table
        Where breeding back to the line leads.
    notes : list of str
        What the shares rest on and where claims disagree.
    more : int
        Carriers that are not listed.
    """

    line: str
    plain: str
    acts: str
    founders: Table | None
    carriers: Table | None
    others: Table | None
    pairs: Table | None
    blocked: str
    years: Table | None
    figure: Figure | None
    left: list[LedgerRow]
    back: Table
    notes: list[str]
    more: int


def line_page(answers: Answers, line: str) -> LinePage:
    """The page of a line.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    line : str
        Name of the line as recorded.
    """
    report = answers.descent.line(line)
    links = _Links(answers, report)
    return LinePage(
        line,
        _plain(report),
        _acts(answers, report),
        _founders(report, links),
        _carriers(answers, report.carriers[:SHOWN], links),
        _carriers(answers, report.carriers[SHOWN:], links),
        _pairs(report, links),
        _blocked(report),
        _years(report),
        _figure(report),
        _left(report),
        back_to_the_line(answers, timezone.localdate().year + 1),
        _notes(answers, report),
        report.n_carriers - len(report.carriers),
    )


class _Links:
    """Animals of a report as links; one query."""

    def __init__(self, answers: Answers, report: LineReport) -> None:
        ids = {one.animal for one in report.carriers} | {one.animal for one in report.founders}
        ids |= {animal for pair in report.pairs for animal in (pair.sire, pair.dam)}
        ids |= {animal for one in report.founders for animal in one.through}
        species = answers.collection.species
        self._keys: Mapping[str, Any] = dict(
            present_animals().filter(species=species, tag__in=ids).values_list("tag", "pk")
        )
        self._collection = answers.collection

    def name(self, animal: str) -> str:
        """Name and id."""
        return named(self._collection, animal)

    def __call__(self, animal: str) -> SafeString:
        words = self.name(animal)
        key = self._keys.get(animal)
        if key is None:
            return format_html("{}", words)
        return format_html('<a href="{}">{}</a>', reverse("pages:animal", args=[key]), words)


def _plain(report: LineReport) -> str:
    """Who carries it here."""
    if not report.n_carriers:
        return f"Nobody here carries {report.line}, by descent or claim."
    n_founders = sum(one.is_here for one in report.founders)
    young = report.n_carriers - n_founders
    bred = [one for one in report.carriers if not _is_founder(one.animal, report)]
    words = f"{counted(young, 'animal', 'animals')} here descend from it, beside {counted(n_founders, 'founder')}."
    return words + (f" The most in one of them is {percent(bred[0].mean)}." if bred else "")


def _is_founder(animal: str, report: LineReport) -> bool:
    return any(one.animal == animal for one in report.founders)


def _acts(answers: Answers, report: LineReport) -> str:
    """What the keeper may not know and can act on: a founder about to be lost, then one that the best do without."""
    name = _named_by(answers)
    sure = [one for one in report.founders if one.standing.at_risk and one.low > MOST_DOUBTFUL]
    if sure:
        return " ".join(_risk(answers, one) for one in sure[:2])
    lost = [one for one in report.founders if one.animal in report.missing and one.through]
    if lost and report.top:
        one = lost[0]
        over = listed([name(young) for young in one.through[:3]])
        best = listed([name(animal) for animal in report.top[:3]])
        verb = "carries" if len(report.top) == 1 else "carry"
        return (
            f"{best}, with the most of it, {verb} nothing of {name(one.animal)}, which lives on only through {over}. "
            "A pair across the two keeps both."
        )
    risk = [one for one in report.founders if one.standing.at_risk]
    if risk:
        return _risk(answers, risk[0])
    if report.blocked:
        return f"{_pair_count(report.blocked)} of carriers would give young more inbred than those of half sibs."
    return ""


def _named_by(answers: Answers) -> Callable[[str], str]:
    return lambda animal: named(answers.collection, animal)


def _risk(answers: Answers, one: LineFounder) -> str:
    """Why a founder is about to be lost."""
    name = _named_by(answers)
    if not one.through:
        return f"{name(one.animal)} has no young here: when it goes, so does all it brought."
    over = listed([name(young) for young in one.through[:3]])
    kept = percent(one.standing.retained)
    return f"{name(one.animal)} lives on here only through {over}; without it {kept} of its genes are left."


def _founders(report: LineReport, links: _Links) -> Table | None:
    if not report.founders:
        return None
    heads = [
        Column("Founder"),
        Column("Said to be"),
        Column("On what ground", is_full=True),
        Column("Lives on through", is_full=True),
        Column("Part of the carriers", is_number=True),
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


def _carriers(answers: Answers, carriers: Sequence[LineShare], links: _Links) -> Table | None:
    if not carriers:
        return None
    pedigree = answers.descent.pedigree
    rows = [
        [
            format_html('{}<br><span class="second">{}</span>', links(one.animal), _sex(answers, one.animal)),
            share_cell(one),
            "not known"
            if pedigree.is_founder[pedigree.index[one.animal]]
            else percent(answers.descent.inbreeding_of(one.animal)),
        ]
        for one in carriers
    ]
    heads = [Column("Animal"), Column("Share, and nine in ten between"), Column("Inbred", is_number=True)]
    return Table(heads, rows, is_cards=False)


def _sex(answers: Answers, animal: str) -> str:
    record = answers.collection.animals[animal]
    year = f", {record.hatched.year}" if record.hatched else ""
    return f"{record.sex}{year}" if str(record.sex) != "unknown" else f"sex not known{year}"


def _pairs(report: LineReport, links: _Links) -> Table | None:
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


def _pair_link(one: LinePair, links: _Links) -> SafeString:
    return format_html(
        '<a href="{}?sire={}&amp;dam={}">{} with {}</a>',
        reverse("pages:pair"),
        one.sire,
        one.dam,
        links.name(one.sire),
        links.name(one.dam),
    )


def _grown(one: LinePair) -> str:
    """From when both are of breeding age."""
    if one.grown is None:
        return "age not known"
    return "now, by age" if one.grown <= timezone.localdate().year else f"from {one.grown}"


def _pair_count(count: int) -> str:
    return counted(count, "pair")


def _blocked(report: LineReport) -> str:
    if not report.blocked:
        return ""
    pairs = _pair_count(report.blocked)
    return f"{pairs} of carriers are left out: their young would be more inbred than those of half sibs."


def _years(report: LineReport) -> Table | None:
    if not report.years:
        return None
    heads = [
        Column("Year"),
        *(Column(words, is_number=True) for words in ("Young", "Mean share", "Still here", "Their mean", "Inbred")),
    ]
    rows = [
        [
            str(one.year),
            f"{one.young}",
            percent(one.mean),
            f"{one.kept}",
            "—" if one.kept_mean is None else percent(one.kept_mean),
            percent(one.inbreeding),
        ]
        for one in report.years
    ]
    return Table(heads, rows, is_cards=False)


def _figure(report: LineReport) -> Figure | None:
    if len(report.years) < 2:
        return None
    first, last = report.years[0], report.years[-1]
    said = f"Mean share of the young: {percent(first.mean)} in {first.year}, {percent(last.mean)} in {last.year}."
    return years_figure([(one.year, one.mean) for one in report.years], first.year, last.year, said)


def _left(report: LineReport) -> list[LedgerRow]:
    """What is left of the variety, as numbers."""
    rows = [
        LedgerRow("Founders of the line", str(len(report.founders)), "", Basis.CLAIMED, "Animals said to be of it.")
    ]
    if report.effective_founders is not None:
        rows.append(
            LedgerRow(
                "Worth as many even ones",
                number(report.effective_founders, 1),
                "",
                Basis.BY_DESCENT,
                "Effective founders: by their parts in the carriers that are here, as far as these are of the line.",
            )
        )
    if report.genome_equivalents is not None:
        rows.append(
            LedgerRow(
                "Variety of the carriers",
                number(report.genome_equivalents, 1),
                "",
                Basis.BY_DESCENT,
                "Founder genome equivalents, 1 / (2 × mean kinship), all their ancestors counted: as varied as so many "
                "unrelated animals.",
            )
        )
    return rows


def _notes(answers: Answers, report: LineReport) -> list[str]:
    """What the shares rest on."""
    notes = [
        f"{named(answers.collection, one.animal)} is said to be {percent(one.said_low)} to {percent(one.said_high)} "
        f"({one.ground or 'no ground noted'}); its parents make it {percent(one.by_descent)}, and that is used."
        for one in report.clashes
    ]
    silent = [one for one in report.carriers if one.unknown > 0]
    if silent:
        notes.append(
            f"In {len(silent)} of the animals listed part of the ancestry is animals of which nobody says anything; "
            "they count as none of the line. A claim on the page of each settles it."
        )
    notes.append(
        f"The ranges hold chance in meiosis, over a map of {answers.descent.genome.total_morgan:.1f} Morgan that is "
        "assumed, and all doubts on record. One wrong sire moves a share by up to half."
    )
    notes.append("Size is no evidence here: a big animal is not thereby of the line, nor a small one not.")
    return notes


def listed_lines(answers: Answers) -> list[tuple[str, str]]:
    """Lines with a sentence on each, for the page that lists them."""
    found = []
    for line in answers.descent.lines:
        found.append((line, _plain(answers.descent.line(line))))
    return found


def doubts_table(answers: Answers, line: str) -> Table | None:
    """Parents that are likely wrong and move the line; None where there are none."""
    found = line_doubts(answers, line)
    if not found:
        return None
    heads = [
        Column("Record"),
        Column("What is likely", is_full=True),
        Column("Chance"),
        Column("Share of the young"),
        Column("Their inbreeding"),
    ]
    rows = [
        [
            one.record[:1].upper() + one.record[1:],
            one.words,
            in_hundred(one.chance),
            f"{percent(one.share_now)} as written, then {percent(one.share_then)}",
            f"{percent(one.inbreeding_now)} as written, then {percent(one.inbreeding_then)}",
        ]
        for one in found
    ]
    return Table(heads, rows)
