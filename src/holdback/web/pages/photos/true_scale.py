"""Lengths and heads drawn in millimetres: on paper at true size, on a screen nearly so."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.photo_marks import Part, Point, Trace
from holdback.web.pages.photos.drawing import traces_drawn
from holdback.web.pages.photos.sized import HeadOnPhoto, Read

MARK_MM = 0.8
"""Radius of a mark on a head that is drawn at true size."""

_ROOM = 1.35
"""How much larger the box is than the largest head."""

_LENGTH_BY_WIDTH = 1.7
"""Length of a head over its width where only one is known: a guess by eye, for the size of the box alone."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A length and its range, in millimetre on paper."""

    mm: float
    low: float
    high: float


def bar(one: Bar) -> SafeString:
    """A length as a bar, its range as a bracket at the end."""
    low, high = round(one.low, 2), round(one.high, 2)
    strokes = ((low, high, 13, 13), (low, low, 6, 20), (high, high, 6, 20))
    line = '<line class="bar-range" x1="{}mm" x2="{}mm" y1="{}" y2="{}"/>'
    return format_html(
        '<svg class="true-bar" height="26" aria-hidden="true">'
        '<rect class="bar-body" x="0" y="5" width="{}mm" height="16"/>{}</svg>',
        round(one.mm, 2),
        format_html_join("", line, strokes),
    )


def head_box(reads: Sequence[Mapping[Part, Read]]) -> tuple[float, float] | None:
    """Width and height in millimetre of a box that holds each of the heads; None where no head is measured."""
    widths, lengths = [], []
    for one in reads:
        if width := one.get(Part.HEAD_WIDTH):
            widths.append(width.mm)
            lengths.append(width.mm * _LENGTH_BY_WIDTH)
        if length := one.get(Part.HEAD_LENGTH):
            lengths.append(length.mm)
            widths.append(length.mm / _LENGTH_BY_WIDTH)
    return (round(_ROOM * max(widths), 1), round(_ROOM * max(lengths), 1)) if widths else None


def head_drawn(
    head: HeadOnPhoto | None, reads: Mapping[Part, Read], box: tuple[float, float], *, name: str
) -> SafeString:
    """A head in a box: cut from its photo, snout up, else an outline; empty where there is neither.

    Parameters
    ----------
    head : HeadOnPhoto or None
        Where it is marked.
    reads : mapping of Part to Read
        Its lengths.
    box : tuple of float
        Width and height of the box in millimetre.
    name : str
        Whose head it is.
    """
    inside = _cut(head, box) if head else _outline(reads, box)
    if not inside:
        return SafeString()
    return format_html(
        '<svg class="true-head" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}" role="img" '
        'aria-label="Head of {2} at true size">{3}</svg>',
        box[0],
        box[1],
        name,
        inside,
    )


def _cut(head: HeadOnPhoto, box: tuple[float, float]) -> SafeString:
    """The photo moved, turned and made as large as the head is."""
    by_part: dict[Part, Trace] = dict(head.traces)
    (x, y), turn = _pose(by_part)
    return format_html(
        '<g transform="translate({} {}) scale({}) rotate({}) translate({} {})">'
        '<image href="{}" width="{}" height="{}"/>{}</g>',
        round(box[0] / 2, 2),
        round(box[1] / 2, 2),
        round(head.mm_per_px, 6),
        round(turn, 2),
        round(-x, 1),
        round(-y, 1),
        reverse("pages:photo-large", args=[head.photo.pk]),
        head.photo.width,
        head.photo.height,
        traces_drawn(by_part.items(), round(MARK_MM / head.mm_per_px, 2)),
    )


def _pose(traces: Mapping[Part, Trace]) -> tuple[Point, float]:
    """Middle of a head on the photo, and by how many degrees it is turned so that the snout is up."""
    if length := traces.get(Part.HEAD_LENGTH):
        snout, neck = length.points[0], length.points[-1]
        return _middle(snout, neck), 90 - _direction(snout, neck)
    left, right = sorted(traces[Part.HEAD_WIDTH].points)
    return _middle(left, right), -_direction(left, right)


def _middle(one: Point, other: Point) -> Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _direction(start: Point, end: Point) -> float:
    """Direction from one point to another in degrees, clockwise from the right as in pictures."""
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def _outline(reads: Mapping[Part, Read], box: tuple[float, float]) -> SafeString:
    """A plain outline as wide and as long as the readings say; it needs both."""
    width, length = reads.get(Part.HEAD_WIDTH), reads.get(Part.HEAD_LENGTH)
    if not (width and length):
        return SafeString()
    half, top, middle = width.mm / 2, (box[1] - length.mm) / 2, box[0] / 2
    widest, bottom = top + 0.68 * length.mm, top + length.mm
    ends = (middle - half, middle + half)
    d = (
        f"M{middle:.2f} {top:.2f}"
        f"C{middle + 0.75 * half:.2f} {top:.2f} {ends[1]:.2f} {top + 0.4 * length.mm:.2f} {ends[1]:.2f} {widest:.2f}"
        f"S{middle + 0.6 * half:.2f} {bottom:.2f} {middle:.2f} {bottom:.2f}"
        f"S{ends[0]:.2f} {widest + 0.2 * length.mm:.2f} {ends[0]:.2f} {widest:.2f}"
        f"S{middle - 0.75 * half:.2f} {top:.2f} {middle:.2f} {top:.2f}Z"
    )
    return format_html('<path class="head-outline" d="{}"/>', d)
