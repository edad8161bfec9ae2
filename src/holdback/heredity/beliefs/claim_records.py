"""Records of what is said of animals, at one locus."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from holdback.heredity.beliefs.claims import claim_in_words, claim_likelihood
from holdback.heredity.beliefs.evidence import FloatArray, GeneRecord, RecordKind
from holdback.heredity.beliefs.looks import BoolArray, LocusLooks, frozen
from holdback.heredity.beliefs.stated import copies_seen
from holdback.heredity.beliefs.texts import TextAtLocus, TextClaim, TextGenes
from holdback.heredity.beliefs.told import Told
from holdback.heredity.shorthand.reading import ASSUMED, Copies, ReadGene
from holdback.heredity.shorthand.tokens import is_recessive
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, pair

_NOTHING = TextAtLocus()

_HALF_SEEN = 0.5
"""How far "possible X" of a gene that shows is taken as a look (an assumption)."""


@dataclass(frozen=True, eq=False)
class ClaimRecords:
    """Maker of the records of claims at one locus.

    Parameters
    ----------
    looks : LocusLooks
        Looks of the alleles in play.
    population : float array, shape (n, n)
        Hardy-Weinberg chances of the ordered genotypes; sums to 1.
    catalogue : Catalogue
        Species.
    below : mapping of str to frozenset of str
        Standing allele to the animals that have a recorded ancestor whose record names it.
    descended : frozenset of str
        Animals with a recorded parent. A possibility without a number said of one is a guess at what its parents gave:
        of a gene that shows it counts as half a look, of a hidden one not at all.
    """

    looks: LocusLooks
    population: FloatArray
    catalogue: Catalogue
    below: Mapping[str, frozenset[str]]
    descended: frozenset[str] = frozenset()
    _made: dict[tuple[int, Copies | None, float, frozenset[str]], tuple[FloatArray, BoolArray]] = field(
        default_factory=dict
    )

    def of(self, animal: str, text: TextGenes, told: Sequence[Told], *, is_hidden: bool) -> Iterator[GeneRecord]:
        """Records of one animal.

        Parameters
        ----------
        animal : str
            Id.
        text : TextGenes
            Its gene text.
        told : sequence of Told
            Statements on this locus that count, seen and claimed.
        is_hidden : bool
            True where a look that the animal shows hides this locus: what the text names here is then a claim.
        """
        here = text.loci.get(self.looks.locus, _NOTHING)
        replaced = {one.allele for one in told if not (one.is_seen and one.is_absent)}
        for claim in self._text_claims(here, is_hidden=is_hidden):
            within = here.looks if claim.gene.shown and not is_hidden else frozenset()
            yield self._text_claim(animal, claim, replaced, within)
        for one in told:
            if not one.is_seen:
                yield self._told_claim(animal, one)

    def _text_claims(self, here: TextAtLocus, *, is_hidden: bool) -> list[TextClaim]:
        """Claims of a text, among them what is named but cannot be told from the look; one for each allele."""
        named = [TextClaim(gene) for gene in here.shown if gene.shown and (is_hidden or self._is_beyond(gene, here))]
        by_allele: dict[str, TextClaim] = {}
        for claim in [*here.claims, *named]:
            allele = self.catalogue.stands_for(claim.gene.allele)
            first = by_allele.get(allele)
            by_allele[allele] = claim if first is None else _both(first, claim, self.catalogue.alleles[allele].name)
        return list(by_allele.values())

    def _is_beyond(self, gene: ReadGene, here: TextAtLocus) -> bool:
        """Whether the text gives a shown gene more copies than its look proves."""
        if gene.copies is None:
            return False
        standing = self.catalogue.stands_for(gene.allele)
        said = sum(
            min(copies_seen(each.copies)) for each in here.shown if self.catalogue.stands_for(each.allele) == standing
        )
        number = self.looks.alleles.index(standing)
        return any(each.count(number) < said for each in self.looks.fits(here.looks - self.looks.wild))

    def _text_claim(self, animal: str, claim: TextClaim, replaced: set[str], within: frozenset[str]) -> GeneRecord:
        """Record of a claim of the text; `within` are the looks by which the rest of what it says is known."""
        gene = claim.gene
        allele = self.catalogue.stands_for(gene.allele)
        is_guess = gene.said == ASSUMED and animal in self.descended
        is_below = animal in self.below.get(allele, frozenset())
        if is_guess and not is_recessive(self.catalogue.alleles[gene.allele]):
            likelihood, wrong = self._half_seen(allele)
            counts = True
        else:
            trust = self.catalogue.records["claim_trust"].value
            likelihood, wrong = self._claim(allele, gene.copies, trust, within)
            counts = gene.copies is not None and (claim.is_proven or not (is_guess or is_below))
        words = claim_in_words(gene.copies, gene.source, gene.name, gene.allele, catalogue=self.catalogue)
        return GeneRecord(
            key=f"claim:{animal}:{allele}",
            animal=animal,
            kind=RecordKind.CLAIM,
            words=words.replace("said to be het", "said to be proven het") if claim.is_proven else words,
            likelihood=likelihood,
            wrong=wrong,
            counted=counts and allele not in replaced,
        )

    def _half_seen(self, allele: str) -> tuple[FloatArray, BoolArray]:
        """Likelihood of "may be X" on an animal of recorded parents: the look of one copy, as likely seen as guessed.

        A number would repeat the parents; the doubt itself says that there was something to see. An assumption.
        """
        key = self.looks.alleles.index(allele), None, _HALF_SEEN, frozenset[str]()
        if key not in self._made:
            look = self.catalogue.look(self.looks.locus, pair(WILD, allele)).key
            seen, _ = self.looks.record(frozenset({look}))
            likelihood = frozen(_HALF_SEEN * seen + (1.0 - _HALF_SEEN) * seen.mean())
            self._made[key] = likelihood, frozen(np.zeros(seen.shape, dtype=bool))
        return self._made[key]

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

    def _claim(
        self, allele: str, copies: Copies | None, trust: float, within: frozenset[str] = frozenset()
    ) -> tuple[FloatArray, BoolArray]:
        """Likelihood of a claim, flat where it gives no chance.

        Notes
        -----
        Where the claim says which of the genotypes of one look it is, the population is that of animals of this look.
        """
        if copies is None:
            return np.ones_like(self.population), np.zeros(self.population.shape, dtype=bool)
        number = self.looks.alleles.index(allele)
        key = number, copies, trust, within
        if key not in self._made:
            among = self.population
            if within:
                among = np.where(self.looks.record(within)[1], 0.0, among)
            self._made[key] = claim_likelihood(copies, trust, number, among / among.sum())
        return self._made[key]


def _both(first: TextClaim, second: TextClaim, name: str) -> TextClaim:
    """One claim in the place of two on the same allele under two names: one copy of each where both say one."""
    copies = (0.0, 0.0, 1.0) if first.gene.copies == second.gene.copies == (0.0, 1.0, 0.0) else first.gene.copies
    return TextClaim(replace(first.gene, copies=copies, name=name), first.is_proven or second.is_proven)
