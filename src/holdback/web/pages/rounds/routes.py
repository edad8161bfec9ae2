"""Which animals a round goes through, and in which order."""

from __future__ import annotations

import re
import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from holdback.collection.status import is_here
from holdback.web.records.models import Animal, Place, Stay
from holdback.web.records.queries import DEEPEST_PLACE, present_animals

_FIGURES = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class Stop:
    """One animal on a round.

    Parameters
    ----------
    animal : Animal
        The animal.
    path : tuple of str
        Names of the places it is in, the largest first; empty where it is in none.
    kind : str
        Kind of the innermost place.
    """

    animal: Animal
    path: tuple[str, ...]
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A place that a round can go through.

    Parameters
    ----------
    key : UUID
        Its key.
    path : tuple of str
        Names, the largest first.
    count : int
        Animals in it.
    """

    key: uuid.UUID
    path: tuple[str, ...]
    count: int


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Key that sorts numbers within names by their size.

    Examples
    --------
    >>> sorted(["10-A", "1-B", "2-A", "1-A", "b", "B2"], key=natural)
    ['1-A', '1-B', '2-A', '10-A', 'b', 'B2']
    """
    parts = [part for part in _FIGURES.split(text.casefold()) if part]
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)


@dataclass(frozen=True, slots=True)
class Rooms:
    """All places with who is in them now; three queries.

    Parameters
    ----------
    places : mapping of UUID to Place
        Every place by key.
    animals : mapping of UUID to list of Animal
        Animals that are here, by the key of their innermost place; under None those without one.
    """

    places: Mapping[uuid.UUID, Place]
    animals: Mapping[uuid.UUID | None, list[Animal]]

    @classmethod
    def now(cls) -> Rooms:
        """As recorded."""
        stays = dict(Stay.objects.filter(until__isnull=True).values_list("animal_id", "place_id"))
        animals = defaultdict(list)
        for animal in present_animals():
            if is_here(animal.status):
                animals[stays.get(animal.pk)].append(animal)
        return cls(Place.objects.in_bulk(), animals)

    def chain(self, key: uuid.UUID | None) -> list[Place]:
        """A place and what it is within, the largest first."""
        found: list[Place] = []
        while key is not None and len(found) < DEEPEST_PLACE:
            found.append(self.places[key])
            key = self.places[key].within_id
        return found[::-1]

    def stops(self, within: uuid.UUID | None = None, only: Iterable[uuid.UUID] | None = None) -> list[Stop]:
        """Animals in the order of their places; those without one come last, by their tags.

        Parameters
        ----------
        within : UUID, optional
            Only those in this place.
        only : iterable of UUID, optional
            Only these animals.
        """
        wanted = None if only is None else set(only)
        found = []
        for key, animals in self.animals.items():
            chain = self.chain(key)
            if within is not None and within not in {place.pk for place in chain}:
                continue
            path, kind = tuple(place.name for place in chain), chain[-1].kind if chain else ""
            found += [Stop(one, path, kind) for one in animals if wanted is None or one.pk in wanted]
        return sorted(
            found, key=lambda stop: (not stop.path, [natural(name) for name in stop.path], natural(stop.animal.tag))
        )

    def stretches(self) -> list[Stretch]:
        """Places that hold more than one animal, in their order."""
        counts: dict[uuid.UUID, int] = defaultdict(int)
        for key, animals in self.animals.items():
            for place in self.chain(key):
                counts[place.pk] += len(animals)
        found = [
            Stretch(key, tuple(place.name for place in self.chain(key)), count)
            for key, count in counts.items()
            if count > 1
        ]
        return sorted(found, key=lambda one: [natural(name) for name in one.path])
