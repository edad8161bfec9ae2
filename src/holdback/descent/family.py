"""Who descends from whom, as all that follows takes it: animals, and broods with one dam and weighed sires.

Animals of no brood are founders. An unknown parent is an animal of its own, drawn from the population and shared by its
brood.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field, replace
from functools import cached_property

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Animal, Candidate, Sex
from holdback.descent.sires_by_matings import laying_day, sires_by_matings

UNKNOWN_SIRE = "?"
"""Candidate that says: some male that is not on record."""

STORED_SPERM = 0.03
"""Weight of the males of the season before, unless the species file says otherwise (from memory)."""

_NO_WEIGHT = 1e-9


@dataclass(frozen=True, slots=True)
class Brood:
    """Young of one dam and one clutch.

    Parameters
    ----------
    key : str
        Clutch id; where no clutch is recorded, dam, sires and hatch date in one text.
    dam : str or None
        Id of the dam; None is an animal that is not on record, one for the whole brood.
    sires : tuple of Candidate
        Candidate sires, weights summing to 1: ids, `UNKNOWN_SIRE`, `NO_SIRE`.
    young : tuple of str
        Ids of the young on record.
    each_egg : bool
        True where every egg may have a sire of its own; else one sire for the clutch.
    """

    key: str
    dam: str | None
    sires: tuple[Candidate, ...]
    young: tuple[str, ...]
    each_egg: bool = False

    @property
    def is_uncertain(self) -> bool:
        """Whether there is more than one candidate sire."""
        return len(self.sires) > 1


@dataclass(frozen=True)
class Family:
    """Animals with their broods.

    Parameters
    ----------
    sexes : mapping of str to Sex
        Sex of every animal, by id, in record order.
    broods : tuple of Brood
        Every animal is in at most one.

    Examples
    --------
    >>> from holdback.collection.collection import Collection
    >>> rows = [{"id": "S"}, {"id": "D"}, {"id": "K", "sire": "S", "dam": "D"}]
    >>> family = Family.from_collection(Collection.from_frames({"animals": rows}))
    >>> family.broods[0].sires[0].animal, family.broods[0].young
    ('S', ('K',))
    """

    sexes: Mapping[str, Sex]
    broods: tuple[Brood, ...] = ()
    _brood_of: Mapping[str, Brood] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Index the broods by their young."""
        object.__setattr__(self, "_brood_of", {one: brood for brood in self.broods for one in brood.young})

    @classmethod
    def from_collection(
        cls, collection: Collection, *, each_egg: Iterable[str] = (), stored_sperm: float = STORED_SPERM
    ) -> Family:
        """Family of a collection.

        Parameters
        ----------
        collection : Collection
            Checked records.
        each_egg : iterable of str
            Brood keys in which every egg may have a sire of its own.
        stored_sperm : float
            Weight of the males of the season before, where the sire is not recorded but matings are.

        Notes
        -----
        Young of one clutch with the same candidate sires are one brood. Without a clutch, young of the same dam, sires
        and hatch date are; where the dam is not known, only if the date is known to the day. Where no sire is recorded,
        the males that the dam was put to are candidates (see `sires_by_matings`), but none that descends from the young
        itself. Weight that the candidates leave over belongs to a male that is not on record.
        """
        mixed = frozenset(each_egg)
        groups: dict[tuple[str, str, str | None, tuple[Candidate, ...]], list[Animal]] = {}
        for animal in collection.animals.values():
            if animal.dam is not None or animal.sires:
                nest = animal.clutch or _nest(animal)
                groups.setdefault((animal.clutch or "", nest, animal.dam, animal.sires), []).append(animal)
        taken: set[str] = set()
        broods = []
        for (clutch, nest, dam, sires), young in groups.items():
            key = clutch or f"{dam or '?'} {nest}"
            while key in taken:
                key += "'"
            taken.add(key)
            broods.append(
                Brood(
                    key=key,
                    dam=dam,
                    sires=weighed(sires),
                    young=tuple(animal.id for animal in young),
                    each_egg=key in mixed,
                )
            )
        unsaid = {brood.key for brood, (_, _, dam, sires) in zip(broods, groups, strict=True) if dam and not sires}
        return cls(
            {animal.id: animal.sex for animal in collection.animals.values()},
            _with_sires_by_matings(collection, tuple(broods), unsaid, stored_sperm),
        )

    def brood_of(self, animal: str) -> Brood | None:
        """Brood that an animal hatched in, None for a founder."""
        return self._brood_of.get(animal)

    def parents(self, animal: str) -> tuple[str, ...]:
        """Ids of all recorded possible parents of an animal."""
        brood = self._brood_of.get(animal)
        if brood is None:
            return ()
        sires = tuple(one.animal for one in brood.sires if one.animal not in (NO_SIRE, UNKNOWN_SIRE))
        return (*sires, brood.dam) if brood.dam else sires

    @cached_property
    def broods_of_parent(self) -> Mapping[str, tuple[Brood, ...]]:
        """Broods by each recorded possible parent."""
        found: dict[str, list[Brood]] = {}
        for brood in self.broods:
            for parent in self.parents(brood.young[0]):
                found.setdefault(parent, []).append(brood)
        return {parent: tuple(broods) for parent, broods in found.items()}

    def ancestors(self, animal: str) -> frozenset[str]:
        """Ids of all recorded possible ancestors."""
        found: set[str] = set()
        stack = list(self.parents(animal))
        while stack:
            one = stack.pop()
            if one not in found:
                found.add(one)
                stack.extend(self.parents(one))
        return frozenset(found)

    @cached_property
    def pieces(self) -> tuple[tuple[str, ...], ...]:
        """Animals joined by parentage, one tuple for each connected piece, in record order."""
        root = {animal: animal for animal in self.sexes}

        def top(animal: str) -> str:
            while root[animal] != animal:
                root[animal] = root[root[animal]]
                animal = root[animal]
            return animal

        for brood in self.broods:
            first = top(brood.young[0])
            for other in (*brood.young[1:], *self.parents(brood.young[0])):
                root[top(other)] = first
        pieces: dict[str, list[str]] = {}
        for animal in self.sexes:
            pieces.setdefault(top(animal), []).append(animal)
        return tuple(tuple(piece) for piece in pieces.values())


def _nest(animal: Animal) -> str:
    """What young without a clutch share if they are clutch mates: in one year a male sires clutches of several dams."""
    date = animal.hatched
    return str(date) if date and (animal.dam or date.day) else animal.id


def _with_sires_by_matings(
    collection: Collection, broods: tuple[Brood, ...], unsaid: Set[str], stored_sperm: float
) -> tuple[Brood, ...]:
    """Broods with candidate sires by matings where no sire is recorded, the earliest clutch first."""
    waiting = []
    for brood in broods:
        laid = _laid(collection, collection.animals[brood.young[0]]) if brood.key in unsaid else None
        if laid is not None:
            waiting.append((laid, brood.key, brood))
    below: dict[str, set[str]] = {}
    for brood in broods if waiting else ():
        _put_below(below, brood)
    found: dict[str, Brood] = {}
    for laid, key, brood in sorted(waiting, key=lambda one: one[:2]):
        assert brood.dam is not None, "only a dam on record was put to a male"
        younger = _descendants(below, brood.young)
        sires = sires_by_matings(collection, brood.dam, laid, stored_sperm=stored_sperm, never=younger)
        found[key] = replace(brood, sires=weighed(sires))
        _put_below(below, found[key])
    return tuple(found.get(brood.key, brood) for brood in broods)


def _laid(collection: Collection, young: Animal) -> dt.date | None:
    """Day on which the clutch of a young was laid; None where its date is not known."""
    clutch = collection.clutches.get(young.clutch or "")
    return laying_day(clutch.laid if clutch else None, (clutch.hatched if clutch else None) or young.hatched)


def _put_below(below: dict[str, set[str]], brood: Brood) -> None:
    """Add the young of a brood to those of its possible parents."""
    for parent in (brood.dam, *(one.animal for one in brood.sires)):
        if parent is not None:
            below.setdefault(parent, set()).update(brood.young)


def _descendants(below: Mapping[str, Set[str]], animals: Iterable[str]) -> frozenset[str]:
    """Some animals and all that may descend from them."""
    seen: set[str] = set()
    stack = list(animals)
    while stack:
        one = stack.pop()
        if one not in seen:
            seen.add(one)
            stack.extend(below.get(one, ()))
    return frozenset(seen)


def weighed(sires: tuple[Candidate, ...]) -> tuple[Candidate, ...]:
    """Candidates with weights summing to 1; what is left over goes to a male that is not on record."""
    rest = 1.0 - sum(one.weight for one in sires)
    if rest > _NO_WEIGHT:
        return (*sires, Candidate(UNKNOWN_SIRE, rest))
    total = sum(one.weight for one in sires)
    return tuple(Candidate(one.animal, one.weight / total) for one in sires)
