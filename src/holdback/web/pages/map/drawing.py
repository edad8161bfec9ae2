"""The map as svg: outlines in a nested, stretched drawing; marks and names keep their size at any width."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import combinations

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.countries import countries
from holdback.web.pages.map.outlines import Atlas
from holdback.web.pages.map.places import Group
from holdback.web.pages.wording import counted

_SHORT = {"CF": "C.A.R.", "CD": "D.R. Congo", "CI": "Côte d'Ivoire", "GW": "G.-Bissau", "GQ": "Eq. Guinea"}
"""Names that are too long for their country."""
_UNNAMED = frozenset({"ER", "MA", "MW", "MZ", "SA", "SH", "ST", "BI", "RW", "GQ", "DZ", "LY", "EG", "EH", "ET", "KE"})
"""Countries at the edge, or too small for a name."""

_APART = 3.2
"""Degrees between two marks, so that both can be read and touched on a phone."""
_PUSHES = 40
_ROOM = (1.2, 2.2)
"""Degrees north and east that a mark keeps free of words."""


def map_svg(atlas: Atlas, groups: Sequence[Group], reported: Collection[str], *, said: str) -> SafeString:
    """The map.

    Parameters
    ----------
    atlas : Atlas
        Outlines and frame.
    groups : sequence of Group
        Marks; number n links to ``#place-n``.
    reported : collection of str
        Codes of the countries that are hatched.
    said : str
        Text alternative: the message of the map.
    """
    groups = spread(groups)
    return format_html(
        '<div class="mapwrap"><svg class="map" role="group" aria-label="{}">{}{}{}</svg></div>',
        said,
        _land(atlas, reported),
        _names(atlas, groups, reported),
        format_html_join("", "{}", ((_mark(number, group, atlas),) for number, group in enumerate(groups, start=1))),
    )


def spread(groups: Sequence[Group]) -> list[Group]:
    """The groups with marks that would cover each other pushed apart, each by the same way.

    Parameters
    ----------
    groups : sequence of Group
        With their true places, in degrees.
    """
    spots = [[group.longitude, group.latitude] for group in groups]
    for _ in range(_PUSHES):
        for first, second in combinations(range(len(spots)), 2):
            (x0, y0), (x1, y1) = spots[first], spots[second]
            apart = math.hypot(x1 - x0, y1 - y0)
            push = (_APART - apart) / 2
            if push <= 0:
                continue
            along, up = ((x1 - x0) / apart, (y1 - y0) / apart) if apart else (1.0, 0.0)
            spots[first] = [x0 - push * along, y0 - push * up]
            spots[second] = [x1 + push * along, y1 + push * up]
    return [replace(group, longitude=x, latitude=y) for group, (x, y) in zip(groups, spots, strict=True)]


def _land(atlas: Atlas, reported: Collection[str]) -> SafeString:
    """Outlines in degrees, stretched to the drawing."""
    frame = atlas.frame
    box = f"{frame.west:g} {-frame.north:g} {frame.east - frame.west:g} {frame.north - frame.south:g}"
    paths = format_html_join(
        "",
        '<path class="{}" d="{}"/>',
        (
            ("country reported" if code in reported else "country", outline.path)
            for code, outline in sorted(atlas.countries.items(), key=lambda each: each[0] in reported)
        ),
    )
    hatch = (
        '<defs><pattern id="reported" width=".9" height=".9" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(-45)"><rect class="reported-ground" width=".9" height=".9"/>'
        '<rect class="reported-stroke" width=".09" height=".9"/></pattern></defs>'
    )
    return format_html(
        '<svg class="land" width="100%" height="100%" viewBox="{}" preserveAspectRatio="none" aria-hidden="true">'
        "{}{}</svg>",
        box,
        SafeString(hatch),
        paths,
    )


def _names(atlas: Atlas, groups: Sequence[Group], reported: Collection[str]) -> SafeString:
    """Names of countries that no mark covers, on wide screens and on paper."""
    frame = atlas.frame
    shown = (
        (code, outline)
        for code, outline in atlas.countries.items()
        if code not in _UNNAMED
        and frame.holds(outline.latitude, outline.longitude)
        and not any(_is_near(group, outline.latitude, outline.longitude) for group in groups)
    )
    return format_html_join(
        "",
        '<text class="m land-name not-phone{}" x="{}" y="{}" dy="4" aria-hidden="true">{}</text>',
        (
            (
                " ink" if code in reported else "",
                _percent(frame.left(outline.longitude)),
                _percent(frame.top(outline.latitude)),
                _SHORT.get(code, countries()[code]),
            )
            for code, outline in shown
        ),
    )


def _is_near(group: Group, latitude: float, longitude: float) -> bool:
    """Whether the mark of a group would lie on words that stand at a point."""
    return abs(group.latitude - latitude) < _ROOM[0] and abs(group.longitude - longitude) < _ROOM[1]


def _mark(number: int, group: Group, atlas: Atlas) -> SafeString:
    """Count of one group, as a link to its line in the table; a dotted edge says that it is claimed."""
    where = "somewhere in" if group.is_whole_country else "in"
    said = f"{counted(len(group.origins), 'animal')} {where} {group.name}, as claimed"
    return format_html(
        '<a class="found" href="#place-{}" aria-label="{}"><svg class="spot" x="{}" y="{}">'
        '<circle class="reach" r="22"/><circle class="ring{}" r="12"/><text class="m" dy="4.5">{}</text></svg></a>',
        number,
        said,
        _percent(atlas.frame.left(group.longitude)),
        _percent(atlas.frame.top(group.latitude)),
        " whole" if group.is_whole_country else "",
        len(group.origins),
    )


def _percent(part: float) -> str:
    """Coordinate in percent."""
    return f"{part:.2f}%"
