"""Marks of the drawing: squares, circles and diamonds, their fill, words. Each is svg without a style attribute."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.web.pages.pedigree.layout import Point
from holdback.web.pages.pedigree.shading import Shade

INK, PAPER, ACCENT = "#000", "#fff", "#553b93"
"""Colours of a drawing that stands alone; in a page the classes say."""
_DASHES = {Basis.BY_DESCENT: "5 3", Basis.CLAIMED: "1.6 2.6"}
_WAVES, _SWING, _STEPS = 20, 1.3, 160
_INSET = 3.2
"""Pixels between the two lines of a double outline."""
_STRAIGHT = 1.2
"""Width of lines."""

HATCH = mark_safe(
    '<defs><pattern id="ped-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect class="hatch-under" width="5" height="5" fill="#dcdcd4"/>'
    '<rect class="hatch-over" width="1.7" height="5" fill="#333"/></pattern></defs>'
)
"""Pattern of the fill."""


@dataclass(frozen=True, slots=True)
class Symbol:
    """Where a shape stands and what it looks like.

    Parameters
    ----------
    sex : Sex
        Square, circle or diamond.
    centre : Point
        Its middle.
    half : float
        Half its width, in pixels; a diamond reaches a fifth further.
    """

    sex: Sex
    centre: Point
    half: float

    @property
    def reach(self) -> float:
        """Pixels from the middle to the edge, straight up."""
        return self.half * (1.2 if self.sex is Sex.UNKNOWN else 1.0)

    def sized(self, half: float, *, aside: float = 0.0) -> Symbol:
        """The same shape in another size, or a little to the right."""
        return replace(self, half=half, centre=(self.centre[0] + aside, self.centre[1]))


@dataclass(frozen=True, slots=True)
class Pen:
    """How an outline is drawn.

    Parameters
    ----------
    kind : str
        Classes, for the page.
    stroke, fill : str
        Colours, for a drawing that stands alone.
    weight : float
        Width of the line.
    dash : str
        Dashes; empty for none.
    """

    kind: str
    stroke: str = INK
    fill: str = "none"
    weight: float = 1.5
    dash: str = ""


def outline(symbol: Symbol, pen: Pen) -> SafeString:
    """The shape that stands for a sex."""
    look = format_html('class="{}" fill="{}" stroke="{}" stroke-width="{}"', pen.kind, pen.fill, pen.stroke, pen.weight)
    if pen.dash:
        look = format_html('{} stroke-dasharray="{}"', look, pen.dash)
    (x, y), half = symbol.centre, symbol.half
    if symbol.sex is Sex.MALE:
        square = '<rect {0} x="{1}" y="{2}" width="{3}" height="{3}"/>'
        return format_html(square, look, figure(x - half), figure(y - half), figure(2 * half))
    if symbol.sex is Sex.FEMALE:
        return format_html('<circle {} cx="{}" cy="{}" r="{}"/>', look, figure(x), figure(y), figure(half))
    far = symbol.reach
    corners = ((x, y - far), (x + far, y), (x, y + far), (x - far, y))
    return format_html('<polygon {} points="{}"/>', look, _points(corners))


def known_outline(symbol: Symbol, pen: Pen, basis: Basis | None) -> list[SafeString]:
    """Outline with the stroke of a basis: dashed by descent, double by offspring, dotted claimed, wavy assumed."""
    if basis in (Basis.ASSUMED, Basis.REHEARSED):
        return [_wave(symbol, pen)]
    dash = _DASHES.get(basis, "") if basis else ""
    found = [outline(symbol, replace(pen, dash=dash))]
    if basis is Basis.BY_OFFSPRING:
        found.append(outline(symbol.sized(symbol.half - _INSET), replace(pen, weight=_STRAIGHT)))
    return found


def _wave(symbol: Symbol, pen: Pen) -> SafeString:
    """The outline as a wavy line."""
    (x, y), points = symbol.centre, []
    for step in range(_STEPS):
        angle = 2 * math.pi * step / _STEPS
        far = _edge(symbol, angle) + _SWING * math.sin(_WAVES * angle)
        points.append((x + far * math.cos(angle), y + far * math.sin(angle)))
    shape = '<polygon class="{}" fill="none" stroke="{}" stroke-width="{}" points="{}"/>'
    return format_html(shape, pen.kind, pen.stroke, min(pen.weight, 2.2), _points(points))


def _edge(symbol: Symbol, angle: float) -> float:
    """Pixels from the middle of a shape to its edge, in a direction."""
    if symbol.sex is Sex.FEMALE:
        return symbol.half
    turn, corner = (math.pi / 4, symbol.half * math.sqrt(2)) if symbol.sex is Sex.MALE else (0.0, symbol.reach)
    across = (angle - turn) % (math.pi / 2) - math.pi / 4
    return corner * math.cos(math.pi / 4) / math.cos(across)


def fill(symbol: Symbol, shade: Shade, name: str) -> list[SafeString]:
    """Fill from below: solid as far as two copies go, hatched above, a line at the top; the outline stays free.

    Parameters
    ----------
    symbol : Symbol
        The shape.
    shade : Shade
        How far.
    name : str
        Id that nothing else in the page has.
    """
    inner = symbol.sized(symbol.half - (_INSET + 2.4 if shade.basis is Basis.BY_OFFSPRING else _INSET))
    (x, y), reach = inner.centre, inner.reach
    whole, solid = (2 * reach * min(part, 1.0) for part in (shade.share, shade.solid))
    cut = outline(inner, Pen("", stroke="none", fill=INK, weight=0))
    found = [format_html('<clipPath id="{}">{}</clipPath>', name, cut)]
    shape = '<rect class="{}" clip-path="url(#{})" x="{}" y="{}" width="{}" height="{}" fill="{}"/>'
    for kind, low, high, paint in (("part", solid, whole, "url(#ped-hatch)"), ("full", 0.0, solid, INK)):
        if high - low > 1e-3:
            place = (x - reach, y + reach - high, 2 * reach, high - low)
            found.append(format_html(shape, kind, name, *(figure(one) for one in place), paint))
    level = '<path class="level" clip-path="url(#{})" d="M{} {}H{}" stroke="{}" stroke-width="{}"/>'
    top = figure(y + reach - whole)
    found.append(format_html(level, name, figure(x - reach), top, figure(x + reach), INK, _STRAIGHT))
    return found


def curve(points: Sequence[Point], *, is_doubtful: bool = False) -> SafeString:
    """Line through Bezier points; dashed where it is doubtful."""
    first, *rest = (f"{figure(x)} {figure(y)}" for x, y in points)
    return _tie(f"M{first}C{' '.join(rest)}", dash="5 3" if is_doubtful else "")


def stub(x: float, top: float, foot: float) -> SafeString:
    """The end of a line, straight down."""
    return _tie(f"M{figure(x)} {figure(top)}V{figure(foot)}")


def more_above(x: float, top: float, foot: float) -> SafeString:
    """Two short strokes up: there are parents that are not drawn."""
    near, far = (figure(x - 4), figure(x + 4)), (figure(x - 9), figure(x + 9))
    low, high = figure(foot), figure(top)
    return _tie("".join(f"M{a} {low}L{b} {high}" for a, b in zip(near, far, strict=True)))


def _tie(path: str, dash: str = "") -> SafeString:
    dashes = format_html(' stroke-dasharray="{}"', dash) if dash else ""
    return format_html(
        '<path class="tie" d="{}" fill="none" stroke="{}" stroke-width="{}"{}/>', path, INK, _STRAIGHT, dashes
    )


def dot(x: float, y: float) -> SafeString:
    """A nest."""
    return format_html('<circle class="nest" cx="{}" cy="{}" r="3" fill="{}"/>', figure(x), figure(y), INK)


def text(x: float, y: float, words: str, kind: str, *, anchor: str = "middle") -> SafeString:
    """Words with a rim that keeps lines off them."""
    bold = mark_safe(' font-weight="600" font-size="13"') if "name" in kind.split() else ""
    shape = (
        '<text class="{}" x="{}" y="{}" text-anchor="{}" fill="{}" stroke="{}" stroke-width="3"'
        ' stroke-linejoin="round" paint-order="stroke"{}>{}</text>'
    )
    return format_html(shape, kind, figure(x), figure(y), anchor, INK, PAPER, bold, words)


def figure(value: float) -> str:
    """Coordinate with one decimal at most."""
    return f"{value:.1f}".removesuffix(".0")


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{figure(x)},{figure(y)}" for x, y in points)
