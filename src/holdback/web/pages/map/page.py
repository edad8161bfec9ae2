"""What the page of the map says: who comes from where, by whose word, and what no record says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from django.db.models import QuerySet
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.countries import countries
from holdback.collection.estimate import Basis
from holdback.collection.origins import PlaceOfOrigin
from holdback.species.wild_range import WildRange
from holdback.web.pages.components import Column, Table
from holdback.web.pages.family import linked
from holdback.web.pages.map.outlines import atlas
from holdback.web.pages.map.places import Group, Sorted, degrees_in_words
from holdback.web.pages.templatetags.notebook import basis
from holdback.web.pages.wording import counted, listed
from holdback.web.records import models as rows
from holdback.web.records.queries import present_animals

UNPLACED = 24
"""Founders without a place that are named; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Founders:
    """The founders on record, and the places of origin of any animal by its tag.

    Parameters
    ----------
    animals : mapping of str to Animal
        Animals with a place, by key.
    origins : tuple of PlaceOfOrigin
        Their coarse places; `PlaceOfOrigin.animal` is the key of the animal.
    total : int
        Founders: animals with no parent on record.
    placed : int
        Those of them with a place.
    unplaced : tuple of Animal
        The first of the others.
    """

    animals: Mapping[str, rows.Animal]
    origins: tuple[PlaceOfOrigin, ...]
    total: int
    placed: int
    unplaced: tuple[rows.Animal, ...]


def founders_of(species: str) -> Founders:
    """Founders of a species and everybody's place of origin; four queries."""
    found = (
        rows.PlaceOfOrigin.objects.filter(animal__removed_at__isnull=True, animal__species=species)
        .select_related("animal")
        .order_by("country", "place", "animal__tag")
    )
    animals = {str(row.animal_id): row.animal for row in found}
    origins = (
        PlaceOfOrigin(str(row.animal_id), row.place, row.country, row.latitude, row.longitude, ground=row.ground)
        for row in found
    )
    founders = _founders(species)
    total, placed = founders.count(), founders.filter(place_of_origin__isnull=False).count()
    unplaced = founders.filter(place_of_origin__isnull=True).order_by("tag")[:UNPLACED]
    return Founders(animals, tuple(one.coarse for one in origins), total, placed, tuple(unplaced))


def _founders(species: str) -> QuerySet[rows.Animal]:
    """Animals with no parent on record, neither their own nor through their clutch."""
    return present_animals().filter(
        species=species,
        dam__isnull=True,
        clutch__dam__isnull=True,
        candidate_sires__isnull=True,
        clutch__candidate_sires__isnull=True,
    )


def lede(founders: Founders, places: Sorted) -> tuple[str, str]:
    """Title sentence, and the part of it that is in doubt."""
    if not founders.origins:
        return f"Of {counted(founders.total, 'founder')} none has a place written down.", ""
    have = "has" if founders.placed == 1 else "have"
    plain = f"Of {counted(founders.total, 'founder')}, {founders.placed} {have} a place written down."
    others = len(founders.origins) - founders.placed
    if others:
        plain += f" So {'has' if others == 1 else 'have'} {counted(others, 'animal')} with a parent on record."
    drawn = places.n_drawn
    plain += f" {drawn or 'None'} of these {len(founders.origins)} can be drawn on this map."
    return plain, "Every place is what somebody says; no record can prove one."


def places_table(founders: Founders, places: Sorted) -> Table | None:
    """Every place, those on the map first and in the order of its marks; None where there is none."""
    cells = []
    for number, group in enumerate(places.groups, start=1):
        for index, same in enumerate(_alike(group.origins)):
            anchor = f"place-{number}" if not index else ""
            cells.append(_row(founders, same, anchor, "drawn"))
    for origins, word in ((places.outside, "outside this map"), (places.nowhere, "not drawn: no country said")):
        cells += [_row(founders, same, "", word) for same in _alike(origins)]
    if not cells:
        return None
    columns = (
        Column("Place"), Column("Country"), Column("Animals", is_full=True), Column("On what ground", is_full=True),
        Column("How known"), Column("On the map"),
    )  # fmt: skip
    return Table(columns, cells)


def _alike(origins: Iterable[PlaceOfOrigin]) -> list[list[PlaceOfOrigin]]:
    """Animals of one place together."""

    def where(one: PlaceOfOrigin) -> tuple[str, str, str]:
        return one.place, one.country, _degrees(one)

    return [list(same) for _, same in groupby(sorted(origins, key=where), key=where)]


def _row(founders: Founders, same: Sequence[PlaceOfOrigin], anchor: str, drawn: str) -> list[str | SafeString]:
    """Cells of one place."""
    first = same[0]
    words = " · ".join(part for part in (first.place, _degrees(first)) if part) or "place not said"
    place = format_html('<span id="{}">{}</span>', anchor, words) if anchor else words
    animals = format_html_join(", ", "{}", ((linked(founders.animals[one.animal]),) for one in same))
    grounds = dict.fromkeys(one.ground or "No ground is noted." for one in same)
    country = countries()[first.country] if first.country else "not said"
    return [place, country, animals, "; ".join(grounds), basis(Basis.CLAIMED), drawn]


def _degrees(one: PlaceOfOrigin) -> str:
    """Coarse coordinates in words; empty for none."""
    if one.latitude is None or one.longitude is None:
        return ""
    return f"near {degrees_in_words(one.latitude, one.longitude)}"


def range_words(wild: WildRange | None, common_name: str) -> tuple[str, str]:
    """Message of the map, and how its hatching is to be read."""
    if wild is None:
        return f"Where the {common_name} lives in the wild is not known here", "The species file names no range."
    message = f"The {common_name} is reported from {len(wild.countries)} countries"
    ground = " ".join(f"{source.rstrip('.')}." for source in wild.sources) or f"No source is named ({wild.mark})."
    how = (
        "Hatched: reported from these countries. A sketch, not a survey: it lives in parts of each only, and borders "
        "are no edge of its range. Where an animal was caught is what its papers say, not what this map says. "
    )
    return message, f"{how}Source: {ground}"


def range_list(wild: WildRange) -> str:
    """The countries in words."""
    drawn = atlas().countries
    names = sorted(countries()[code] + ("" if code in drawn else " (not drawn)") for code in wild.countries)
    return listed(names)


def map_said(groups: Sequence[Group], wild: WildRange | None) -> str:
    """Text alternative of the map."""
    marks = [f"{counted(len(group.origins), 'animal')} in {group.name}" for group in groups]
    hatched = f", {len(wild.countries)} of them hatched as the reported range" if wild else ""
    return f"Map of West and Central Africa by country{hatched}. {listed(marks) or 'No animal is drawn'}."
