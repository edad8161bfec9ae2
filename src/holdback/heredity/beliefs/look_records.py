"""Records of what animals show, at one locus.

A named look of an animal with an unrecorded parent is taken otherwise than that of an animal whose parents explain it.
Nobody keeps an animal of unknown descent at random: it was bought for the look it is recorded with. So the errors of
recording are shares of the animals that are recorded with that look, not of the population, where the look may be far
rarer than the error. In the likelihood of a look that is commoner in the population than the recorded one, it is
therefore scaled down to the share of the recorded one. An assumption, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from holdback.heredity.beliefs.evidence import FloatArray, GeneRecord, RecordKind
from holdback.heredity.beliefs.looks import LocusLooks, frozen
from holdback.heredity.beliefs.stated import copies_seen, left_shown, looks_with, stated_looks
from holdback.heredity.beliefs.texts import TextAtLocus, TextGenes
from holdback.heredity.beliefs.told import Told
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD

_NOTHING = TextAtLocus()


@dataclass(frozen=True, eq=False)
class Seen:
    """What is on record of the look of one animal at one locus.

    Parameters
    ----------
    animal : str
        Id.
    text : TextGenes
        Its gene text.
    told : sequence of Told
        What was seen of single genes, or looked for and not seen.
    has_unknown_parent : bool
        True where a parent is not on record.
    hidden_by : str
        Locus whose look would hide what was seen; empty where there is none.
    is_hidden : bool
        True where a look that the animal shows hides this locus: its text then says nothing of looks here.
    """

    animal: str
    text: TextGenes
    told: Sequence[Told] = ()
    has_unknown_parent: bool = False
    hidden_by: str = ""
    is_hidden: bool = False


@dataclass(frozen=True, eq=False)
class LookRecords:
    """Maker of the records of looks at one locus.

    Parameters
    ----------
    looks : LocusLooks
        Looks of the alleles in play.
    population : float array, shape (n, n)
        Hardy-Weinberg chances of the ordered genotypes; sums to 1.
    catalogue : Catalogue
        Species.
    described_as : str
        Words for the genes of the locus: "Clown", "Lesser or Mojave".
    below : mapping of str to frozenset of str
        Standing allele to the animals that have a recorded ancestor whose record names it.
    """

    looks: LocusLooks
    population: FloatArray
    catalogue: Catalogue
    described_as: str
    below: Mapping[str, frozenset[str]]
    _bought: dict[frozenset[str], FloatArray] = field(default_factory=dict)

    def of(self, seen: Seen) -> Iterator[GeneRecord]:
        """Records of one animal: the look by its text, and what was stated in the place of it."""
        here = seen.text.loci.get(self.looks.locus, _NOTHING)
        kept = left_shown(here.shown, seen.told, self.catalogue) if not seen.is_hidden else []
        shown = [one for one in seen.told if not one.is_absent]
        if seen.text.is_described and not seen.is_hidden and not here.is_silent and not shown:
            if not seen.told:
                yield self._by_text(seen, here.looks or self.looks.wild, self._words(seen.text, here))
            elif kept:
                supports = [(gene.allele, copies_seen(gene.copies)) for gene in kept]
                looks = looks_with(supports, self.looks.locus, self.catalogue)
                yield self._by_text(seen, looks, f"shows {' '.join(gene.name for gene in kept)}")
        looks_of = stated_looks(shown, kept, self.looks.locus, self.catalogue)
        for one in seen.told:
            is_bought = shown[:1] == [one] and self._is_bought(seen, looks_of[one.allele])
            yield self._stated(seen, one, looks_of.get(one.allele, frozenset()), is_bought=is_bought)

    def _by_text(self, seen: Seen, looks: frozenset[str], words: str) -> GeneRecord:
        likelihood, wrong = self.looks.record(looks)
        if self._is_bought(seen, looks):
            likelihood = self._as_bought(looks)
        key = f"look:{seen.animal}:{self.looks.locus}"
        return GeneRecord(key, seen.animal, RecordKind.LOOK, words, likelihood, wrong)

    def _is_bought(self, seen: Seen, looks: frozenset[str]) -> bool:
        """Whether a look tells of a parent that is not on record: recorded ancestors name less than it needs."""
        if not seen.has_unknown_parent or looks & self.looks.wild:
            return False
        fits = self.looks.fits(looks)
        needed = min(((first > 0) + (second > 0) for first, second in fits), default=0)
        alleles = {self.looks.alleles[number] for each in fits for number in each} - {WILD}
        named = all(seen.animal in self.below.get(allele, frozenset()) for allele in alleles)
        return needed == 2 or not named

    def _as_bought(self, looks: frozenset[str]) -> FloatArray:
        """Likelihood of a named look in an animal of unknown descent; float array, shape (n, n)."""
        made = self._bought.get(looks)
        if made is None:
            likelihood, wrong = self.looks.record(looks)
            shares = np.bincount(self.looks.look_of.ravel(), weights=self.population.ravel())[self.looks.look_of]
            recorded = self.population[~wrong].sum()
            scale = np.where(wrong, recorded / np.maximum(shares, recorded), 1.0)
            made = self._bought[looks] = frozen(likelihood * scale)
        return made

    def _words(self, text: TextGenes, here: TextAtLocus) -> str:
        if not here.looks:
            return "looks normal" if text.is_normal else f"described without {self.described_as}"
        verb = "may show" if self.looks.wild & here.looks else "shows"
        if len(here.shown) == 1 and here.shown[0].copies is not None and not here.shown[0].copies[2]:
            return f"{verb} {here.shown[0].name}"
        labels = [look.label for look in self.looks.looks if look.key in here.looks and look.label]
        return f"{verb} {' or '.join(labels)}"

    def _stated(self, seen: Seen, told: Told, looks: frozenset[str], *, is_bought: bool) -> GeneRecord:
        """Record of one gene that was seen, or looked for and not seen."""
        statement = told.statement
        absent = self.looks.without(told.allele, self.catalogue)
        likelihood, wrong = self.looks.record(absent if told.is_absent else looks)
        if is_bought:
            likelihood = self._as_bought(looks)
        if statement.none > 0.0 and not told.is_absent:
            unseen, not_absent = self.looks.record(absent)
            likelihood = self._mixed(likelihood, unseen, statement.none, is_bought=is_bought)
            wrong = wrong & not_absent
        likelihood = self._mixed(likelihood, np.ones_like(likelihood), 1.0 - statement.trust, is_bought=is_bought)
        return GeneRecord(
            key=f"seen:{seen.animal}:{told.allele}:{told.number}",
            animal=seen.animal,
            kind=RecordKind.LOOK,
            words=self._stated_words(told, looks),
            likelihood=frozen(likelihood),
            wrong=wrong,
            by=statement.by,
            date=statement.date,
            hidden_by=seen.hidden_by if told.is_absent else "",
        )

    def _mixed(self, sure: FloatArray, other: FloatArray, chance: float, *, is_bought: bool) -> FloatArray:
        """Likelihood where another holds with some chance, both brought to the mean of the first.

        Notes
        -----
        The mean is taken over genotypes; for an animal of unknown descent over the population, so that its belief is
        the mixture of the two beliefs.
        """
        if not chance:
            return sure
        among = self.population if is_bought else np.triu(np.ones_like(sure))
        weights = among / among.sum()
        mixed: FloatArray = (1.0 - chance) * sure + chance * other * ((weights * sure).sum() / (weights * other).sum())
        return mixed

    def _stated_words(self, told: Told, looks: frozenset[str]) -> str:
        if told.is_absent:
            return f"{told.name} looked for and not seen"
        labels = [look.label for look in self.looks.looks if look.key in looks and look.label]
        words = told.name if told.copies[1] > 0.0 or not labels else " or ".join(labels)
        return f"shows {words}" if told.copies[0] <= 0.0 else f"may show {words}"
