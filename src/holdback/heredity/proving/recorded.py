"""Trials of an odd animal, made from the records."""

from __future__ import annotations

from collections.abc import Collection as Names
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Animal, Sex
from holdback.errors import CrossError, Fault
from holdback.heredity.proving.trials import ITSELF, Look, OddAnimal, Partner, SexCounts, Trial

_Nest = tuple[str | None, str | None, str]
"""Dam, sire as far as certain, and clutch (without a clutch the hatch date)."""


def trials_of(
    collection: Collection, animal: str, shown: Names[str], stronger: Names[str] = ()
) -> tuple[OddAnimal, tuple[Trial, ...]]:
    """Odd animal and its trials, from the recorded young of it and of its descendants.

    Parameters
    ----------
    collection : Collection
        Checked records.
    animal : str
        Id of the odd animal.
    shown, stronger : collection of str
        Ids of animals that show its look, and of those with a more extreme one. Every other animal on record is normal.

    Returns
    -------
    odd : OddAnimal
        With its full sibs on record; a parent not on record is of unknown look.
    trials : tuple of Trial
        One for each clutch, parents' clutches first. Partners bear their ids.

    Raises
    ------
    CrossError
        PRV-009 if there is no such animal, PRV-010 if a parent of it shows the look too.

    Notes
    -----
    A clutch of which the animal or a descendant is only one of several candidate sires is left out, and so is one
    without a sire, with all that descends from either. A sire who is not certain counts as an unrelated normal one, and
    so does every mate that is neither descendant, parent, full sib nor among `shown`. Eggs that did not hatch have no
    look on record.
    """
    if animal not in collection.animals:
        hint = "Give the id of an animal of the collection."
        raise CrossError(Fault("PRV-009", f"{animal!r} is no animal of the collection.", hint, animal=animal))
    itself = collection.animals[animal]
    looks = _Looks(frozenset(shown) - {animal}, frozenset(stronger) - {animal})
    odd_parents = [parent for parent in (itself.sire, itself.dam) if parent and looks.of(parent) is not Look.NORMAL]
    if odd_parents:
        raise CrossError(
            Fault(
                "PRV-010", f"its parent {odd_parents[0]} shows the look too.", "Start from the parent.", animal=animal
            )
        )
    sibs = _full_sibs(collection, itself)
    odd = OddAnimal(
        key=animal,
        sex=itself.sex,
        sire_normal=itself.sire is not None,
        dam_normal=itself.dam is not None,
        sibs=looks.counted(sibs),
    )
    roles = _Roles(collection, itself, looks, frozenset(sib.id for sib in sibs))
    return odd, roles.trials()


@dataclass(frozen=True, slots=True)
class _Looks:
    """Who shows what."""

    shown: frozenset[str]
    stronger: frozenset[str]

    def of(self, animal: str) -> Look:
        """Look of an animal."""
        if animal in self.stronger:
            return Look.STRONGER
        return Look.ODD if animal in self.shown else Look.NORMAL

    def counted(self, young: Sequence[Animal]) -> tuple[SexCounts, SexCounts, SexCounts]:
        """Young by `Look` and sex."""
        normal, odd, stronger = (
            SexCounts(
                males=_number(young, self, look, Sex.MALE),
                females=_number(young, self, look, Sex.FEMALE),
                unknown=_number(young, self, look, Sex.UNKNOWN),
            )
            for look in Look
        )
        return normal, odd, stronger


def _number(young: Iterable[Animal], looks: _Looks, look: Look, sex: Sex) -> int:
    """Young of one look and sex."""
    return sum(1 for one in young if looks.of(one.id) is look and one.sex is sex)


@dataclass(frozen=True, slots=True)
class _Roles:
    """What every animal is to the odd one."""

    collection: Collection
    itself: Animal
    looks: _Looks
    sibs: frozenset[str]

    def trials(self) -> tuple[Trial, ...]:
        """Trials of the odd animal and its descendants; a clutch stands after those its parents hatched in."""
        waiting = self._nests()
        place: dict[str, int] = {self.itself.id: -1}
        trials: list[Trial] = []
        family = {self.itself.id} | {young.id for nest in waiting.values() for young in nest}
        while waiting:
            ready = [nest for nest in waiting if all(one in place for one in nest[:2] if one in family)]
            for nest in ready:
                young = waiting.pop(nest)
                trials.append(self._trial(nest, young, place))
                place.update({one.id: len(trials) - 1 for one in young})
        return tuple(trials)

    def _nests(self) -> dict[_Nest, list[Animal]]:
        """Young of the odd animal and its descendants, by clutch, in the order in which they were found."""
        line = _descendants(self.collection, self.itself.id)
        known = {self.itself.id}
        stack = [self.itself.id]
        while stack:
            for young in self.collection.offspring(stack.pop(0)):
                if young.id not in known and _parents_are_sure(young, line, known):
                    known.add(young.id)
                    stack.append(young.id)
        nests: dict[_Nest, list[Animal]] = {}
        for young in self.collection.animals.values():
            if young.id in known and young.id != self.itself.id:
                nests.setdefault(_nest(young), []).append(young)
        return nests

    def _trial(self, nest: _Nest, young: Sequence[Animal], place: dict[str, int]) -> Trial:
        """Trial of one clutch."""
        dam, sire, label = nest
        mother = self._partner(dam, Sex.FEMALE, place, f"unknown dam of {label}")
        father = self._partner(sire, Sex.MALE, place, f"unknown sire of {label}")
        parent, mate = (father, mother) if sire in place and dam != self.itself.id else (mother, father)
        normal, odd, stronger = self.looks.counted(young)
        return Trial(mate, odd, stronger, normal, parent, label)

    def _partner(self, animal: str | None, sex: Sex, place: dict[str, int], otherwise: str) -> Partner:
        """A parent as a partner, by what it is to the odd animal."""
        if animal is None:
            return Partner.unrelated(otherwise, sex)
        if animal == self.itself.id:
            return ITSELF
        look = self.looks.of(animal)
        if animal in place:
            return Partner.young(place[animal], animal, look=look, sex=sex)
        if animal in (self.itself.sire, self.itself.dam):
            return Partner.parent(sex)
        if animal in self.sibs:
            return Partner.sib(animal, look=look, sex=sex)
        return Partner.unrelated(animal, sex) if look is Look.NORMAL else Partner.other_odd(animal, sex)


def _descendants(collection: Collection, animal: str) -> frozenset[str]:
    """The animal and all that may descend from it."""
    found = {animal}
    stack = [animal]
    while stack:
        for young in collection.offspring(stack.pop()):
            if young.id not in found:
                found.add(young.id)
                stack.append(young.id)
    return frozenset(found)


def _parents_are_sure(young: Animal, line: frozenset[str], known: Names[str]) -> bool:
    """Whether each parent is either known to be of the family, or no possible descendant at all."""
    if any(one.animal == NO_SIRE for one in young.sires):
        return False
    possible = {one.animal for one in young.sires} if young.sire is None else {young.sire}
    sure = {parent for parent in (young.sire, young.dam) if parent in known}
    return bool(sure) and (possible | {young.dam}) & line <= sure


def _nest(young: Animal) -> _Nest:
    """What young of one clutch have in common."""
    return young.dam, young.sire, young.clutch or (str(young.hatched) if young.hatched else young.id)


def _full_sibs(collection: Collection, itself: Animal) -> list[Animal]:
    """Full sibs on record: of the same certain parents, or of the same clutch and the same candidates.

    A clutch without a sire has no full sibs in the sense meant here.
    """
    if any(one.animal == NO_SIRE for one in itself.sires):
        return []
    found = []
    for other in collection.animals.values():
        same_parents = itself.dam is not None and itself.sire is not None
        same_parents = same_parents and (other.dam, other.sire) == (itself.dam, itself.sire)
        same_clutch = itself.clutch is not None and other.clutch == itself.clutch and other.sires == itself.sires
        if other.id != itself.id and (same_parents or same_clutch):
            found.append(other)
    return found
