"""Cut the country outlines of the founders' map: ``python tools/cut_countries.py countries-50m.json``.

For development only. The input is ``countries-50m.json`` of the npm package world-atlas 2.0.2 (licence ISC), which
holds the 1:50m countries of Natural Earth 4.1.0 (public domain). Arcs are thinned before they are joined to
rings, so that neighbours keep a common border; then everything is clipped to the frame and rounded to 0.01 degree.
"""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path
from typing import Any

Point = tuple[float, float]
Ring = list[Point]

TARGET = Path(__file__).parents[1] / "src" / "holdback" / "web" / "pages" / "map" / "countries.json"
FRAME = (-18.5, -14.0, 36.5, 25.0)
"""West, south, east, north in degrees: all countries that the ball python is reported from."""
MARGIN = 0.5
"""Degrees beyond the frame that are kept, so that no clipped edge is seen."""
TOLERANCE = 0.025
"""Degrees that a thinned line may stray, some 3 km."""
LEAST_AREA = 0.003
"""Square degrees below which an islet is left out; the largest ring of a country always stays."""
CODES = {
    "012": "DZ", "024": "AO", "072": "BW", "108": "BI", "120": "CM", "132": "CV", "140": "CF", "148": "TD",
    "174": "KM", "178": "CG", "180": "CD", "204": "BJ", "226": "GQ", "231": "ET", "232": "ER", "266": "GA",
    "270": "GM", "288": "GH", "324": "GN", "384": "CI", "404": "KE", "430": "LR", "434": "LY", "454": "MW",
    "466": "ML", "478": "MR", "504": "MA", "508": "MZ", "562": "NE", "566": "NG", "624": "GW", "646": "RW", "654": "SH",
    "678": "ST", "682": "SA", "686": "SN", "694": "SL", "716": "ZW", "728": "SS", "729": "SD", "732": "EH",
    "768": "TG", "788": "TN", "800": "UG", "818": "EG", "834": "TZ", "854": "BF", "894": "ZM",
}  # fmt: skip
"""ISO 3166-1: numeric code of the input to the two letters of the output."""


def arcs_of(atlas: dict[str, Any]) -> list[Ring]:
    """Thinned arcs in degrees."""
    (scale_x, scale_y), (at_x, at_y) = atlas["transform"]["scale"], atlas["transform"]["translate"]
    arcs = []
    for arc in atlas["arcs"]:
        x = y = 0
        points: Ring = []
        for step_x, step_y in arc:
            x, y = x + step_x, y + step_y
            points.append((x * scale_x + at_x, y * scale_y + at_y))
        arcs.append(thinned(points))
    return arcs


def thinned(points: Ring) -> Ring:
    """Line of fewer points (Douglas and Peucker 1973); both ends stay."""
    if len(points) < 3:
        return points
    far, at = max((distance(point, points[0], points[-1]), index) for index, point in enumerate(points[1:-1], 1))
    if far <= TOLERANCE:
        return [points[0], points[-1]]
    return thinned(points[: at + 1])[:-1] + thinned(points[at:])


def distance(point: Point, first: Point, last: Point) -> float:
    """Distance of a point from a segment, in degrees."""
    (x, y), (x0, y0), (x1, y1) = point, first, last
    length = (x1 - x0) ** 2 + (y1 - y0) ** 2
    along = max(0.0, min(1.0, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length)) if length else 0.0
    return math.hypot(x - x0 - along * (x1 - x0), y - y0 - along * (y1 - y0))


def joined(indices: list[int], arcs: list[Ring]) -> Ring:
    """Ring of arcs; a negative index is an arc walked backwards."""
    ring: Ring = []
    for index in indices:
        arc = arcs[index] if index >= 0 else arcs[~index][::-1]
        ring += arc[1:] if ring else arc
    return ring


def clipped(ring: Ring) -> Ring:
    """Ring within the frame and its margin (Sutherland and Hodgman 1974)."""
    west, south, east, north = FRAME
    bounds = ((0, west - MARGIN, 1), (0, east + MARGIN, -1), (1, south - MARGIN, 1), (1, north + MARGIN, -1))
    for axis, bound, side in bounds:
        kept: Ring = []
        for before, point in zip([ring[-1], *ring[:-1]] if ring else [], ring, strict=True):
            inside = [side * (each[axis] - bound) >= 0 for each in (before, point)]
            if inside[0] != inside[1]:
                share = (bound - before[axis]) / (point[axis] - before[axis])
                kept.append((before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1])))
            if inside[1]:
                kept.append(point)
        ring = kept
    return ring


def area(ring: Ring) -> float:
    """Area in square degrees."""
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def centre(ring: Ring) -> Point:
    """Point well inside a ring: of a grid the one farthest from its edge."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    grid = [
        (min(xs) + (column + 0.5) / 24 * (max(xs) - min(xs)), min(ys) + (row + 0.5) / 24 * (max(ys) - min(ys)))
        for column in range(24)
        for row in range(24)
    ]
    return max(
        (point for point in grid if holds(ring, point)),
        key=lambda point: min(distance(point, first, last) for first, last in edges),
        default=ring[0],
    )


def holds(ring: Ring, point: Point) -> bool:
    """Whether a point lies inside a ring."""
    x, y = point
    crossings = 0
    for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True):
        if (y0 > y) != (y1 > y):
            crossings += x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)
    return crossings % 2 == 1


def cut(atlas: dict[str, Any]) -> dict[str, Any]:
    """The file's content."""
    arcs = arcs_of(atlas)
    countries = []
    for country in atlas["objects"]["countries"]["geometries"]:
        polygons = [country["arcs"]] if country["type"] == "Polygon" else country["arcs"]
        rings = [clipped(joined(indices, arcs)) for polygon in polygons for indices in polygon]
        rings = sorted((ring for ring in rings if len(ring) > 2), key=area, reverse=True)
        rings = [ring for index, ring in enumerate(rings) if not index or area(ring) >= LEAST_AREA]
        code = CODES.get(str(country.get("id", "")))
        if not rings:
            continue
        if code is None:
            raise SystemExit(f"{country['properties']['name']} lies in the frame and has no code.")
        countries.append(
            {
                "code": code,
                "centre": [round(part, 2) for part in centre(rings[0])],
                "rings": [[round(part, 2) for point in ring for part in point] for ring in rings],
            }
        )
    return {
        "source": "Natural Earth 4.1.0, 1:50m countries (public domain), through npm world-atlas 2.0.2",
        "note": "Borders in dispute are drawn as there; that takes no side.",
        "frame": list(FRAME),
        "countries": sorted(countries, key=lambda one: str(one["code"])),
    }


if __name__ == "__main__":
    text = json.dumps(cut(json.loads(Path(sys.argv[1]).read_text("utf-8"))), separators=(",", ":"))
    TARGET.write_text(text.replace('{"code"', '\n{"code"') + "\n", "utf-8")
