"""Whether a line is bigger, as its page says it: the effect, whether it can be told, design, the course over years."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.safestring import SafeString

from holdback.collection.estimate import Estimate
from holdback.web.pages.components import Column, LedgerRow, Table
from holdback.web.pages.size.strips import forest
from holdback.web.pages.size.words import deviation_row, estimate_cell, signed_percent, signed_span
from holdback.web.pages.wording import GAP, percent

if TYPE_CHECKING:
    from holdback.answers.size import LineResponse, Sizes
    from holdback.size.confounding import Design
    from holdback.size.evaluation import LineEffect

CHOSEN = (
    "How its founders were chosen is not on record. If they were chosen as the biggest of several, the line is "
    "credited with the choice, and no weight here can tell that."
)
_LIKELY = 0.95
_UNLIKELY = 0.05


@dataclass(frozen=True)
class LineSize:
    """Size of a line as its page shows it.

    Parameters
    ----------
    message, how : str
        Caption of the figure.
    figure : SafeString
        Effects one below the other.
    rows : list of LedgerRow
        The same as numbers.
    why_not : list of str
        Why the line cannot be told from its founders or its keeping; empty where it can.
    design : Design or None
        Whether share and keeping can be told apart.
    left : str
        How much of what the records tell of the line is left beside the keeping.
    levels : Table or None
        Animals weighed and mean share by room.
    years : Table or None
        Breeding values of the young by year of hatching, None where there are not two years.
    change : list of str
        What changed over these years, and what keeping the biggest would change.
    assumed : list of str
        What that rests on.
    caution : str
        How founders were chosen.
    """

    message: str
    how: str
    figure: SafeString
    rows: list[LedgerRow]
    why_not: list[str]
    design: Design | None
    left: str
    levels: Table | None
    years: Table | None
    change: list[str]
    assumed: list[str]
    caution: str


def line_size(sizes: Sizes, line: str) -> LineSize:
    """Size of a line.

    Parameters
    ----------
    sizes : Sizes
        Of the whole collection.
    line : str
        Name as recorded.
    """
    effect, response = sizes.line(line), sizes.response(line)
    named = [("An animal that is all of it, against none of it", effect.effect)]
    named.append(("These founders, against the others here", effect.owned))
    if effect.head is not None:
        named.append(("Width of the head, at one mass", effect.head))
    message = _message(effect)
    return LineSize(
        message,
        "Percent more or less than an animal that is none of the line, fed alike. Dot: expected; band: nine in ten.",
        forest(named, f"{message} " + " ".join(_said(name, one) for name, one in named)),
        _rows(effect),
        list(effect.why_not),
        effect.design,
        _left(effect.design) if effect.design else "",
        _levels(effect.design) if effect.design else None,
        _years(response),
        list(response.said),
        list(response.assumed),
        CHOSEN,
    )


def _said(name: str, one: Estimate) -> str:
    return f"{name}: {signed_percent(one.mean)}, {signed_span(one.low, one.high)}{GAP}%."


def _message(effect: LineEffect) -> str:
    """The answer in one sentence; never sure where the records cannot tell."""
    if not effect.can_tell and effect.effect.low > 0:
        return "Animals of it are heavier; whether that is the line, its few founders or its keeping cannot be told."
    if not effect.can_tell:
        return "These records cannot tell the line from its founders or its keeping."
    size = f"{signed_percent(effect.effect.mean)} in weight, {signed_span(effect.effect.low, effect.effect.high)}"
    if effect.chance_larger >= _LIKELY:
        return f"Animals of the line grow bigger: {size}."
    if effect.chance_larger <= _UNLIKELY:
        return f"Animals of the line stay smaller: {size}."
    return f"Whether the line is bigger is open: {size}."


def _rows(effect: LineEffect) -> list[LedgerRow]:
    rows = [deviation_row("The line at large", effect.effect), deviation_row("These founders", effect.owned)]
    ground = "Probability that the line is heavier at all, by the same weights."
    rows.append(LedgerRow("Bigger at all", percent(effect.chance_larger), "", effect.effect.basis, ground))
    if effect.head is not None:
        rows.append(deviation_row("Width of the head", effect.head))
    ground = "Said to be half of the line or more, with descendants that were weighed. Under four nothing can be told."
    rows.append(LedgerRow("Founders that count", str(effect.n_founders), "", None, ground))
    ground = "An eighth of the line or more, with a weight that counts."
    rows.append(LedgerRow("Animals weighed", str(effect.n_weighed), "", None, ground))
    return rows


def _left(design: Design) -> str:
    """Information on the line that is left beside the keeping."""
    return (
        f"{percent(design.information_left)} of what these weights would tell of the line is left once each "
        f"{design.factor} may grow its animals bigger or smaller by itself."
    )


def _levels(design: Design) -> Table:
    heads = [
        Column(design.factor.capitalize()),
        Column("Weighed", is_number=True),
        Column("Mean share", is_number=True),
    ]
    rows = [[name or "not known", f"{count:,}", percent(share)] for name, count, share in design.levels]
    return Table(heads, rows, is_cards=False)


def _years(response: LineResponse) -> Table | None:
    """Weight passed on by the young of each year; None where fewer than two years are known."""
    if response.realised is None:
        return None
    rows = [
        [str(one.year), f"{one.n_young:,}", percent(one.share), estimate_cell(one.breeding_value)]
        for one in response.cohorts
    ]
    heads = [
        Column("Hatched"),
        Column("Young", is_number=True),
        Column("Mean share", is_number=True),
        Column("Passed on, mean"),
    ]
    return Table(heads, rows, is_cards=False)
