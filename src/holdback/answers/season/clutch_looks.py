"""The young of one clutch as they were seen, beside what its parents may be without them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.answers.season.before_young import Couple, brood_of_clutch, couples_before
from holdback.answers.season.foretold_looks import cross_of
from holdback.answers.season.told_looks import Alike, Young, told_look
from holdback.collection.model import EggOutcome
from holdback.descent.family import Brood
from holdback.heredity.beliefs import LocusEvidence
from holdback.heredity.crosses.looks import LookBook
from holdback.heredity.crosses.young import Cross, Part, PartKey
from holdback.season.egg_records import eggs_laid, slugs_of
from holdback.species.model import WILD

if TYPE_CHECKING:
    from holdback.answers.answers import Answers


@dataclass(frozen=True, eq=False)
class ClutchLooks:
    """One clutch: what was seen of its young, and its possible couples.

    Parameters
    ----------
    answers : Answers
        Of the collection.
    clutch : str
        Clutch id.
    brood : Brood
        Its young with their candidate sires.
    """

    answers: Answers
    clutch: str
    brood: Brood

    @classmethod
    def of(cls, answers: Answers, clutch: str) -> ClutchLooks | None:
        """The clutch; None where nothing can be foretold, or no young was looked at."""
        brood = brood_of_clutch(answers, clutch)
        found = None if brood is None else cls(answers, clutch, brood)
        return found if found is not None and found.every_young else None

    @property
    def evidence(self) -> Mapping[str, LocusEvidence]:
        """Loci of the collection with their records."""
        return self.answers.evidence.loci

    @cached_property
    def every_young(self) -> tuple[Young, ...]:
        """Young of which some look is on record."""
        catalogue, dead = self.answers.catalogue, self.answers.collection.died_in_egg
        found = []
        for one in self.brood.young:
            told = {
                key: told_look(locus.records[one], locus, catalogue)
                for key, locus in self.evidence.items()
                if one in locus.records
            }
            looks = {key: look for key, look in told.items() if look}
            if looks:
                found.append(Young(one, self.answers.collection.animals[one].sex, looks, one in dead))
        return tuple(found)

    @cached_property
    def couples(self) -> tuple[Couple, ...]:
        """What the parents may be, by all records but those of the young."""
        shown = {
            key
            for one in self.every_young
            for key, looks in one.looks.items()
            if self.answers.catalogue.look(key, (WILD, WILD)).key not in looks
        }
        return tuple(couples_before(self.answers, self.brood, also=shown))

    @cached_property
    def book(self) -> LookBook:
        """Looks asked of the catalogue."""
        return LookBook(self.answers.catalogue)

    @cached_property
    def crosses(self) -> tuple[Cross, ...]:
        """Each couple in parts."""
        parts: dict[PartKey, Part] = {}
        return tuple(cross_of(one, self.answers.catalogue, self.book, parts) for one in self.couples)

    @cached_property
    def alleles(self) -> dict[str, frozenset[str]]:
        """Alleles that a young may have, by locus in the order of the species file; only loci that may be told."""
        found: dict[str, set[str]] = {}
        for cross in self.crosses:
            for locus, alleles in cross.alleles.items():
                found.setdefault(locus, set()).update(alleles)
        return {locus: frozenset(found[locus] - {WILD}) for locus in self.answers.catalogue.loci if locus in found}

    @cached_property
    def all_counted(self) -> bool:
        """Whether every good egg has a young that was looked at: then those that died of their genes count too."""
        return self.unseen == 0 and self.n_good > 0

    @cached_property
    def young(self) -> tuple[Young, ...]:
        """Young that count: where their genes kill some in the egg and not all are seen, those that hatched."""
        if self.all_counted or all(part.all_live for cross in self.crosses for part in cross.parts):
            return self.every_young
        return tuple(one for one in self.every_young if not one.in_egg)

    @property
    def in_egg(self) -> bool:
        """Whether young that their genes kill in the egg are among those that count."""
        return self.all_counted

    @cached_property
    def n_good(self) -> int:
        """Good eggs on record, young without an egg of their own among them."""
        collection = self.answers.collection
        clutch = collection.clutches[self.clutch]
        good = eggs_laid(collection, clutch) - (slugs_of(collection, clutch) or 0)
        listed = sum(one.outcome is not EggOutcome.SLUG for one in collection.eggs_of(self.clutch))
        return max(good, listed, len(collection.clutch_mates(self.clutch)))

    @property
    def unseen(self) -> int:
        """Good eggs of which no look is on record."""
        return self.n_good - len(self.every_young)

    def alike(self, locus: str, young: Sequence[Young] = ()) -> Alike:
        """Which looks of a locus count as one, by eye and by the records of some young."""
        left_open = [one.looks[locus] for one in young if locus in one.looks]
        return Alike(self.evidence[locus], self.answers.catalogue, left_open)

    def name_of(self, allele: str) -> str:
        """Trade name by which the animals of the clutch go, where it is one; else that of the species file."""
        kin = [self.brood.dam or "", *(one.animal for one in self.brood.sires), *self.brood.young]
        names = {self.answers.names[one, allele] for one in kin if (one, allele) in self.answers.names}
        return names.pop() if len(names) == 1 else self.answers.catalogue.alleles[allele].name
