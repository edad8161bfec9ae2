"""Figures with axes, as svg without viewBox: x in percent, y in pixels, so that text keeps its size at any width.

Curves sit in a nested svg that alone is stretched, with strokes that do not scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its end and the ticks with their words.

    Parameters
    ----------
    end : float
        Largest value; both axes start at 0.
    ticks : sequence of (float, str)
        Value and label.
    """

    end: float
    ticks: Sequence[tuple[float, str]]


@dataclass(frozen=True, slots=True)
class Mark:
    """One point: where, and whether it is left out of the answer (drawn open, with a word)."""

    x: float
    y: float
    word: str = ""
    is_open: bool = False


@dataclass(frozen=True, slots=True)
class Curve:
    """A line: its points, class of stroke ("me", "other"), and a word beside the point at index `at`."""

    points: Sequence[Point]
    kind: str
    word: str = ""
    at: int = -1


@dataclass(frozen=True, slots=True)
class Band:
    """A shaded range: upper edge and lower edge by x, with its word; a fan is about the animal in question.

    The word stands at the right end in the middle, or low where a curve runs through.
    """

    upper: Sequence[Point]
    lower: Sequence[Point]
    word: str = ""
    is_fan: bool = False
    is_word_low: bool = False

    @property
    def word_at(self) -> Point:
        """Where the word stands."""
        (x, high), (_, low) = self.upper[-1], self.lower[-1]
        return x, low if self.is_word_low else (high + low) / 2


@dataclass(frozen=True, slots=True)
class Figure:
    """All that is drawn over one pair of axes.

    Parameters
    ----------
    x, y : Axis
        Axes.
    said : str
        Text alternative: the message of the figure.
    height : int
        Height in pixels.
    bands, curves, marks : sequences
        What is drawn, from back to front.
    here : (float, str) or None
        A violet line at an x with its word.
    """

    x: Axis
    y: Axis
    said: str
    height: int = 240
    bands: Sequence[Band] = ()
    curves: Sequence[Curve] = ()
    marks: Sequence[Mark] = ()
    here: tuple[float, str] | None = None

    def svg(self) -> SafeString:
        """The drawing."""
        return format_html(
            '<div class="plotwrap"><svg class="plot" height="{}" role="img" aria-label="{}">{}{}{}{}{}{}</svg></div>',
            self.height,
            self.said,
            self._grid(),
            self._stretched(),
            self._x_axis(),
            self._here(),
            format_html_join("", "{}", ((self._mark(mark),) for mark in self.marks)),
            self._words(),
        )

    def _left(self, x: float) -> str:
        return f"{100 * x / self.x.end:.2f}%"

    def _top(self, y: float) -> float:
        return round(self.height * (1 - y / self.y.end), 1)

    def _grid(self) -> SafeString:
        lines = (
            format_html(
                '<line class="grid" x1="0" x2="100%" y1="{0}" y2="{0}"/><text class="e" x="-8" y="{1}">{2}</text>',
                self._top(value),
                self._top(value) + 4,
                label,
            )
            for value, label in self.y.ticks
        )
        return format_html_join("", "{}", ((line,) for line in lines))

    def _stretched(self) -> SafeString:
        parts = [self._shade(band) for band in self.bands]
        parts += [
            format_html('<path class="line {}" d="{}"/>', curve.kind, self._path(curve.points)) for curve in self.curves
        ]
        return format_html(
            '<svg width="100%" height="{0}" viewBox="0 0 1000 {0}" preserveAspectRatio="none">{1}</svg>',
            self.height,
            format_html_join("", "{}", ((part,) for part in parts)),
        )

    def _shade(self, band: Band) -> SafeString:
        area = self._path([*band.upper, *reversed(band.lower)])
        if band.is_fan:
            return format_html('<path class="fanfill" d="{}Z"/>', area)
        return format_html(
            '<path class="bandfill" d="{}Z"/><path class="bandedge" d="{}"/><path class="bandedge" d="{}"/>',
            area,
            self._path(band.upper),
            self._path(band.lower),
        )

    def _path(self, points: Sequence[Point]) -> str:
        return "M" + "L".join(f"{1000 * x / self.x.end:.1f} {self._top(y)}" for x, y in points)

    def _x_axis(self) -> SafeString:
        """Axis line and ticks; on a phone every second label stays away."""
        ticks = (
            format_html(
                '<line class="axis" x1="{0}" x2="{0}" y1="{1}" y2="{2}"/><text class="m{3}" x="{0}" y="{4}">{5}</text>',
                self._left(value),
                self.height,
                self.height + 5,
                " wide" if index % 2 else "",
                self.height + 20,
                label,
            )
            for index, (value, label) in enumerate(self.x.ticks)
        )
        base = format_html('<line class="axis" x1="0" x2="100%" y1="{0}" y2="{0}"/>', self.height)
        return base + format_html_join("", "{}", ((tick,) for tick in ticks))

    def _here(self) -> SafeString:
        if self.here is None:
            return SafeString()
        at, word = self.here
        is_right = at > 0.6 * self.x.end
        return format_html(
            '<line class="today" x1="{0}" x2="{0}" y1="0" y2="{1}"/>'
            '<text class="me{2}" x="{0}" y="10.5" dx="{3}">{4}</text>',
            self._left(at),
            self.height,
            " e" if is_right else "",
            -6 if is_right else 6,
            word,
        )

    def _mark(self, mark: Mark) -> SafeString:
        dot = format_html(
            '<circle class="dot{}" cx="{}" cy="{}" r="{}"/>',
            " open" if mark.is_open else "",
            self._left(mark.x),
            self._top(mark.y),
            5 if mark.is_open else 3.5,
        )
        if not mark.word:
            return dot
        near_axis = mark.x < 0.15 * self.x.end  # a word that ends here would run over the axis
        return dot + format_html(
            '<text class="{}third wide" x="{}" y="{}" dx="{}" dy="{}">{}</text>',
            "" if near_axis else "e ",
            self._left(mark.x),
            self._top(mark.y),
            10 if near_axis else 0,
            -4 if near_axis else 20,
            mark.word,
        )

    def _words(self) -> SafeString:
        """Direct labels of bands and curves, at their right ends."""
        words = [
            (curve.points[curve.at], "e me" if curve.kind.startswith("me") else "e ink", curve.word)
            for curve in self.curves
            if curve.word and curve.points
        ]
        words += [(band.word_at, "e ink", band.word) for band in self.bands if band.word]
        return format_html_join(
            "",
            '<text class="{}" x="{}" y="{}" dx="-6" dy="{}">{}</text>',
            (
                (kind, self._left(x), self._top(y), 18 if self._top(y) < 30 else -8, word)
                for (x, y), kind, word in words
            ),
        )


def axis_to(largest: float, unit: str, *, steps: int = 4) -> Axis:
    """Axis from 0 to a round number that holds the largest value.

    Examples
    --------
    >>> [tick for tick, _ in axis_to(2780, "g").ticks]
    [0.0, 1000.0, 2000.0, 3000.0]
    """
    rough = max(largest, 1e-9) / steps
    power = 10.0 ** (len(f"{int(rough)}") - 1) if rough >= 1 else 0.1
    step = next(power * factor for factor in (1, 2, 2.5, 5, 10) if power * factor >= rough * 0.8)
    count = 1
    while step * count < largest:
        count += 1
    values = [step * index for index in range(count + 1)]
    labels = [f"{value:,.0f}" for value in values]
    labels[-1] = f"{labels[-1]}\u00a0{unit}" if unit else labels[-1]
    return Axis(values[-1], list(zip(values, labels, strict=True)))
