"""What the percentages on a brood say of the parents that the keeper had in mind.

A percentage is arithmetic on the parents. Where it does not follow from the recorded ones and does from others, the
others were probably meant: by the odds of a claim that holds, once for each gene. Where it follows from the recorded
parents it says nothing, because a wrong parent is written down with the percentages that belong to it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from holdback.answers.conflicts.papers import FAR_OFF
from holdback.collection.collection import Collection
from holdback.descent.family import Brood
from holdback.heredity.beliefs.evidence import FloatArray
from holdback.heredity.beliefs.texts import text_genes
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, pair

Gametes = Callable[[str], FloatArray]
"""Locus to the chance of each allele in a gamete of one parent, shape (n_alleles,)."""


@dataclass(frozen=True, slots=True)
class _Written:
    locus: str
    number: int
    chance: float


@dataclass(frozen=True)
class WrittenPercentages:
    """Percentages on the young of a brood that the recorded parents do not give.

    Parameters
    ----------
    unmet : tuple
        Gene by gene, what is written.
    log_odds : float
        What one of them adds to parents that give it.
    """

    unmet: tuple[_Written, ...]
    log_odds: float

    def log_factor(self, sire: Gametes, dam: Gametes) -> float:
        """Logarithm of the factor on other parents."""
        return self.log_odds * sum(_fits(one, sire, dam) for one in self.unmet)


def written_percentages(
    brood: Brood, collection: Collection, catalogue: Catalogue, alleles: dict[str, tuple[str, ...]], *, sire: Gametes,
    dam: Gametes,
) -> WrittenPercentages:  # fmt: skip
    """Percentages on a brood against its recorded parents.

    Parameters
    ----------
    brood : Brood
        Clutch mates.
    collection, catalogue
        Records and species.
    alleles : dict of str to tuple of str
        Locus to the alleles in play.
    sire, dam : callable
        Gametes of the recorded parents, as they were known without the brood.
    """
    written = dict.fromkeys(each for young in brood.young for each in _of(young, collection, catalogue, alleles))
    trust = catalogue.records["claim_trust"].value
    unmet = tuple(one for one in written if not _fits(one, sire, dam))
    return WrittenPercentages(unmet, math.log(trust / (1.0 - trust)))


def _of(
    animal: str, collection: Collection, catalogue: Catalogue, alleles: dict[str, tuple[str, ...]]
) -> Iterator[_Written]:
    for locus, here in text_genes(collection.animals[animal].genes, catalogue).loci.items():
        for claim in here.claims:
            allele = catalogue.stands_for(claim.gene.allele)
            is_hidden = not catalogue.look(locus, pair(WILD, allele)).label
            if claim.gene.copies is not None and is_hidden and allele in alleles.get(locus, ()):
                yield _Written(locus, alleles[locus].index(allele), round(1.0 - claim.gene.copies[0], 6))


def _fits(one: _Written, sire: Gametes, dam: Gametes) -> bool:
    """Whether a young of these parents that does not show a recessive carries it about as often as is written."""
    by_sire, by_dam = float(sire(one.locus)[one.number]), float(dam(one.locus)[one.number])
    single = by_sire + by_dam - 2.0 * by_sire * by_dam
    plain = 1.0 - by_sire * by_dam
    return bool(np.abs(single / max(plain, 1e-9) - one.chance) <= FAR_OFF)
