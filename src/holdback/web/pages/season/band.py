"""The year of one female as a band: what was seen in ink, what is foretold in violet that fades with its chance.

Every mark has a form of its own, so that the band is read without colour; the text alternative tells the same.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.season.days import DayLaw
from holdback.season.due_females import FORGOTTEN_DAYS, TOGETHER_DAYS
from holdback.season.outlook import Cycle, Outlook, Together
from holdback.web.pages.season.scale import Scale, laws_of

HEIGHT = 34
PARTS = 9
"""Parts of like chance that a window is drawn in: between them lie the middle nine of ten cases."""
_FAINT = 0.14
"""Strength of the window of a female that hardly lays."""
_STRONG = 0.75
_DIAMOND = "M0 -7L6 0L0 7L-6 0Z"
_BEAM = "M-4 -12H4M0 -12V12M-4 12H4"


def months_head(scale: Scale) -> SafeString:
    """Names of the months over the bands; on a phone every second one stays away."""
    labels = format_html_join(
        "",
        '<text x="{}%" y="14" class="{}">{}</text>',
        ((f"{left + 0.4:.2f}", "wide" if index % 2 else "", name)
         for index, (left, name) in enumerate(scale.months)),
    )  # fmt: skip
    return format_html('<svg class="strip" height="20" aria-hidden="true">{}</svg>', labels)


def band(outlook: Outlook, scale: Scale, *, today: dt.date, said: str) -> SafeString:
    """The band of one female.

    Parameters
    ----------
    outlook : Outlook
        Where she stands.
    scale : Scale
        Of all bands.
    today : date
        Drawn as a violet line where it lies on the band.
    said : str
        Text alternative.
    """
    parts = [
        _months(scale),
        *_windows(outlook, scale),
        *_seen(outlook.cycle, scale, min(today, scale.last)),
    ]
    if scale.holds(today):
        parts.append(format_html('<line class="today" x1="{0}%" x2="{0}%" y1="0" y2="34"/>', f"{scale.at(today):.2f}"))
    return format_html(
        '<svg class="strip" height="{}" role="img" aria-label="{}">{}</svg>',
        HEIGHT,
        said,
        format_html_join("", "{}", ((part,) for part in parts)),
    )


def _months(scale: Scale) -> SafeString:
    return format_html_join(
        "",
        '<line class="month" x1="{0}%" x2="{0}%" y1="0" y2="34"/>',
        ((f"{left:.2f}",) for left, _ in scale.months),
    )


def _windows(outlook: Outlook, scale: Scale) -> Iterator[SafeString]:
    chance = outlook.lays.mean / 100
    for law in laws_of(outlook):
        yield window(law, scale, strength=max(chance * _STRONG, _FAINT))
        if chance >= 0.5:
            yield format_html(
                '<line class="likely" x1="{0}%" x2="{0}%" y1="5" y2="29"/>', f"{scale.at(law.likeliest):.2f}"
            )


def window(law: DayLaw, scale: Scale, *, strength: float = _STRONG) -> SafeString:
    """A window in parts of like chance, the darker the likelier a day in it.

    Parameters
    ----------
    law : DayLaw
        Chances of the days.
    scale : Scale
        Of the band.
    strength : float
        Opacity of the likeliest part, in (0, 1].
    """
    edges = _edges(law)
    widths = [max(right - left, 1e-3) for left, right in pairwise(edges)]
    least = min(widths)
    return format_html_join(
        "",
        '<rect class="chance" x="{}%" width="{}%" y="7" height="20" fill-opacity="{}"/>',
        (
            (
                f"{scale.at(left - 0.5):.2f}",
                f"{scale.at(left + width - 0.5) - scale.at(left - 0.5):.2f}",
                f"{max(strength * least / width, 0.05):.2f}",
            )
            for left, width in zip(edges, widths, strict=False)
        ),
    )


def _edges(law: DayLaw) -> list[float]:
    """Ends of the parts as ordinals with fractions, from 5 to 95 in a hundred."""
    found, below = [], 0.0
    wanted = [(index + 0.5) / (PARTS + 1) for index in range(PARTS + 1)]
    for offset, chance in enumerate(law.chances):
        while wanted and below + chance >= wanted[0] - 1e-12:
            found.append(law.first + offset + (wanted.pop(0) - below) / max(float(chance), 1e-12))
        below += float(chance)
    return found + [float(law.last + 1)] * len(wanted)


def _seen(cycle: Cycle, scale: Scale, upto: dt.date) -> Iterator[SafeString]:
    """What is on record, in ink."""
    for stay in cycle.together:
        yield from _together(stay, scale, upto)
    start = min((day for day in (cycle.ovulated, cycle.shed) if day), default=None)
    if start:
        yield _bar("gravid", start, cycle.laid or upto, scale)
    if cycle.laid:
        yield _bar("eggs", cycle.laid, cycle.hatched or upto, scale)
    for look in cycle.follicles:
        yield format_html(
            '<circle class="foll" cx="{}%" cy="17" r="{}"/>',
            f"{scale.at(look.day):.2f}",
            f"{2 + look.largest_mm / 8:.1f}",
        )
    if cycle.ovulated:
        yield _mark("ovulated", cycle.ovulated, _DIAMOND, scale)
    if cycle.shed:
        yield _mark("shed", cycle.shed, _BEAM, scale)
    if cycle.hatched:
        yield format_html('<circle class="done" cx="{}%" cy="17" r="6"/>', f"{scale.at(cycle.hatched):.2f}")


def _together(stay: Together, scale: Scale, upto: dt.date) -> Iterator[SafeString]:
    if stay.first:
        last = stay.last or _until(stay.first, upto)
        yield format_html(
            '<line class="paired" x1="{}%" x2="{}%" y1="17" y2="17"/>',
            f"{scale.at(stay.first.toordinal() - 0.5):.2f}",
            f"{scale.at(last.toordinal() + 0.5):.2f}",
        )
    for day in stay.lock_days:
        yield format_html('<line class="lock" x1="{0}%" x2="{0}%" y1="9" y2="25"/>', f"{scale.at(day):.2f}")


def _until(first: dt.date, upto: dt.date) -> dt.date:
    """Last day drawn of a stay without one: he is still with her, or nobody wrote when he was taken out."""
    return upto if (upto - first).days <= FORGOTTEN_DAYS else first + dt.timedelta(days=TOGETHER_DAYS)


def _bar(kind: str, first: dt.date, last: dt.date, scale: Scale) -> SafeString:
    left = scale.at(first)
    return format_html(
        '<rect class="{}" x="{}%" y="10" width="{}%" height="14"/>',
        kind,
        f"{left:.2f}",
        f"{max(scale.at(last) - left, 0.2):.2f}",
    )


def _mark(kind: str, day: dt.date, path: str, scale: Scale) -> SafeString:
    return format_html(
        '<svg class="mark-at" x="{}%" y="17" width="1" height="1"><path class="{}" d="{}"/></svg>',
        f"{scale.at(day):.2f}",
        kind,
        path,
    )
