"""What is asked of an animal at a locus: which allele, and whether it carries it or has two copies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from holdback.answers.grounds_weighed import Copies
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import GeneRecord, LocusEvidence, RecordKind
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Ease, pair

SURE = 0.995
"""Chance from which a thing is said to be sure."""

_SETTLED = 0.98


@dataclass(frozen=True, eq=False)
class Asked:
    """The question, and how to read records for it.

    Parameters
    ----------
    animal : str
        Id.
    locus : LocusEvidence
        The locus.
    allele : str
        Standing key of the allele.
    name : str
        Its trade name.
    copies : tuple of three floats
        Chances of no, one and two copies in the animal.
    n_copies : int
        1: does it carry it; 2: does it have two copies.
    is_hidden : bool
        Whether one copy does not show.
    missed : float
        Chance that its look goes unseen.
    is_plain : bool
        Whether its look is plain to the eye.
    """

    animal: str
    locus: LocusEvidence
    allele: str
    name: str
    copies: Copies
    n_copies: int
    is_hidden: bool
    missed: float
    is_plain: bool

    def chance(self, copies: Copies) -> float:
        """The chance asked for."""
        return copies[2] if self.n_copies == 2 else copies[1] + copies[2]

    @property
    def _number(self) -> int:
        return self.locus.alleles.index(self.allele)

    def is_shown_by(self, record: GeneRecord) -> bool:
        """Whether a look record says that the allele shows: without it the record is a mistake."""
        return record.kind is RecordKind.LOOK and _says_shown(record, self._number)

    def is_missing_by(self, record: GeneRecord) -> bool:
        """Whether a look record says that the allele does not show."""
        if record.kind is not RecordKind.LOOK:
            return False
        n = self._number
        is_wrong = record.wrong[n, n] if self.is_hidden else record.wrong[n].all()
        return bool(is_wrong) and not bool(record.wrong.all())

    def is_named(self, record: GeneRecord) -> bool:
        """Whether a record tells one copy of the allele from none."""
        return bool(record.likelihood[0, 0] != record.likelihood[0, self._number])

    def tally(self, animals: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Of some animals, those that are recorded to show the allele, and those that are recorded not to."""
        shown, missing = [], []
        for animal in animals:
            records = [one for one in self.locus.records.get(animal, ()) if one.counted]
            if any(self.is_shown_by(one) for one in records):
                shown.append(animal)
            elif any(self.is_missing_by(one) for one in records):
                missing.append(animal)
        return tuple(shown), tuple(missing)

    def shows(self, animal: str) -> bool:
        """Whether an animal is recorded to show the allele."""
        return bool(self.tally([animal])[0])


def asked_of(
    beliefs: Beliefs,
    catalogue: Catalogue,
    animal: str,
    locus: str,
    *,
    allele: str = "",
    names: Mapping[tuple[str, str], str] | None = None,
) -> Asked:
    """Question at one locus; without an allele, that of the one the animal likeliest carries."""
    one = beliefs.evidence.loci[locus]
    pairs = beliefs.at(animal, locus)
    carried = {key: sum(chance for each, chance in pairs.items() if key in each) for key in one.alleles if key != WILD}
    chosen = allele or max(carried, key=lambda key: carried[key])
    if chosen not in carried:
        raise KeyError(chosen)
    copies = beliefs.copies(animal, locus, chosen)
    single = catalogue.look(locus, pair(WILD, chosen))
    shown = single if single.label else catalogue.look(locus, (chosen, chosen))
    entry = catalogue.alleles[chosen]
    return Asked(
        animal=animal,
        locus=one,
        allele=chosen,
        name=(names or {}).get((animal, chosen), entry.name),
        copies=copies,
        n_copies=_n_asked(copies, _is_shown(one, animal, chosen), is_hidden=not single.label),
        is_hidden=not single.label,
        missed=entry.missed,
        is_plain=shown.ease is Ease.PLAIN,
    )


def _is_shown(locus: LocusEvidence, animal: str, allele: str) -> bool:
    number = locus.alleles.index(allele)
    records = (one for one in locus.records.get(animal, ()) if one.kind is RecordKind.LOOK and one.counted)
    return any(_says_shown(one, number) for one in records)


def _says_shown(record: GeneRecord, number: int) -> bool:
    """Whether a look record is a mistake wherever an allele is missing."""
    without = [index for index in range(len(record.wrong)) if index != number]
    return bool(record.wrong[:, without][without].all())


def _n_asked(copies: Copies, is_shown: bool, *, is_hidden: bool) -> int:
    if is_hidden:
        return 2 if is_shown or copies[2] > 0.5 else 1
    return 2 if copies[0] < 1.0 - _SETTLED and copies[2] > 1.0 - _SETTLED else 1
