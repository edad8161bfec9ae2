"""Country outlines that ship with the program.

References
----------
Natural Earth 4.1.0, 1:50m countries (public domain), cut by ``tools/cut_countries.py``.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Frame:
    """Part of the earth that is drawn, in degrees: plate carrée, true to scale at its middle latitude."""

    west: float
    south: float
    east: float
    north: float

    @property
    def aspect(self) -> float:
        """Width by height of the drawing."""
        middle = math.radians((self.south + self.north) / 2)
        return (self.east - self.west) * math.cos(middle) / (self.north - self.south)

    def holds(self, latitude: float, longitude: float) -> bool:
        """Whether a point is drawn."""
        return self.west <= longitude <= self.east and self.south <= latitude <= self.north

    def left(self, longitude: float) -> float:
        """Distance from the left edge, in percent of the width."""
        return 100 * (longitude - self.west) / (self.east - self.west)

    def top(self, latitude: float) -> float:
        """Distance from the upper edge, in percent of the height."""
        return 100 * (self.north - latitude) / (self.north - self.south)


@dataclass(frozen=True, slots=True)
class Outline:
    """One country: a point well inside it, and its rings as an SVG path in degrees (north is negative y)."""

    latitude: float
    longitude: float
    path: str


@dataclass(frozen=True, slots=True)
class Atlas:
    """All outlines by country code, the frame, and where they are from."""

    frame: Frame
    countries: Mapping[str, Outline]
    source: str
    note: str


@cache
def atlas() -> Atlas:
    """Outlines of West and Central Africa and their neighbours."""
    data = json.loads((Path(__file__).parent / "countries.json").read_text("utf-8"))
    countries = {
        each["code"]: Outline(each["centre"][1], each["centre"][0], "".join(map(_path, each["rings"])))
        for each in data["countries"]
    }
    return Atlas(Frame(*data["frame"]), countries, data["source"], data["note"])


def _path(ring: list[float]) -> str:
    """Closed path of a ring."""
    points = (f"{x:g} {-y:g}" for x, y in zip(ring[::2], ring[1::2], strict=True))
    return f"M{'L'.join(points)}Z"
