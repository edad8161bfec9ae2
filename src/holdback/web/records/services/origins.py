"""Write down, correct and take back the place that an animal is said to come from."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from typing import TypedDict, Unpack

from holdback.collection.countries import countries
from holdback.collection.origins import Precision, coordinate_faults, country_hint
from holdback.errors import Fault
from holdback.web.records.models import Animal, PlaceOfOrigin
from holdback.web.records.rules import length_faults, refuse, word_faults
from holdback.web.records.services.deed import deed


class Origin(TypedDict, total=False):
    """Where from, how closely, and who says so."""

    place: str
    country: str
    latitude: float | None
    longitude: float | None
    precision: str
    ground: str


def set_origin(animal: Animal, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[Origin]) -> PlaceOfOrigin:
    """The place that an animal is said to come from; it replaces what was said before.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``place``, ``country`` (two letters), ``latitude`` and ``longitude`` (degrees), ``precision`` (coarse if left
        out: the coordinates are rounded to a tenth of a degree before they are kept), ``ground``.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-013 or REC-014, all faults together.
    """
    with deed("set place of origin", who=who, batch=batch) as done:
        said = PlaceOfOrigin(animal=animal, **fields)
        refuse(origin_faults(said, tag=animal.tag))
        said.round_unless_exact()
        present = PlaceOfOrigin.objects.filter(animal=animal).first()
        if present is None:
            done.make(said)
            return said
        done.change(present, **{name: getattr(said, name) for name in Origin.__annotations__})
    return present


def remove_origin(origin: PlaceOfOrigin, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Take back where an animal is said to come from; the log keeps it, and undo brings it back."""
    with deed("remove place of origin", who=who, batch=batch) as done:
        done.delete(origin)


def origin_faults(said: PlaceOfOrigin, *, tag: str) -> Iterator[Fault]:
    """Faults of a place of origin by itself."""
    yield from length_faults(said.place, 120, field="place", animal=tag)
    yield from length_faults(said.ground, 200, field="ground", animal=tag)
    yield from word_faults(said.precision, Precision, field="precision", animal=tag)
    for _, what, hint, name in coordinate_faults(said.latitude, said.longitude):
        yield Fault("REC-014", what[0].lower() + what[1:], hint, field=name, animal=tag)
    if said.country and said.country not in countries():
        what = f"{said.country!r} is no code of a country."
        yield Fault("REC-013", what, country_hint(said.country), field="country", value=said.country, animal=tag)
    if not (said.place or said.country) and said.latitude is None and said.longitude is None:
        hint = "Write the place, the country or the coordinates."
        yield Fault("REC-010", "no place is said.", hint, field="place", animal=tag)
