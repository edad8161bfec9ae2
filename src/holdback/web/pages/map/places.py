"""Places of origin put together: one group a country, else one for each degree; coarse throughout."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from holdback.collection.countries import countries
from holdback.collection.origins import PlaceOfOrigin
from holdback.web.pages.map.outlines import Atlas


@dataclass(frozen=True, slots=True)
class Group:
    """Animals that one mark on the map stands for.

    Parameters
    ----------
    name : str
        Country, or the degree in words.
    latitude, longitude : float
        Where the mark stands.
    origins : tuple of PlaceOfOrigin
        Coarse places, at least one.
    is_whole_country : bool
        Whether the mark stands in the middle of a country because nothing closer is said, or several places are.
    """

    name: str
    latitude: float
    longitude: float
    origins: tuple[PlaceOfOrigin, ...]
    is_whole_country: bool


@dataclass(frozen=True, slots=True)
class Sorted:
    """Places on the map, those beyond its frame, and those of which no country and no coordinates are said."""

    groups: tuple[Group, ...]
    outside: tuple[PlaceOfOrigin, ...]
    nowhere: tuple[PlaceOfOrigin, ...]

    @property
    def n_drawn(self) -> int:
        """Animals on the map."""
        return sum(len(group.origins) for group in self.groups)


def sort_places(origins: Iterable[PlaceOfOrigin], atlas: Atlas) -> Sorted:
    """Groups of places by where they can be drawn.

    Parameters
    ----------
    origins : iterable of PlaceOfOrigin
        Places of any precision; only coarse ones come out.
    atlas : Atlas
        Countries and frame.
    """
    together: dict[tuple[str, int, int], list[PlaceOfOrigin]] = {}
    outside, nowhere = [], []
    for origin in (one.coarse for one in origins):
        if origin.latitude is None and not origin.country:
            nowhere.append(origin)
        elif not _is_drawn(origin, atlas):
            outside.append(origin)
        else:
            together.setdefault(_key(origin), []).append(origin)
    groups = (_group(key, found, atlas) for key, found in sorted(together.items()))
    return Sorted(tuple(groups), tuple(outside), tuple(nowhere))


def _is_drawn(origin: PlaceOfOrigin, atlas: Atlas) -> bool:
    """Whether a place lies within the frame."""
    if origin.latitude is not None and origin.longitude is not None:
        return atlas.frame.holds(origin.latitude, origin.longitude)
    outline = atlas.countries.get(origin.country)
    return outline is not None and atlas.frame.holds(outline.latitude, outline.longitude)


def _key(origin: PlaceOfOrigin) -> tuple[str, int, int]:
    """Country, else the degree."""
    if origin.country:
        return origin.country, 0, 0
    assert origin.latitude is not None, "a place without a country has coordinates"
    assert origin.longitude is not None, "it has both"
    return "", math.floor(origin.latitude), math.floor(origin.longitude)


def _group(key: tuple[str, int, int], origins: Sequence[PlaceOfOrigin], atlas: Atlas) -> Group:
    """Group with the place of its mark: its one degree where all lie in it, else the middle of the country."""
    code, south, west = key
    spots = [(one.latitude, one.longitude) for one in origins if one.latitude is not None and one.longitude is not None]
    cells = {(math.floor(north), math.floor(east)) for north, east in spots}
    outline = atlas.countries.get(code)
    if len(cells) == 1 and (len(spots) == len(origins) or outline is None):
        south, west = next(iter(cells))
        name = countries()[code] if code else degrees_in_words(south + 0.5, west + 0.5)
        return Group(name, south + 0.5, west + 0.5, tuple(origins), is_whole_country=False)
    if outline is None or not atlas.frame.holds(outline.latitude, outline.longitude):
        north, east = spots[0]
        return Group(countries()[code], north, east, tuple(origins), is_whole_country=True)
    return Group(countries()[code], outline.latitude, outline.longitude, tuple(origins), is_whole_country=True)


def degrees_in_words(latitude: float, longitude: float) -> str:
    """Coordinates as a keeper reads them.

    Examples
    --------
    >>> degrees_in_words(7.6, -0.9)
    '7.6° N, 0.9° W'
    """
    north = f"{abs(latitude):g}° {'N' if latitude >= 0 else 'S'}"
    return f"{north}, {abs(longitude):g}° {'E' if longitude >= 0 else 'W'}"
