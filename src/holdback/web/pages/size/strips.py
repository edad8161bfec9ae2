"""Deviations drawn on a line: the range as a band, the expected value as a dot, nought as a stroke."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.estimate import Estimate
from holdback.web.pages.components import STROKES
from holdback.web.pages.size.words import signed, signed_percent
from holdback.web.pages.wording import GAP

_STEPS = (5, 10, 20, 25, 50, 100, 200, 500)
_ROW = 42


@dataclass(frozen=True, slots=True)
class Scale:
    """A line of percent with round ends on both sides of nought.

    Parameters
    ----------
    low, high : float
        Ends, in percent.
    step : int
        Between two ticks.
    """

    low: float
    high: float
    step: int

    @classmethod
    def holding(cls, estimates: Sequence[Estimate]) -> Scale:
        """Scale that holds all ranges, and nought."""
        low = min((one.low for one in estimates), default=-10.0)
        high = max((one.high for one in estimates), default=10.0)
        step = next((one for one in _STEPS if max(high, 0) - min(low, 0) <= 6 * one), 1000)
        return cls(min(0, step * math.floor(low / step)), max(0, step * math.ceil(high / step)), step)

    def at(self, value: float) -> float:
        """Place of a value on the line, in percent of its length."""
        return 100 * (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)

    @property
    def ticks(self) -> list[tuple[float, str]]:
        """Values with their words; the last bears the unit."""
        count = round((self.high - self.low) / self.step)
        values = [self.low + index * self.step for index in range(count + 1)]
        return [(value, signed(value) + (f"{GAP}%" if value == values[-1] else "")) for value in values]


def strip(estimate: Estimate, scale: Scale) -> SafeString:
    """One deviation as a line of a table shows it."""
    return format_html(
        '<svg class="devstrip" role="img" aria-label="{0}, {1} to {2}">'
        '<line class="base" x1="0" x2="100%" y1="9" y2="9"/>'
        '<line class="nought" x1="{3}%" x2="{3}%" y1="0" y2="18"/>{4}</svg>',
        signed_percent(estimate.mean),
        signed(estimate.low),
        signed_percent(estimate.high),
        f"{scale.at(0):.2f}",
        _range(estimate, scale, 9),
    )


def _range(estimate: Estimate, scale: Scale, y: float) -> SafeString:
    low, mean, high = scale.at(estimate.low), scale.at(estimate.mean), scale.at(estimate.high)
    return format_html(
        '<rect class="range" x="{0}%" width="{1}%" y="{2}" height="8"/>'
        '<line class="line me {6}" x1="{0}%" x2="{3}%" y1="{4}" y2="{4}"/>'
        '<circle class="dot" cx="{5}%" cy="{4}" r="4"/>',
        f"{low:.2f}",
        f"{max(high - low, 0.5):.2f}",
        y - 4,
        f"{high:.2f}",
        y,
        f"{mean:.2f}",
        STROKES[estimate.basis],
    )


def forest(rows: Sequence[tuple[str, Estimate]], said: str) -> SafeString:
    """Several deviations one below the other over one scale, each under its name.

    Parameters
    ----------
    rows : sequence of (str, Estimate)
        Names and deviations in percent.
    said : str
        Text alternative: the message.
    """
    scale = Scale.holding([estimate for _, estimate in rows])
    height = _ROW * len(rows) + 4
    ticks = format_html_join(
        "",
        '<line class="{0}" x1="{1}%" x2="{1}%" y1="0" y2="{2}"/><text class="{3}" x="{1}%" y="{4}">{5}</text>',
        (
            (
                "nought" if value == 0 else "grid",
                f"{scale.at(value):.2f}",
                height,
                "m wide" if index % 2 and value != 0 else "m",
                height + 18,
                label,
            )
            for index, (value, label) in enumerate(scale.ticks)
        ),
    )
    bars = format_html_join(
        "",
        '<text class="ink" x="0" y="{}">{}</text>{}',
        (
            (_ROW * index + 13, f"{name}: {signed_percent(estimate.mean)}", _range(estimate, scale, _ROW * index + 27))
            for index, (name, estimate) in enumerate(rows)
        ),
    )
    return format_html(
        '<div class="plotwrap forest"><svg class="plot" height="{}" role="img" aria-label="{}">{}{}</svg></div>',
        height,
        said,
        ticks,
        bars,
    )
