"""Who else may be a parent of a brood, and how likely that was before any gene spoke.

The chance that a recorded parent is wrong is that of the species file (`wrong_parent`), shared by weight: the shares
here are assumptions, no source. Whoever was put to the other parent that season, or laid at that time, is likelier to
be meant than any other animal of the collection.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from holdback.answers.conflicts.conflict import Kind
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, PartialDate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.species.catalogue import Catalogue

_SEASON = dt.timedelta(days=330)
"""Longest time between a pairing and the young of it, incubation included."""
_LAST_SEASON = dt.timedelta(days=730)
_NEAR = dt.timedelta(days=7)
"""Clutches that hatch within this time may be mixed up; the young of one clutch hatch within it."""
_YOUNGEST_PARENT = dt.timedelta(days=300)

_AT_THE_TIME, _ANY, _NOT_ON_RECORD = 10.0, 1.0, 2.0


@dataclass(frozen=True, slots=True)
class Rival:
    """An animal that may be the parent instead of the recorded one.

    Parameters
    ----------
    animal : str
        Id, or `UNKNOWN_SIRE` for one that is not on record.
    prior : float
        Chance of it before the genes of the young speak.
    kind : Kind
        Wrong sire, wrong dam or stored sperm.
    was_there : bool
        Whether a record of that season speaks for it.
    """

    animal: str
    prior: float
    kind: Kind
    was_there: bool = False


@dataclass(frozen=True)
class Breeders:
    """Who could have bred with whom, and when.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        Species, for how often a parent is wrong.
    family : Family
        Descent.
    """

    collection: Collection
    catalogue: Catalogue
    family: Family
    _descendants: dict[str, frozenset[str]] = field(default_factory=dict, repr=False)

    def rivals(self, brood: Brood, *, is_sire: bool) -> list[Rival]:
        """Other possible sires, or dams, with their chances.

        Together they have the chance of a wrong parent. Males put to the dam that season have ten times that: whoever
        had two males knows less than he wrote. Males of the season before have the chance of stored sperm.
        """
        there, stored = self._put_to(brood) if is_sire else (self._laid_about(brood), set())
        recorded = {one.animal for one in brood.sires} if is_sire else {brood.dam}
        weights: dict[str, float] = {UNKNOWN_SIRE: _NOT_ON_RECORD}
        kept: list[str] = []
        for animal in self.adults(brood, is_sire=is_sire):
            if animal in recorded:
                continue
            if animal in stored - there:
                kept.append(animal)
            elif animal in there or not self._has_left(animal):
                weights[animal] = _AT_THE_TIME if animal in there else _ANY
        wrong = self.catalogue.records["wrong_parent"].value
        kind = Kind.SIRE if is_sire else Kind.DAM
        total = sum(weights.values())
        if is_sire:
            total = sum(weight for one, weight in weights.items() if one not in there)
            weights |= {one: _AT_THE_TIME * total / len(there) for one in there & weights.keys()}
        found = [Rival(one, wrong * weight / total, kind, one in there) for one, weight in weights.items()]
        share = self.catalogue.records["stored_sperm"].value / max(len(kept), 1)
        return found + [Rival(one, share, Kind.STORED, was_there=True) for one in kept]

    def is_misdated(self, brood: Brood) -> bool:
        """Whether the recorded dam has a clutch of that season which hatched on other days."""
        day = self.day_of(brood)
        if day is None or brood.dam is None or brood.key in self.collection.clutches:
            return False
        days = [
            self.day_of(other)
            for other in self.family.broods_of_parent.get(brood.dam, ())
            if other.key != brood.key and other.dam == brood.dam
        ]
        apart = [abs(other - day) for other in days if other is not None]
        return bool(apart) and _NEAR < min(apart) < _SEASON / 2

    def is_open(self, brood: Brood) -> bool:
        """Whether no sire is recorded for a brood."""
        return not self.collection.animals[brood.young[0]].sires

    def adults(self, brood: Brood, *, is_sire: bool) -> Iterator[str]:
        """Animals of the right sex that were old enough and do not descend from the brood."""
        sex = Sex.MALE if is_sire else Sex.FEMALE
        day = self.day_of(brood)
        below = self._below(brood)
        for animal in self.collection.animals.values():
            if animal.sex is sex and animal.id not in below and _is_old_enough(animal, day):
                yield animal.id

    def mates_of_season(self, brood: Brood) -> list[str]:
        """Males on record as put to the dam in the season of a brood."""
        return sorted(self._put_to(brood)[0])

    def day_of(self, brood: Brood) -> dt.date | None:
        """First day on which a brood may have hatched; laid, where no hatch date is known."""
        clutch = self.collection.clutches.get(brood.key)
        dates = [self.collection.animals[young].hatched for young in brood.young]
        known = [date for date in [*dates, clutch.hatched if clutch else None] if date is not None]
        if known:
            return _exact_first(known).earliest
        return clutch.laid.earliest if clutch and clutch.laid else None

    def other_clutches(self, brood: Brood) -> list[Brood]:
        """Broods that hatched within two months of this one."""
        day = self.day_of(brood)
        if day is None:
            return []
        return [
            other
            for other in self.family.broods
            if other.key != brood.key
            and (when := self.day_of(other)) is not None
            and abs(when - day) <= dt.timedelta(days=60)
        ]

    def _put_to(self, brood: Brood) -> tuple[set[str], set[str]]:
        """Males put to the dam that season, and males of the season before whose sperm may have been kept."""
        day = self.day_of(brood)
        if day is None or brood.dam is None:
            return set(), set()
        there, before = set(), set()
        for mating in self.collection.matings_of(brood.dam):
            when = mating.apart or mating.together
            if mating.dam != brood.dam or when is None or when.earliest >= day:
                continue
            if day - when.earliest <= _SEASON:
                there.add(mating.sire)
            elif day - when.earliest <= _LAST_SEASON:
                before.add(mating.sire)
        for other in self.family.broods_of_parent.get(brood.dam, ()):
            laid = self.day_of(other)
            if other.dam == brood.dam and laid is not None and _SEASON / 2 < day - laid <= _LAST_SEASON:
                before.update(one.animal for one in other.sires)
        return there, before

    def _laid_about(self, brood: Brood) -> set[str]:
        """Females with a clutch that hatched about the same day."""
        day = self.day_of(brood)
        if day is None:
            return set()
        return {
            other.dam
            for other in self.family.broods
            if other.dam and (when := self.day_of(other)) is not None and abs(when - day) <= _NEAR
        }

    @cached_property
    def kept(self) -> tuple[str, ...]:
        """Animals that are, or were, a parent, and all that have not left the collection."""
        parents = self.family.broods_of_parent
        return tuple(one for one in self.collection.animals if one in parents or not self._has_left(one))

    def _has_left(self, animal: str) -> bool:
        status = self.collection.animals[animal].status.casefold()
        return "sold" in status or "died" in status or "for sale" in status

    def _below(self, brood: Brood) -> frozenset[str]:
        """The young of a brood and all that descends from them."""
        if brood.key not in self._descendants:
            found = set(brood.young)
            stack = list(brood.young)
            while stack:
                for other in self.family.broods_of_parent.get(stack.pop(), ()):
                    new = set(other.young) - found
                    found |= new
                    stack.extend(new)
            self._descendants[brood.key] = frozenset(found)
        return self._descendants[brood.key]


def _exact_first(dates: list[PartialDate]) -> PartialDate:
    """Earliest date of those known best."""
    return min(dates, key=lambda date: (not date.day, not date.month, date.earliest))


def _is_old_enough(animal: Animal, day: dt.date | None) -> bool:
    return animal.hatched is None or day is None or animal.hatched.earliest + _YOUNGEST_PARENT <= day
