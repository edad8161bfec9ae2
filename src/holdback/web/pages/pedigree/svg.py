"""The drawing as svg: classes for the page, plain attributes for a file that stands alone, no style attribute.

Squares are males, circles females, diamonds of unknown sex. Text keeps its size; a drawing is as large as it must be.
"""

from __future__ import annotations

from collections.abc import Collection as Several
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.web.pages.pedigree import shapes
from holdback.web.pages.pedigree.graph import Box, Graph, Kind, Role
from holdback.web.pages.pedigree.layout import Layout, Link, Size, laid_out
from holdback.web.pages.pedigree.shading import Shade
from holdback.web.pages.pedigree.shapes import Pen, Symbol, figure
from holdback.web.pages.wording import whole_percent

RADIUS, SMALL = 16.0, 7.0
"""Half the width of the symbol of an animal, and of a parent not on record."""
RING = 5.5
"""Pixels between the symbol of a common ancestor and its second outline."""
HEAD, SMALL_HEAD = 46.0, 18.0
"""Height of the room for the symbol."""
LINE = 15.0
FOOT = 5.0
NEST = (24.0, 7.0)
"""Room of a nest: wider than its dot, so that neighbours stay apart."""
FONT = '"Noto Sans", "Liberation Sans", Arial, sans-serif'
WIDEST = 148.0
"""Widest a name gets before it is cut."""
BOLD, PLAIN = 13.5, 12.0

_NARROW, _WIDE = "fijlrt.,:;'|()[] I-", "mwMWGOQ%@"


@dataclass(frozen=True, slots=True)
class Caption:
    """What stands under a symbol.

    Parameters
    ----------
    name : str
        First line.
    line : str
        Second line; may be empty.
    said : str
        All of it in words, for those who hear the drawing or rest on a box.
    address : str
        Where the box leads; empty where it leads nowhere.
    """

    name: str
    line: str
    said: str
    address: str = ""


@dataclass(frozen=True)
class Drawing:
    """A drawing ready for a page.

    Parameters
    ----------
    svg : SafeString
        The mark-up.
    width, height : int
        In pixels.
    """

    svg: SafeString
    width: int
    height: int


def drawing(
    graph: Graph,
    captions: Mapping[int, Caption],
    shades: Mapping[int, Shade],
    *,
    said: str,
    common: Several[int] = (),
    head: Sequence[str] = (),
    foot: Sequence[str] = (),
) -> Drawing:
    """The drawing of a graph.

    Parameters
    ----------
    graph : Graph
        What is drawn.
    captions : mapping of int to Caption
        By first node of each box.
    shades : mapping of int to Shade
        Fill, by first node; a box that is not named stays empty.
    said : str
        What the whole drawing shows, for those who hear it.
    common : collection of int
        Nodes that get a second outline.
    head, foot : sequence of str
        Lines above and below, for a file that stands alone.
    """
    layout = _placed(graph, captions, shades)
    young = {node for nest in graph.nests for node in nest.young}
    parts = [shapes.HATCH, *_lines(graph, layout)]
    for box in graph.boxes:
        hung = _Hung(
            box, captions[box.node], shades.get(box.node), is_common=box.node in common, is_young=box.node in young
        )
        parts.append(hung.drawn(*layout.centres[f"b{box.node}"]))
    top = 18.0 * len(head) + (8.0 if head else 0.0)
    below = top + layout.height
    width = max([layout.width, *(_width(line, PLAIN) + 28 for line in (*head, *foot))])
    height = below + 16.0 * len(foot) + (10.0 if foot else 0.0)
    svg = format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" class="ped" width="{0}" height="{1}" viewBox="0 0 {0} {1}"'
        ' role="group" aria-label="{2}" font-family="{3}" font-size="12">{4}'
        '<g transform="translate({5} {6})">{7}</g>{8}</svg>',
        round(width),
        round(height),
        said,
        FONT,
        _words(head, 18.0, 18.0),
        figure((width - layout.width) / 2),
        figure(top),
        _joined(parts),
        _words(foot, below + 16.0, 16.0),
    )
    return Drawing(svg, round(width), round(height))


def _placed(graph: Graph, captions: Mapping[int, Caption], shades: Mapping[int, Shade]) -> Layout:
    """Layout of boxes and nests."""
    sizes = [_Hung(box, captions[box.node], shades.get(box.node)).size() for box in graph.boxes]
    links: list[Link] = []
    for number, nest in enumerate(graph.nests):
        sizes.append(Size(f"n{number}", *NEST))
        links += [Link(f"b{parent}", f"n{number}", has_label=chance < 1) for parent, chance in nest.parents]
        links += [Link(f"n{number}", f"b{young}") for young in nest.young]
    return laid_out(sizes, links)


def _lines(graph: Graph, layout: Layout) -> list[SafeString]:
    """Nests and the lines to and from them; dashed where a parent is doubtful."""
    found: list[SafeString] = []
    placed = iter(zip(layout.curves, layout.labels, strict=True))
    for number, nest in enumerate(graph.nests):
        for _, chance in nest.parents:
            curve, label = next(placed)
            found.append(shapes.curve(curve, is_doubtful=chance < 1))
            if label:
                found.append(shapes.text(label[0], label[1] + 4, whole_percent(chance), "m ink"))
        found += [shapes.curve(next(placed)[0]) for _ in nest.young]
        x, y = layout.centres[f"n{number}"]
        found.append(shapes.dot(x, y))
        if nest.is_without_sire:
            found.append(shapes.text(x + 7, y + 4, "no sire", "ink", anchor="start"))
    return found


@dataclass(frozen=True, slots=True)
class _Hung:
    """A box with its words and its fill."""

    box: Box
    caption: Caption
    shade: Shade | None
    is_common: bool = False
    is_young: bool = False

    @property
    def head(self) -> float:
        """Height of the room for the symbol."""
        return SMALL_HEAD if self.box.kind is Kind.UNKNOWN else HEAD

    @property
    def height(self) -> float:
        """Height of everything."""
        n_lines = 1 + bool(self.caption.line) + bool(self.shade)
        return self.head + LINE * n_lines + FOOT

    def size(self) -> Size:
        """Room that it takes."""
        widths = [_width(_cut(self.caption.name), BOLD), _width(self.caption.line, PLAIN)]
        if self.shade:
            widths.append(_width(self.shade.words, PLAIN))
        return Size(f"b{self.box.node}", max(2 * (RADIUS + RING) + 2, *widths) + 6, self.height)

    def drawn(self, x: float, y: float) -> SafeString:
        """Symbol with its words about a point, as a link where it leads anywhere."""
        top = y - self.height / 2
        half = SMALL if self.box.kind is Kind.UNKNOWN else RADIUS
        symbol = Symbol(self.box.sex, (x, top + self.head / 2), half)
        edge = symbol.centre[1] - symbol.reach
        parts = [shapes.stub(x, top, edge)] if self.is_young else []
        if self.box.is_cut:
            parts.append(shapes.more_above(x, top, edge))
        inner = format_html(
            "<title>{}</title>{}", self.caption.said, _joined([*parts, *self._symbol(symbol), *self._under(x, top)])
        )
        if self.caption.address:
            return format_html('<a href="{}" aria-label="{}">{}</a>', self.caption.address, self.caption.said, inner)
        return format_html("<g>{}</g>", inner)

    def _symbol(self, symbol: Symbol) -> list[SafeString]:
        """Shape with its fill and outlines."""
        is_asked = self.box.role is Role.ASKED
        pen = Pen("node me", stroke=shapes.ACCENT, weight=3.0) if is_asked else Pen("node")
        behind = Pen("ring", fill=shapes.PAPER)
        parts = [outline for outline in (self._behind(symbol, behind),) if outline]
        parts.append(shapes.outline(symbol, Pen("under", stroke="none", fill=shapes.PAPER, weight=0)))
        if self.box.kind is Kind.MORE:  # its middle holds the number; what it is filled by stands below in words
            x, y = symbol.centre
            count = shapes.text(x, y + 5, str(len(self.box.nodes)), "name m")
            return [*parts, shapes.outline(symbol, pen), count]
        if self.shade and self.shade.share > 0:
            parts += shapes.fill(symbol, self.shade, f"ped-cut-{self.box.node}")
        return parts + shapes.known_outline(symbol, pen, self.shade.basis if self.shade else None)

    def _behind(self, symbol: Symbol, pen: Pen) -> SafeString | None:
        """What looks out behind a symbol: the second outline, or the next of several."""
        if self.is_common:
            return shapes.outline(symbol.sized(symbol.half + RING * symbol.half / symbol.reach), pen)
        if self.box.kind is Kind.MORE:
            return shapes.outline(symbol.sized(symbol.half - 2, aside=6), pen)
        return None

    def _under(self, x: float, top: float) -> list[SafeString]:
        """The words under a symbol."""
        me = " me" if self.box.role is Role.ASKED else ""
        lines = [(_cut(self.caption.name), "m" if self.box.kind is Kind.UNKNOWN else f"name m{me}")]
        lines += [(self.caption.line, "m")] if self.caption.line else []
        lines += [(self.shade.words, "m ink")] if self.shade else []
        first = top + self.head + 12
        return [shapes.text(x, first + LINE * number, words, kind) for number, (words, kind) in enumerate(lines)]


def _joined(parts: Iterable[SafeString]) -> SafeString:
    return format_html_join("", "{}", ((part,) for part in parts))


def _words(lines: Sequence[str], top: float, step: float) -> SafeString:
    """Lines of text at the left edge."""
    places = ((figure(top + step * number), shapes.INK, line) for number, line in enumerate(lines))
    return format_html_join("", '<text x="14" y="{}" fill="{}">{}</text>', places)


def _cut(words: str) -> str:
    """A name, cut where it is too wide."""
    while _width(words, BOLD) > WIDEST:
        words = words.rstrip("…")[:-1].rstrip() + "…"
    return words


def _width(words: str, size: float) -> float:
    """Width of a text in a common sans, a little generous."""
    units = (0.36 if one in _NARROW else 0.92 if one in _WIDE else 0.7 if one.isupper() else 0.59 for one in words)
    return sum(units) * size
