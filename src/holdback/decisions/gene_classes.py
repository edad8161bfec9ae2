"""Genotypes at one locus told apart only as far as a target's genes go, for quick comparisons of many pairs."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations_with_replacement

import numpy as np

from holdback.decisions.pair_tables import PairTables
from holdback.decisions.stock import FloatArray
from holdback.heredity.genotype import WILD_PAIR
from holdback.species.model import WILD, Pair, pair


class GeneClasses:
    """Classes of genotypes at a locus: pairs of nothing asked about, and of each gene of the target.

    Parameters
    ----------
    locus : str
        Locus key.
    tables : PairTables
        Of the target.

    Attributes
    ----------
    gives : tuple of tuple of float array, shape (n_classes, n_classes)
        By the side on which the row's animal stands (sire, dam) and the sex of young (heterogametic, homogametic): the
        chance that a young has at this locus what the target asks, and lives. Where the locus is linked to sex the
        phase of either parent is taken as not known.
    """

    def __init__(self, locus: str, tables: PairTables) -> None:
        genes = [gene for gene in tables.target.genes if gene.locus == locus]
        self._number = {key: number for number, gene in enumerate(genes, start=1) for key in gene.alleles}
        self._place = {
            state: place for place, state in enumerate(combinations_with_replacement(range(len(genes) + 1), 2))
        }
        stand_in = (WILD, *(min(gene.alleles) for gene in genes))
        pairs = [pair(stand_in[first], stand_in[second]) for first, second in self._place]
        as_sire = [[_gives(locus, mine, hers, tables) for hers in pairs] for mine in pairs]
        array = np.array(as_sire).transpose(2, 0, 1)
        self.gives = ((array[0], array[1]), (array[0].T, array[1].T))

    def law(self, belief: Mapping[Pair, float]) -> FloatArray:
        """Chances of the classes, shape (n_classes,)."""
        found = np.zeros(len(self._place))
        for (first, second), chance in belief.items():
            a, b = self._number.get(first, 0), self._number.get(second, 0)
            found[self._place[min(a, b), max(a, b)]] += chance
        return found


def _gives(locus: str, sire: Pair, dam: Pair, tables: PairTables) -> tuple[float, float]:
    """Chance of what the target asks at one locus, by the sex of the young; wild type beside it."""
    index, part = next((n, part) for n, part in enumerate(tables.young.parts) if locus in part.loci)
    place = part.loci.index(locus)
    sides = [
        tuple(pairs if number == place else WILD_PAIR for number in range(len(part.loci))) for pairs in (sire, dam)
    ]
    accepted = tables.wanted.pairs[0][locus]
    hetero = homo = 0.0
    for _, share, table in tables.young.rows(index, sides[0], sides[1], (0.5,) * len(part.sex_linked)):
        for genotype, chances in table.items():
            if genotype[place] in accepted:
                hetero, homo = hetero + share * chances[0], homo + share * chances[1]
    return hetero, homo
