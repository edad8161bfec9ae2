"""The place that an animal is said to come from, and what of it may leave this computer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from holdback.collection.countries import countries, nearest_country

DECIMALS = 1
"""Decimals of a coarse coordinate: a tenth of a degree is some 11 km."""


class Precision(StrEnum):
    """How closely coordinates say where; exact ones are kept on the keeper's own computer."""

    COARSE = "coarse"
    EXACT = "exact"


@dataclass(frozen=True, slots=True)
class PlaceOfOrigin:
    """Where an animal is said to come from.

    Parameters
    ----------
    animal : str
        Animal id.
    place : str
        Place in free words, as typed; may be empty.
    country : str
        ISO 3166-1 alpha-2 code; empty where none is said.
    latitude, longitude : float or None
        Degrees north and east (WGS 84), both or neither.
    precision : Precision
        Coarse coordinates are rounded to a tenth of a degree.
    ground : str
        Who said so, on what paper.
    """

    animal: str
    place: str = ""
    country: str = ""
    latitude: float | None = None
    longitude: float | None = None
    precision: Precision = Precision.COARSE
    ground: str = ""

    @property
    def coarse(self) -> PlaceOfOrigin:
        """The same place with coordinates to a tenth of a degree.

        Examples
        --------
        >>> PlaceOfOrigin("A1", latitude=7.9518, longitude=-1.0244, precision=Precision.EXACT).coarse.latitude
        8.0
        """
        return replace(
            self,
            latitude=coarse_degrees(self.latitude),
            longitude=coarse_degrees(self.longitude),
            precision=Precision.COARSE,
        )


def coarse_degrees(degrees: float | None) -> float | None:
    """Degrees to a tenth; None stays None."""
    return None if degrees is None else round(degrees, DECIMALS) + 0.0  # no -0.0


def origin_faults(row: PlaceOfOrigin) -> Iterator[tuple[str, str, str, str]]:
    """Code, what, hint and column of everything wrong with a place of origin."""
    yield from coordinate_faults(row.latitude, row.longitude)
    if row.country and row.country not in countries():
        yield "COL-024", f"{row.country!r} is no code of a country.", country_hint(row.country), "country"
    if not (row.place or row.country or row.latitude is not None or row.longitude is not None):
        yield "COL-023", "No place is said.", "Write the place, the country or the coordinates.", "place"


def coordinate_faults(latitude: float | None, longitude: float | None) -> Iterator[tuple[str, str, str, str]]:
    """Code, what, hint and column of everything wrong with coordinates."""
    for name, degrees, most in (("latitude", latitude, 90), ("longitude", longitude, 180)):
        if degrees is not None and not -most <= degrees <= most:
            hint = f"Write degrees from -{most} to {most}; south and west are negative."
            yield "COL-023", f"A {name} of {degrees:g} cannot be.", hint, name
    if (latitude is None) != (longitude is None):
        missing = "latitude" if latitude is None else "longitude"
        yield "COL-023", f"The {missing} is missing.", "Write both coordinates, or neither.", missing


def country_hint(text: str) -> str:
    """What to write instead of an unknown code."""
    near = nearest_country(text)
    return f"Did you mean {near} ({countries()[near]})?" if near else "Write the two letters of ISO 3166-1, as in GH."
