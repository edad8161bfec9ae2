"""What the records hold already, as far as a sheet needs it: animals by id and by name, their measurements."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from holdback.collection.housing import path_names
from holdback.collection.model import (
    Animal,
    Clutch,
    Egg,
    Event,
    LineClaim,
    Mating,
    Measurement,
    Records,
    Temperature,
)


@dataclass(frozen=True)
class Known:
    """Records before the import.

    Parameters
    ----------
    animals : mapping of str to Animal
        By id.
    measurements : mapping of str to tuple of Measurement
        By animal id.
    lines : frozenset of (str, str)
        Animal id and line name of the claims there are.
    clutches : mapping of str to Clutch
        By id.
    places : mapping of str to str
        Animal id to the whole path of the place it stands in.
    events : frozenset of Event
        All of them.
    matings : mapping of (str, str) to tuple of Mating
        By dam and sire.
    eggs : mapping of str to tuple of Egg
        By clutch id.
    warmth : frozenset of Temperature
        All readings.
    paths : tuple of str
        Every place, the largest first.
    """

    animals: Mapping[str, Animal] = field(default_factory=dict)
    measurements: Mapping[str, tuple[Measurement, ...]] = field(default_factory=dict)
    lines: Mapping[tuple[str, str], LineClaim] = field(default_factory=dict)
    clutches: Mapping[str, Clutch] = field(default_factory=dict)
    places: Mapping[str, str] = field(default_factory=dict)
    events: frozenset[Event] = frozenset()
    matings: Mapping[tuple[str, str], tuple[Mating, ...]] = field(default_factory=dict)
    eggs: Mapping[str, tuple[Egg, ...]] = field(default_factory=dict)
    warmth: frozenset[Temperature] = frozenset()
    paths: tuple[str, ...] = ()

    @classmethod
    def of(cls, records: Records, *, places: Mapping[str, str] | None = None) -> Known:
        """What a set of records holds."""
        readings: dict[str, list[Measurement]] = {}
        for reading in records.measurements:
            readings.setdefault(reading.animal, []).append(reading)
        matings: dict[tuple[str, str], list[Mating]] = {}
        for mating in records.matings:
            matings.setdefault((mating.dam, mating.sire), []).append(mating)
        eggs: dict[str, list[Egg]] = {}
        for egg in records.eggs:
            eggs.setdefault(egg.clutch, []).append(egg)
        return cls(
            animals={animal.id: animal for animal in records.animals},
            measurements={animal: tuple(found) for animal, found in readings.items()},
            lines={(claim.animal, claim.line): claim for claim in records.lines},
            clutches={clutch.id: clutch for clutch in records.clutches},
            places=places or {},
            events=frozenset(replace(event, until=None) for event in records.events),
            matings={pair: tuple(found) for pair, found in matings.items()},
            eggs={clutch: tuple(found) for clutch, found in eggs.items()},
            warmth=frozenset(records.temperatures),
            paths=tuple(place.path for place in records.places),
        )

    def place(self, text: str) -> str:
        """Whole path of a place: as it is where it is known, or of the only known place that ends so.

        Examples
        --------
        >>> known = Known(paths=("room 1 / rack 3", "room 1 / rack 3 / 3-B"))
        >>> known.place("3-b"), known.place("rack 3 / 3-B"), known.place("rack 9")
        ('room 1 / rack 3 / 3-B', 'room 1 / rack 3 / 3-B', 'rack 9')
        """
        folded = {fold(path): path for path in self.paths}
        if fold(text) in folded:
            return folded[fold(text)]
        names = path_names(fold(text))
        ends = [path for path in self.paths if names and path_names(fold(path))[-len(names) :] == names]
        return ends[0] if len(ends) == 1 else text


def fold(text: str) -> str:
    """Text for comparing ids and names: case and outer signs do not count.

    Examples
    --------
    >>> fold("  Mortar ")
    'mortar'
    """
    return " ".join(text.casefold().split())


def _joined(text: str) -> str:
    """Text for comparing with the ids of a file that holds no spaces."""
    return fold(text).replace(" ", "_")


class Directory:
    """Animals by id and by name, of the sheet and of the records together."""

    def __init__(self, animals: Iterable[tuple[str, str]]) -> None:
        self._ids: set[str] = set()
        self._folded: dict[str, dict[str, None]] = {}
        self._names: dict[str, dict[str, None]] = {}
        self._joined: dict[str, dict[str, None]] = {}
        for animal_id, name in animals:
            self.add(animal_id, name)

    def add(self, animal_id: str, name: str) -> None:
        """Take an animal in."""
        self._ids.add(animal_id)
        self._folded.setdefault(fold(animal_id), {})[animal_id] = None
        self._joined.setdefault(_joined(animal_id), {})[animal_id] = None
        if name:
            self._names.setdefault(fold(name), {})[animal_id] = None

    def __contains__(self, animal_id: str) -> bool:
        """Whether an id is taken."""
        return animal_id in self._ids

    def find_id(self, text: str) -> tuple[str, ...]:
        """Ids that a word of a pedigree file can mean: itself, else in other case or with ``_`` for its spaces."""
        if text in self._ids:
            return (text,)
        return tuple(self._joined.get(_joined(text), ()))

    def find(self, text: str) -> tuple[str, ...]:
        """Ids that a text can mean: the id itself, an id in other case, a name, or a name with its id."""
        if text in self._ids:
            return (text,)
        folded = fold(text)
        found = self._folded.get(folded) or self._names.get(folded)
        if found:
            return tuple(found)
        words = folded.replace("(", " ").replace(")", " ").replace(",", " ").split()
        for at, word in enumerate(words):
            ids = self._folded.get(word, {})
            rest = " ".join(words[:at] + words[at + 1 :])
            both = [each for each in ids if each in self._names.get(rest, {})]
            if both:
                return tuple(both)
        return ()
