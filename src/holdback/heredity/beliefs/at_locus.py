"""Look and claim records of every animal at one locus."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from holdback.heredity.beliefs.claims import claim_in_words, claim_likelihood, copies_of
from holdback.heredity.beliefs.evidence import FloatArray, GeneRecord, RecordKind
from holdback.heredity.beliefs.looks import BoolArray, LocusLooks, frozen
from holdback.heredity.beliefs.stated import copies_seen, left_shown, looks_with, stated_looks
from holdback.heredity.beliefs.texts import TextAtLocus, TextClaim, TextGenes
from holdback.heredity.beliefs.told import Told
from holdback.heredity.shorthand.reading import Copies, ReadGene
from holdback.species.catalogue import Catalogue

_NOTHING = TextAtLocus()


@dataclass(frozen=True, eq=False)
class LocusRecords:
    """Maker of the records at one locus.

    Parameters
    ----------
    looks : LocusLooks
        Looks of the alleles in play.
    population : float array, shape (n, n)
        Chances of the ordered genotypes of an animal of unknown descent.
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
    _claims: dict[tuple[int, Copies, float], tuple[FloatArray, BoolArray]] = field(default_factory=dict)

    @property
    def locus(self) -> str:
        """Locus key."""
        return self.looks.locus

    def records(
        self, animal: str, text: TextGenes, told: Sequence[Told], *, hidden_by: str, is_hidden: bool
    ) -> Iterator[GeneRecord]:
        """Records of one animal.

        Parameters
        ----------
        animal : str
            Id.
        text : TextGenes
            Its gene text.
        told : sequence of Told
            Statements on this locus that count.
        hidden_by : str
            Locus whose look would hide what was seen here; for records of what was seen on single genes.
        is_hidden : bool
            True where a look that the animal shows hides this locus: the text then says nothing of looks here.
        """
        seen = [one for one in told if one.is_seen]
        here = text.loci.get(self.locus, _NOTHING)
        if text.is_described and not is_hidden:
            record = self._text_look(animal, text, here, seen)
            if record is not None:
                yield record
        shown = [one for one in seen if not one.is_absent]
        kept = left_shown(here.shown, seen, self.catalogue) if not is_hidden else []
        looks = stated_looks(shown, kept, self.locus, self.catalogue)
        for one in seen:
            yield self._seen(animal, one, looks.get(one.allele, frozenset()), hidden_by=hidden_by)
        yield from self._claims_of(animal, here, told, is_hidden=is_hidden)

    def _text_look(self, animal: str, text: TextGenes, here: TextAtLocus, seen: Sequence[Told]) -> GeneRecord | None:
        """Look by the text; None where statements stand in its place, or nothing certain is said."""
        if here.is_silent:
            return None
        looks, words = here.looks, self._words(text, here)
        if seen:
            left = left_shown(here.shown, seen, self.catalogue)
            if not left or not all(one.is_absent for one in seen):
                return None
            looks = looks_with([(gene.allele, copies_seen(gene.copies)) for gene in left], self.locus, self.catalogue)
            words = f"shows {' '.join(gene.name for gene in left)}"
        likelihood, wrong = self.looks.record(looks or self.looks.wild)
        return GeneRecord(f"look:{animal}:{self.locus}", animal, RecordKind.LOOK, words, likelihood, wrong)

    def _words(self, text: TextGenes, here: TextAtLocus) -> str:
        if not here.looks:
            return "looks normal" if text.is_normal else f"described without {self.described_as}"
        verb = "may show" if self.looks.wild & here.looks else "shows"
        if len(here.shown) == 1 and here.shown[0].copies is not None and not here.shown[0].copies[2]:
            return f"{verb} {here.shown[0].name}"
        labels = [look.label for look in self.looks.looks if look.key in here.looks and look.label]
        return f"{verb} {' or '.join(labels)}"

    def _seen(self, animal: str, told: Told, looks: frozenset[str], *, hidden_by: str) -> GeneRecord:
        """Record of one gene that was seen, or looked for and not seen."""
        statement = told.statement
        absent = self.looks.without(told.allele, self.catalogue)
        if told.is_absent or not looks:
            likelihood, wrong = self.looks.record(absent)
        else:
            likelihood, wrong = self.looks.record(looks)
            if statement.none > 0.0:
                unseen, not_absent = self.looks.record(absent)
                likelihood = (1.0 - statement.none) * likelihood + statement.none * unseen
                wrong = wrong & not_absent
        if statement.trust < 1.0:
            mean = likelihood[np.triu_indices(len(likelihood))].mean()
            likelihood = statement.trust * likelihood + (1.0 - statement.trust) * mean
        return GeneRecord(
            key=f"seen:{animal}:{told.allele}:{told.number}",
            animal=animal,
            kind=RecordKind.LOOK,
            words=self._seen_words(told, looks),
            likelihood=frozen(likelihood),
            wrong=wrong,
            by=statement.by,
            date=statement.date,
            hidden_by=hidden_by,
        )

    def _seen_words(self, told: Told, looks: frozenset[str]) -> str:
        if told.is_absent:
            return f"{told.name} looked for and not seen"
        labels = [look.label for look in self.looks.looks if look.key in looks and look.label]
        words = told.name if told.copies[1] > 0.0 or not labels else " or ".join(labels)
        return f"shows {words}" if told.copies[0] <= 0.0 else f"may show {words}"

    def _claims_of(
        self, animal: str, here: TextAtLocus, told: Sequence[Told], *, is_hidden: bool
    ) -> Iterator[GeneRecord]:
        replaced = {one.allele for one in told if not (one.is_seen and one.is_absent)}
        for claim in self._text_claims(here, is_hidden=is_hidden):
            yield self._text_claim(animal, claim, replaced)
        for one in told:
            if not one.is_seen:
                yield self._told_claim(animal, one)

    def _text_claims(self, here: TextAtLocus, *, is_hidden: bool) -> list[TextClaim]:
        """Claims of a text, among them what is named but cannot be told from the look; one for each allele."""
        named = [
            TextClaim(gene) for gene in here.shown if gene.shown and (is_hidden or self._is_beyond(gene, here.shown))
        ]
        by_allele: dict[str, TextClaim] = {}
        for claim in [*here.claims, *named]:
            allele = self.catalogue.stands_for(claim.gene.allele)
            first = by_allele.get(allele)
            by_allele[allele] = claim if first is None else _both(first, claim, self.catalogue.alleles[allele].name)
        return list(by_allele.values())

    def _is_beyond(self, gene: ReadGene, shown: Sequence[ReadGene]) -> bool:
        """Whether the text gives a shown gene more copies than its look proves."""
        if gene.copies is None:
            return False
        standing = self.catalogue.stands_for(gene.allele)
        looks = looks_with([(each.allele, copies_seen(each.copies)) for each in shown], self.locus, self.catalogue)
        said = sum(
            min(copies_seen(each.copies)) for each in shown if self.catalogue.stands_for(each.allele) == standing
        )
        number = copies_of(self.looks.alleles.index(standing), len(self.looks.alleles))
        fits = np.isin(self.looks.look_of, [index for index, look in enumerate(self.looks.looks) if look.key in looks])
        return bool((fits & (number < said)).any())

    def _text_claim(self, animal: str, claim: TextClaim, replaced: set[str]) -> GeneRecord:
        gene = claim.gene
        allele = self.catalogue.stands_for(gene.allele)
        repeats = animal in self.below.get(allele, frozenset()) and not claim.is_proven
        trust = self.catalogue.records["claim_trust"].value
        likelihood, wrong = self._claim(allele, gene.copies, trust)
        words = claim_in_words(gene.copies, gene.source, gene.name, gene.allele, catalogue=self.catalogue)
        return GeneRecord(
            key=f"claim:{animal}:{allele}",
            animal=animal,
            kind=RecordKind.CLAIM,
            words=words.replace("het", "proven het", 1) if claim.is_proven else words,
            likelihood=likelihood,
            wrong=wrong,
            counted=gene.copies is not None and not repeats and allele not in replaced,
        )

    def _told_claim(self, animal: str, told: Told) -> GeneRecord:
        statement = told.statement
        likelihood, wrong = self._claim(told.allele, told.copies, statement.trust)
        return GeneRecord(
            key=f"claim:{animal}:{told.allele}:{told.number}",
            animal=animal,
            kind=RecordKind.CLAIM,
            words=claim_in_words(told.copies, "", told.name, told.allele, catalogue=self.catalogue),
            likelihood=likelihood,
            wrong=wrong,
            by=statement.by,
            date=statement.date,
            counted=told.is_tested or animal not in self.below.get(told.allele, frozenset()),
        )

    def _claim(self, allele: str, copies: Copies | None, trust: float) -> tuple[FloatArray, BoolArray]:
        """Likelihood of a claim, flat where it gives no chance."""
        if copies is None:
            return np.ones_like(self.population), np.zeros(self.population.shape, dtype=bool)
        number = self.looks.alleles.index(allele)
        made = self._claims.get((number, copies, trust))
        if made is None:
            made = self._claims[number, copies, trust] = claim_likelihood(copies, trust, number, self.population)
        return made


def _both(first: TextClaim, second: TextClaim, name: str) -> TextClaim:
    """One claim in the place of two on the same allele under two names: one copy of each where both say one."""
    copies = (0.0, 0.0, 1.0) if first.gene.copies == second.gene.copies == (0.0, 1.0, 0.0) else first.gene.copies
    return TextClaim(replace(first.gene, copies=copies, name=name), first.is_proven or second.is_proven)
