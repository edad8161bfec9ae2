"""Which records can move what an animal carries, sorted as a breeder would: above it, itself, beside it, below it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from holdback.collection.model import NO_SIRE
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.evidence import GeneRecord, LocusEvidence, RecordKind


@dataclass(frozen=True)
class Kin:
    """The kin of one animal.

    Parameters
    ----------
    family : Family
        Who descends from whom.
    animal : str
        The animal asked about.
    """

    family: Family
    animal: str

    @cached_property
    def brood(self) -> Brood | None:
        """Brood that it hatched in."""
        return self.family.brood_of(self.animal)

    @cached_property
    def ancestors(self) -> frozenset[str]:
        """Everything recorded above it, candidate sires among them."""
        return self.family.ancestors(self.animal)

    @cached_property
    def young(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Its recorded young by mate; where the sire is doubtful all candidates are the mate."""
        found: dict[tuple[str, ...], list[str]] = {}
        for brood in self.family.broods_of_parent.get(self.animal, ()):
            found.setdefault(self._mate(brood), []).extend(brood.young)
        return {mate: tuple(young) for mate, young in found.items()}

    def _mate(self, brood: Brood) -> tuple[str, ...]:
        if brood.dam == self.animal:
            return tuple(one.animal for one in brood.sires)
        return (brood.dam,) if brood.dam else ()

    @cached_property
    def below(self) -> frozenset[str]:
        """All its recorded descendants."""
        return frozenset(self._descendants([self.animal]))

    @cached_property
    def sibs(self) -> tuple[str, ...]:
        """Clutch mates, and young of other clutches of the same parents."""
        if self.brood is None:
            return ()
        same = [each for each in self._broods_of(self._parent()) if self._is_same(each)]
        return tuple(one for brood in same for one in brood.young if one != self.animal)

    def _parent(self) -> str:
        parents = self.family.parents(self.animal)
        return parents[-1] if parents else ""

    def _broods_of(self, parent: str) -> tuple[Brood, ...]:
        assert self.brood is not None
        return self.family.broods_of_parent.get(parent, (self.brood,))

    def _is_same(self, brood: Brood) -> bool:
        """Whether a brood has the parents of the animal; parents that are not on record are its own alone."""
        own = self.brood
        assert own is not None
        is_known = own.dam is not None and all(one.animal != UNKNOWN_SIRE for one in own.sires)
        return brood is own or (is_known and (brood.dam, brood.sires) == (own.dam, own.sires))

    def descendants_by_mate(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Its descendants by the mate they come through; one that comes through several is told once."""
        found: dict[tuple[str, ...], tuple[str, ...]] = {}
        told: set[str] = set()
        for mate, young in self.young.items():
            every = dict.fromkeys([*young, *self._descendants(young)])
            found[mate] = tuple(one for one in every if one not in told)
            told.update(every)
        return found

    def sibs_with_young(self) -> tuple[str, ...]:
        """Full sibs and all that descends from them, without the animal's own young."""
        every = dict.fromkeys([*self.sibs, *self._descendants(self.sibs)])
        return tuple(one for one in every if one not in self.below and one != self.animal)

    def half_sibs(self, parent: str) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Other young of a parent, by its mate; without the animal's own, where the parent is its mate too."""
        ours = {self.animal, *self.sibs, *self.below}
        found = {mate: tuple(one for one in young if one not in ours) for mate, young in self._of(parent).young.items()}
        return {mate: young for mate, young in found.items() if young}

    def _of(self, animal: str) -> Kin:
        return Kin(self.family, animal)

    def _descendants(self, animals: Iterable[str]) -> Iterator[str]:
        seen = set(animals)
        stack = list(animals)
        while stack:
            for brood in self.family.broods_of_parent.get(stack.pop(0), ()):
                for one in brood.young:
                    if one not in seen:
                        seen.add(one)
                        stack.append(one)
                        yield one

    @cached_property
    def piece(self) -> tuple[str, ...]:
        """Every animal that is joined to it by parentage."""
        return next(piece for piece in self.family.pieces if self.animal in piece)


@dataclass(frozen=True, slots=True)
class Group:
    """Records that are weighed together.

    Parameters
    ----------
    kind : str
        "parents", "relatives", "look", "claim", "sibs" or "young".
    records : tuple of GeneRecord
        Those that count; at least one.
    mate : tuple of str
        For young: the other parent, all candidates where it is doubtful.
    """

    kind: str
    records: tuple[GeneRecord, ...]
    mate: tuple[str, ...] = ()

    @property
    def keys(self) -> frozenset[str]:
        """Keys of the records."""
        return frozenset(record.key for record in self.records)


def groups_of(kin: Kin, locus: LocusEvidence) -> tuple[Group, ...]:
    """Records at a locus in the order in which a breeder reasons; groups without a record are left out.

    Notes
    -----
    What stands above the animal comes first, then other kin, its own look, what is said of it, its sibs, its young by
    mate. The records of its mates are with the other kin, so that they stay where its young are left out.
    """
    sibs = kin.sibs_with_young()
    aside = {kin.animal, *kin.below, *sibs, *kin.ancestors}
    parts = [
        Group("parents", _counted(locus, [one for one in kin.piece if one in kin.ancestors])),
        Group("relatives", _counted(locus, [one for one in kin.piece if one not in aside])),
        Group("look", tuple(one for one in _counted(locus, [kin.animal]) if one.kind is not RecordKind.CLAIM)),
        Group("claim", tuple(one for one in _counted(locus, [kin.animal]) if one.kind is RecordKind.CLAIM)),
        Group("sibs", _counted(locus, sibs)),
    ]
    parts += [Group("young", _counted(locus, below), mate) for mate, below in kin.descendants_by_mate().items()]
    return tuple(part for part in parts if part.records)


def _counted(locus: LocusEvidence, animals: Iterable[str]) -> tuple[GeneRecord, ...]:
    return tuple(record for one in animals for record in locus.records.get(one, ()) if record.counted)


def known_parents(kin: Kin) -> tuple[tuple[str, str], ...]:
    """Role and id of every recorded possible parent: ("sire", id) before ("dam", id)."""
    brood = kin.brood
    if brood is None:
        return ()
    sires = [("sire", one.animal) for one in brood.sires if one.animal not in (NO_SIRE, UNKNOWN_SIRE)]
    return (*sires, *([("dam", brood.dam)] if brood.dam else []))
