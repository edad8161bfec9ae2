"""What a reading supports as probabilities over genotypes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand.reading import ASSUMED, HELD_BACK, Copies, ReadGene, Reading
from holdback.heredity.shorthand.tokens import is_recessive
from holdback.species.model import WILD, Pair, pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_ONE: Copies = (0.0, 1.0, 0.0)


def belief_of(reading: Reading, catalogue: Catalogue, *, basis: Basis = Basis.CLAIMED) -> GenotypeBelief:
    """Probabilities over the genotypes of the animal that a text speaks of.

    Parameters
    ----------
    reading : Reading
        Text as read.
    catalogue : Catalogue
        Its species.
    basis : Basis
        How the statements are known; chances that the text does not give are marked as assumed in any case.

    Returns
    -------
    GenotypeBelief
        A locus is listed where the text states something of it. Not listed are genes of `Reading.unstated`, save one
        that shows with one or two copies: it enters with one copy, the least that is shown, marked as assumed.

    Notes
    -----
    Statements on alleles of one locus are taken as independent and then conditioned on what an animal can be: at most
    two copies in all, and no two hidden recessives of one complex together, since such an animal would show.
    """
    by_locus: dict[str, list[ReadGene]] = {}
    for gene in reading.genes:
        if gene.allele and gene.said != HELD_BACK and (gene.copies or gene.shown):
            by_locus.setdefault(gene.locus, []).append(gene)
    loci: dict[str, dict[Pair, float]] = {}
    basis_of: dict[str, Basis] = {}
    phase: dict[str, float] = {}
    for locus, genes in by_locus.items():
        loci[locus] = pairs_of(genes, catalogue)
        is_assumed = any(gene.said == ASSUMED or gene.copies is None for gene in genes)
        basis_of[locus] = Basis.ASSUMED if is_assumed else basis
        makers = {gene.maker for gene in genes} - {""}
        if makers and len(genes) == 1:
            phase[locus] = 1.0 if makers == {"male maker"} else 0.0
    return GenotypeBelief(sex=reading.sex, loci=loci, phase=phase, basis=basis_of)


def pairs_of(genes: Sequence[ReadGene], catalogue: Catalogue) -> dict[Pair, float]:
    """Probabilities over the pairs of one locus that statements on its alleles give; see `belief_of`."""
    hidden = {gene.allele for gene in genes if gene.shown is False and is_recessive(catalogue.alleles[gene.allele])}
    odds: dict[Pair, float] = {}
    contrary: dict[Pair, float] = {}
    choices = [[(n, chance) for n, chance in enumerate(gene.copies or _ONE) if chance > 0] for gene in genes]
    for drawn in product(*choices):
        alleles = [gene.allele for gene, (n, _) in zip(genes, drawn, strict=True) for _ in range(n)]
        if len(alleles) > 2:
            continue
        probability = 1.0
        for _, chance in drawn:
            probability *= chance
        full = [*alleles, *[WILD] * (2 - len(alleles))]
        target = contrary if len(alleles) == 2 and set(alleles) <= hidden else odds
        key = pair(full[0], full[1])
        target[key] = target.get(key, 0.0) + probability
    odds = odds or contrary
    total = sum(odds.values())
    return {key: probability / total for key, probability in odds.items()}
