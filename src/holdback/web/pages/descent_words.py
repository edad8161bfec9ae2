"""Line share and inbreeding as pages say and draw them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.descent.names import named, percent
from holdback.collection.estimate import Basis
from holdback.web.pages.charts import Axis, Curve, Figure
from holdback.web.pages.components import STROKES, Column, LedgerRow, Table
from holdback.web.pages.wording import GAP, listed

if TYPE_CHECKING:
    from holdback.answers.descent import Descent, LineShare, YoungDescent

HALF_SIBS = 0.125
"""Inbreeding of the young of half sibs: from here a page says think (Wright 1922)."""
FULL_SIBS = 0.25
GRID = 96
SAME = 1e-9
"""Difference of two shares that is rounding."""


@dataclass(frozen=True)
class ShareShown:
    """One line of one animal, or of young not yet bred.

    Parameters
    ----------
    line : str
        Name.
    rows : list of LedgerRow
        The numbers.
    figure : Figure or None
        Density of the true share; None where nothing is left open.
    message, how : str
        What the figure says, and how to read it.
    numbers : Table or None
        The numbers behind it.
    open : str
        What the records leave open; may be empty.
    """

    line: str
    rows: list[LedgerRow]
    figure: Figure | None
    message: str
    how: str
    numbers: Table | None
    open: str


def tenths(share: float) -> str:
    """A share in percent without the sign, with tenths below 10."""
    return percent(share).removesuffix(f"{GAP}%")


def share_range(share: LineShare) -> str:
    """The 90 % range in percent, empty where nothing is open."""
    if tenths(share.low) == tenths(share.high):
        return ""
    return f"{tenths(share.low)}–{percent(share.high)}"


def share_cell(share: LineShare) -> SafeString:
    """A share in a table: number, range, basis and the drawing below."""
    return format_html(
        '<span class="est"><b>{}</b> <span class="range">{}</span> <span class="basis {}">{}</span></span>{}',
        percent(share.mean),
        share_range(share),
        STROKES[share.basis],
        share.basis.value,
        share_strip(share),
    )


def share_row(share: LineShare, name: str = "") -> LedgerRow:
    """Ledger row of a share."""
    name, between = name or share.line, share_range(share)
    if share.basis is Basis.CLAIMED and between:
        return LedgerRow(name, between, "", share.basis, share.ground)
    word = "by descent, from a claim" if share.basis is Basis.BY_DESCENT else ""
    return LedgerRow(name, percent(share.mean), between, share.basis, share.ground, word)


def share_shown(share: LineShare) -> ShareShown:
    """A share with its figure."""
    rows = [share_row(share)]
    if share.sd == 0 or share.basis is Basis.CLAIMED:
        return ShareShown(share.line, rows, None, "", "", None, _open(share))
    message = f"In nine cases of ten {percent(share.low)} to {percent(share.high)} is {share.line}."
    stroke = "Wavy: assumed." if share.basis is Basis.ASSUMED else "Dashed: by descent."
    how = f"The higher the curve, the likelier that share. {stroke}"
    levels = (0.05, 0.25, 0.5, 0.75, 0.95)
    numbers = Table(
        [Column("So many cases in a hundred lie below"), Column("Share", is_number=True)],
        [
            [f"{100 * level:.0f}", percent(below)]
            for level, below in zip(levels, share.distribution.quantiles(levels), strict=True)
        ],
        is_cards=False,
    )
    return ShareShown(share.line, rows, _figure(share, message), message, how, numbers, _open(share))


def _figure(share: LineShare, message: str) -> Figure:
    """Density of the true share, dashed: it is by descent."""
    grid = [number / GRID for number in range(GRID + 1)]
    heights = [float(one) for one in share.distribution.density(grid)]
    most = max(heights) or 1.0
    kind = "me assumed" if share.basis is Basis.ASSUMED else "me descent"
    return Figure(
        x=Axis(1.0, [(0.0, "0"), (0.25, "25"), (0.5, "50"), (0.75, "75"), (1.0, f"100{GAP}%")]),
        y=Axis(1.15 * most, []),
        said=f"{share.line}: likeliest near {percent(share.mean)}. {message}",
        height=90,
        curves=[Curve(list(zip(grid, heights, strict=True)), kind)],
        here=(share.mean, f"expected, {percent(share.mean)}"),
    )


def _open(share: LineShare) -> str:
    """What the records leave open about the expected share; a claim says so itself."""
    if share.basis is Basis.CLAIMED or share.bound_high - share.bound_low < SAME:
        return ""
    low, high = percent(share.bound_low), percent(share.bound_high)
    return f"As far as the papers go, the share to expect may be anything from {low} to {high}."


def none_of(shares: Sequence[LineShare]) -> str:
    """Sentence on an animal in which no line runs, by all that is said; what nobody says is named.

    Parameters
    ----------
    shares : sequence of LineShare
        One for each line on record, none of them above nothing.
    """
    if not shares:
        return "No line is on record in this collection."
    none = f"None of {listed([one.line for one in shares], 'or')}, as far as the records say."
    most = max(shares, key=lambda one: one.bound_high)
    if most.bound_high < SAME:
        return none
    if most.unknown > 1.0 - SAME:
        return f"{none} Nobody says anything of the ancestry, so that is no finding."
    off = f", {percent(most.off_record)} of it off record" if most.off_record else ""
    return (
        f"{none} Of {percent(most.unknown)} of the ancestry nobody says anything{off}: "
        f"up to {percent(most.bound_high)} may be expected of it."
    )


def unknown_inbreeding_row(*, both: bool = True) -> LedgerRow:
    """Ledger row of an animal of which a parent, or both, are not on record."""
    ground = (
        "No parent is on record; it counts as unrelated to all others until one is."
        if both
        else "One parent is not on record; it counts as unrelated to the other until it is."
    )
    return LedgerRow("Inbreeding", "not known", "", None, ground)


def inbreeding_row(value: float, *, name: str = "Inbreeding", is_expected: bool = False) -> LedgerRow:
    """Ledger row of an inbreeding coefficient."""
    ground = (
        "How often both copies of a gene come from one copy in an ancestor, by the pedigree. Animals without recorded "
        "parents count as unrelated, so it may be more."
    )
    if is_expected:
        ground += " A mean over the sires in question."
    return LedgerRow(name, percent(value), "", Basis.BY_DESCENT, ground)


def without_sire_row(value: float) -> LedgerRow:
    """Ledger row of the inbreeding of an animal that hatched without a sire."""
    ground = "Both copies of each gene come from the dam; how often they are the same is taken from the species file."
    return LedgerRow("Inbreeding", percent(value), "", Basis.BY_DESCENT, ground, "by descent, from an assumed value")


@dataclass(frozen=True, slots=True)
class Cautioned:
    """A caution: its level (note, think, stop), what, and why."""

    level: str
    title: str
    text: str


def pair_caution(found: YoungDescent, descent: Descent) -> Cautioned | None:
    """Caution about the inbreeding of the young; None where there is none to give."""
    if found.inbreeding <= 0:
        return None
    shared = [named(descent.collection, one) for one, _ in found.common_ancestors()]
    through = f"Both go back to {listed(shared[:3])}" + (f" and {len(shared) - 3} more" if len(shared) > 3 else "")
    like = _like(found.inbreeding)
    title = f"The young are {percent(found.inbreeding)} inbred"
    text = (
        f"{through}. {like} In snakes as elsewhere inbreeding is held to cost hatch rate and growth, and to bring "
        "out defects (common practice, no source for this species); what a pair can bear no pedigree tells. Where "
        "young are weak or deformed, do not repeat it, and ask a reptile vet."
    )
    return Cautioned("think" if found.inbreeding >= HALF_SIBS else "note", title, text)


def _like(value: float) -> str:
    """What a coefficient compares with."""
    if value >= FULL_SIBS:
        return "That is as close as brother and sister, or closer."
    if value >= HALF_SIBS:
        return "That is as close as half brother and half sister, or closer."
    return "That is less than half brother and half sister would give."


def backcross_table(found: YoungDescent, descent: Descent) -> Table | None:
    """What the young back to each parent would do; None where no line runs in the pair."""
    if not found.shares:
        return None
    lines = [one.line for one in found.shares]
    rows = []
    for back in found.backcrosses:
        by_line = {one.line: one for one in back.shares}
        rows.append(
            [
                f"to {named(descent.collection, back.parent)}",
                percent(back.inbreeding),
                *(f"{percent(by_line[line].mean)} ({share_range(by_line[line]) or 'sure'})" for line in lines),
            ]
        )
    heads = [Column("The young back"), Column("Inbreeding", is_number=True)]
    return Table([*heads, *(Column(line, is_number=True) for line in lines)], rows)


def share_strip(share: LineShare) -> SafeString:
    """A share on a line from none to all: its 90 % range as a band, the expected share as a stroke."""
    return format_html(
        '<svg class="sharestrip" role="img" aria-label="{0}, {1} to {2}">'
        '<line class="base" x1="0" x2="100%" y1="7" y2="7"/>'
        '<rect class="range" x="{3}%" width="{4}%" y="3" height="8"/>'
        '<line class="at" x1="{5}%" x2="{5}%" y1="0" y2="14"/></svg>',
        percent(share.mean),
        percent(share.low),
        percent(share.high),
        f"{100 * share.low:.2f}",
        f"{max(100 * (share.high - share.low), 0.5):.2f}",
        f"{100 * share.mean:.2f}",
    )


def years_figure(years: Sequence[tuple[float, float]], first: int, last: int, said: str) -> Figure:
    """Mean share by year of hatching."""
    ticks = [(float(year - first), str(year)) for year in range(first, last + 1)]
    return Figure(
        x=Axis(float(max(last - first, 1)), ticks),
        y=Axis(1.0, [(0.0, "0"), (0.5, "50"), (1.0, f"100{GAP}%")]),
        said=said,
        height=150,
        curves=[Curve([(year - first, share) for year, share in years], "me descent")],
    )
