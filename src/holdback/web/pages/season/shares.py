"""Shares of eggs as tables: the share with its range on a line from none to all, and what was counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.estimate import Basis, Estimate
from holdback.season.outlook import Rate
from holdback.season.statistics import Shares
from holdback.species.model import Value
from holdback.web.pages.components import STROKES, Column, LedgerRow, Table
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import GAP, counted, number, span

FEW_CLUTCHES = 3
"""Clutches below which a group alone tells next to nothing."""


@dataclass(frozen=True, slots=True)
class Told:
    """One share by all its groups.

    Parameters
    ----------
    title, gloss : str
        Head of the entry, and how to read it.
    name : str
        Its id in the page.
    said : str
        The answer in a sentence.
    ledger : tuple of LedgerRow
        In all, and what is usual.
    groups : tuple of (str, Table)
        Tables with their names.
    """

    title: str
    gloss: str
    name: str
    said: str
    ledger: tuple[LedgerRow, ...]
    groups: tuple[tuple[str, Table], ...]


def told_share(
    title: str, name: str, verb: str, shares: Shares, names: Names, usual: Value | None, *, egg: str = "egg"
) -> Told | None:
    """What is said of one share; None where nothing was counted.

    Parameters
    ----------
    title, name : str
        Head and id of the entry.
    verb : str
        What the eggs asked about did ("hatched").
    shares : Shares
        In all and by group.
    names : Names
        Of dams and sires.
    usual : Value or None
        What the species file says.
    egg : str
        What is counted.
    """
    whole = shares.whole
    if whole is None:
        return None
    ledger = [LedgerRow.of("With you", whole.share)]
    if usual:
        between = span(100 * usual.low, 100 * usual.high)
        ground = f"{usual.mark}{f' ({usual.source})' if usual.source else ''}. {usual.note}".strip()
        ledger.append(LedgerRow("Usual", f"{number(100 * usual.value)}{GAP}%", between, ground=ground))
    groups = (
        ("By year", shares.by_year, str),
        ("By dam", shares.by_dam, names.link),
        ("By sire", shares.by_sire, names.link),
        ("By incubator", shares.by_incubator, str),
    )
    said = f"{whole.k} of {counted(whole.n, egg)} in {counted(whole.clutches, 'clutch', 'clutches')} {verb}."
    if whole.clutches < FEW_CLUTCHES:
        said = f"{said} So few clutches tell little: the range is wide."
    return Told(
        title,
        "Each share is drawn towards all; eggs of a clutch fare alike. The range holds nine cases in ten.",
        name,
        said,
        tuple(ledger),
        tuple((words, share_table(found, link)) for words, found, link in groups if found),
    )


def share_table(found: Sequence[Rate], link: Callable[[str], str]) -> Table:
    """Groups with their shares, the highest first; with years, the latest first.

    Parameters
    ----------
    found : sequence of Rate
        Groups.
    link : callable
        From the id of a group to its words.
    """
    is_years = link is str and all(rate.group.isdecimal() for rate in found)
    ordered = sorted(found, key=lambda rate: (-int(rate.group) if is_years else 0, -rate.share.mean, rate.group))
    heads = [Column("Of"), Column("Share"), Column("None … all", is_full=True), Column("Counted")]
    return Table(heads, [_row(rate, link) for rate in ordered])


def _row(rate: Rate, link: Callable[[str], str]) -> list[str]:
    few = " — few" if rate.clutches < FEW_CLUTCHES else ""
    said = f"{rate.k} of {rate.n} in {counted(rate.clutches, 'clutch', 'clutches')}{few}"
    return [link(rate.group), share_cell(rate.share), share_line(rate.share), said]


def share_cell(estimate: Estimate) -> SafeString:
    """A share with its range and basis."""
    return estimate_cell(f"{number(estimate.mean)}{GAP}%", span(estimate.low, estimate.high), estimate.basis)


def estimate_cell(value: str, within: str, basis: Basis) -> SafeString:
    """A number in words with its range and basis."""
    return format_html(
        '<span class="est"><b>{}</b><span class="range">{}</span><span class="basis {}">{}</span></span>',
        value,
        within,
        STROKES[basis],
        basis.value,
    )


def share_line(estimate: Estimate) -> SafeString:
    """A share on a line from none to all."""
    low, mean, high = estimate.low, estimate.mean, estimate.high
    return format_html(
        '<svg class="sharestrip" role="img" aria-label="{} percent, {} to {}">'
        '<line class="base" x1="0" x2="100%" y1="7" y2="7"/>'
        '<rect class="range" x="{}%" width="{}%" y="2" height="10"/>'
        '<line class="at" x1="{}%" x2="{}%" y1="0" y2="14"/></svg>',
        number(mean),
        number(low),
        number(high),
        f"{low:.1f}",
        f"{max(high - low, 0.5):.1f}",
        f"{mean:.1f}",
        f"{mean:.1f}",
    )
