"""Marks drawn over a photograph: an svg in pixels of the photo."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.photo_marks import Part, Point, Trace
from holdback.size.from_photo import spline

MARK_SHARE = 0.012
"""Radius of a mark as a share of the longer side of what is shown."""


def drawn_photo(address: str, size: tuple[int, int], traces: Sequence[tuple[Part, Trace]], *, said: str) -> SafeString:
    """A photo with its marks.

    Parameters
    ----------
    address : str
        Of the picture.
    size : tuple of int
        Width and height in pixels.
    traces : sequence of (Part, Trace)
        What is marked.
    said : str
        Text alternative.
    """
    width, height = size
    radius = round(MARK_SHARE * max(size), 1)
    return format_html(
        '<svg class="photo-drawn" viewBox="0 0 {} {}" role="img" aria-label="{}">'
        '<image href="{}" width="{}" height="{}"/>{}</svg>',
        width,
        height,
        said,
        address,
        width,
        height,
        traces_drawn(traces, radius),
    )


def traces_drawn(traces: Iterable[tuple[Part, Trace]], radius: float) -> SafeString:
    """Every trace as a line with a halo, its marks as rings."""
    return format_html_join("", "{}", ((_trace(part, trace, radius),) for part, trace in traces))


def _trace(part: Part, trace: Trace, radius: float) -> SafeString:
    kind = "scale" if part is Part.SCALE else "animal"
    rings = format_html_join(
        "",
        '<circle class="mark-halo" cx="{0}" cy="{1}" r="{2}"/><circle class="mark-ring" cx="{0}" cy="{1}" r="{2}"/>',
        ((round(x, 1), round(y, 1), radius) for x, y in trace.points),
    )
    return format_html(
        '<g class="trace {0}"><path class="trace-halo" d="{1}"/><path class="trace-line" d="{1}"/>{2}</g>',
        kind,
        path(line_of(part, trace)),
        rings,
    )


def line_of(part: Part, trace: Trace) -> list[Point]:
    """Points along a trace: the smooth curve of a body, else the straight line."""
    if part is not Part.BODY:
        return list(trace.points)
    return [(float(x), float(y)) for x, y in spline(trace.points)]


def path(points: Iterable[Point]) -> str:
    """Path through points."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
