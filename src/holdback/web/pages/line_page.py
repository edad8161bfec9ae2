"""What the page of a line says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.answers.descent import LineReport, LineShare
from holdback.answers.descent.if_true import line_doubts
from holdback.answers.descent.line_parts import FounderLeft
from holdback.answers.descent.names import named, percent
from holdback.collection.estimate import Basis
from holdback.web.pages.backcross_words import back_to_the_line
from holdback.web.pages.charts import Figure
from holdback.web.pages.components import Column, LedgerRow, Table
from holdback.web.pages.conflict_words import in_hundred
from holdback.web.pages.descent_words import years_figure
from holdback.web.pages.line_tables import Links, carriers_table, founders_table, pairs_table, years_table
from holdback.web.pages.wording import GAP, counted, listed, number
from holdback.web.records import clock

SHOWN = 12
"""Carriers listed at once; the others unfold."""

TOLD = 5
"""Animals named in a note."""

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
    links, bred = Links(answers, report), _bred(report)
    return LinePage(
        line,
        _plain(report),
        _acts(answers, report),
        founders_table(report, links),
        carriers_table(answers, bred[:SHOWN], links),
        carriers_table(answers, bred[SHOWN:], links),
        pairs_table(report, links),
        _blocked(report),
        years_table(report),
        _figure(report),
        _left(report),
        back_to_the_line(answers, clock.today().year + 1),
        _notes(answers, report, links),
        report.n_carriers - len(report.carriers),
    )


def _plain(report: LineReport) -> str:
    """Who carries it here."""
    if not report.n_carriers:
        return f"Nobody here carries {report.line}, by descent or claim."
    n_founders = sum(one.is_here for one in report.founders)
    here = counted(n_founders, "founder") if n_founders else "No founder"
    verb = "are" if n_founders > 1 else "is"
    young, bred = report.n_carriers - n_founders, _bred(report)
    if not young:
        return f"{here} {verb} here, and no young of {'theirs' if n_founders > 1 else 'its'}."
    link = "and" if n_founders else "but"
    descend = "that descends" if young == 1 else "that descend"
    words = f"{here} {verb} here, {link} {counted(young, 'animal')} {descend} from the line"
    return words + (f"; the most to expect in one of these is {percent(bred[0].mean)}." if bred else ".")


def _bred(report: LineReport) -> list[LineShare]:
    """Carriers that are not founders."""
    return [one for one in report.carriers if not _is_founder(one.animal, report)]


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


def _risk(answers: Answers, one: FounderLeft) -> str:
    """Why a founder is about to be lost."""
    name = _named_by(answers)
    if not one.through:
        return f"{name(one.animal)} has no young here: when it goes, so does all it brought."
    over = listed([name(young) for young in one.through[:3]])
    kept = percent(one.standing.retained)
    return f"{name(one.animal)} lives on here only through {over}; without it {kept} of its genes are left."


def _pair_count(count: int) -> str:
    return counted(count, "pair")


def _blocked(report: LineReport) -> str:
    if not report.blocked:
        return ""
    pairs = _pair_count(report.blocked)
    return f"{pairs} of carriers are left out: their young would be more inbred than those of half sibs."


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
    return rows + _bottlenecks(report)


def _bottlenecks(report: LineReport) -> list[LedgerRow]:
    """How narrow the line ran, and how quick."""
    rows = []
    if report.effective_ancestors is not None:
        ground = "Effective ancestors: narrow passages counted, in which all young go back to a few."
        rows.append(
            LedgerRow("Ancestors it runs over", number(report.effective_ancestors, 1), "", Basis.BY_DESCENT, ground)
        )
    size = report.effective_size
    if size.value is not None:
        ground = f"Effective size, by the sexes of the {size.n} carriers here that have bred. {size.assumes}"
        rows.append(LedgerRow("Breeds like", number(size.value, 1), "", Basis.ASSUMED, ground))
    if report.generation.mean is not None:
        pairs = counted(report.generation.n, "dated pair")
        ground = f"Age of parents at the hatching of young that bred in turn, {pairs} of parent and young."
        years = f"{number(report.generation.mean, 1)}{GAP}years"
        rows.append(LedgerRow("One generation", years, "", Basis.MEASURED, ground))
    return rows


def _notes(answers: Answers, report: LineReport, links: Links) -> list[str]:
    """What the shares rest on."""
    notes = [
        f"{named(answers.collection, one.animal)} is said to be {percent(one.said_low)} to {percent(one.said_high)} "
        f"({one.ground or 'no ground noted'}); its parents make it {percent(one.by_descent)}, and that is used."
        for one in report.clashes
    ]
    if silent := _silent(answers, report, links):
        notes.append(silent)
    notes.append(
        f"The ranges hold chance in meiosis, over a map of {answers.descent.genome.total_morgan:.1f} Morgan that is "
        "assumed, and all doubts on record. One wrong sire moves a share by up to half."
    )
    notes.append("Size is no evidence here: a big animal is not thereby of the line, nor a small one not.")
    return notes


def _silent(answers: Answers, report: LineReport, links: Links) -> str:
    """Ancestors of carriers of whom nobody says anything, those of the most carriers first; empty where none is."""
    young: dict[str, int] = {}
    for one in report.carriers:
        for part in one.carried:
            if not part.is_stated and not part.animal.startswith("?"):
                young[part.animal] = young.get(part.animal, 0) + 1
    if not young:
        return ""
    most = sorted(young, key=lambda animal: (-young[animal], animal))
    told = [str(links(animal)) for animal in most[:TOLD]]
    told += [f"{len(most) - TOLD} more"] if len(most) > TOLD else []
    unclaimed = answers.catalogue.records["line_unclaimed"].value
    return format_html(
        "Nobody says anything of {}, ancestors of animals listed here; {} as {} of the line. A claim on the page of {} "
        "settles it.",
        SafeString(listed(told)),  # names are escaped where they become links
        "each counts" if len(most) > 1 else "it counts",
        percent(unclaimed) if unclaimed else "none",
        "each" if len(most) > 1 else "that animal",
    )


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
