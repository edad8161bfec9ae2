"""One locus handed from two believed parents to one young, with sex linkage.

In the heterogametic sex a sex-linked locus recombines with the sex-determining region at fraction r: an allele on the
sex-limited chromosome (Y in an XY species) goes to a heterogametic young with 1 - r and to the other sex with r.
Source of the model: see the species file at the locus.
"""

from __future__ import annotations

from holdback.collection.model import Sex
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.catalogue import Catalogue
from holdback.species.model import Pair, pair


def gamete_odds(parent: GenotypeBelief, locus: str, child_sex: Sex, catalogue: Catalogue) -> dict[str, float]:
    """Probability of each allele in the gamete that makes a young of the given sex.

    Parameters
    ----------
    parent : GenotypeBelief
        Belief of the parent, with its sex.
    locus : str
        Locus key.
    child_sex : Sex
        Sex of the young; unknown averages both.
    catalogue : Catalogue
        Species.

    Returns
    -------
    dict of str to float
        Allele key to probability, summing to 1.
    """
    linkage = catalogue.loci[locus].sex_linkage
    linked = linkage is not None and child_sex is not Sex.UNKNOWN and catalogue.is_heterogametic(parent.sex)
    odds: dict[str, float] = {}
    for (first, second), probability in parent.at(locus).items():
        share = 0.5
        if linked and linkage is not None and first != second:
            second_on_y = parent.phase.get(locus, 0.5)
            r = linkage.r.value
            via_y = second_on_y * (1.0 - r) + (1.0 - second_on_y) * r
            share = via_y if catalogue.is_heterogametic(child_sex) else 1.0 - via_y
        odds[first] = odds.get(first, 0.0) + probability * (1.0 - share)
        odds[second] = odds.get(second, 0.0) + probability * share
    return odds


def child_pairs(
    sire: GenotypeBelief, dam: GenotypeBelief, locus: str, child_sex: Sex, catalogue: Catalogue
) -> dict[Pair, float]:
    """Probabilities over the pairs of one young at one locus, before any death.

    Returns
    -------
    dict of Pair to float
        Summing to 1.
    """
    from_sire = gamete_odds(sire, locus, child_sex, catalogue)
    from_dam = gamete_odds(dam, locus, child_sex, catalogue)
    young: dict[Pair, float] = {}
    for first, chance in from_sire.items():
        for second, other in from_dam.items():
            alleles = pair(first, second)
            young[alleles] = young.get(alleles, 0.0) + chance * other
    return {alleles: probability for alleles, probability in young.items() if probability > 0.0}
