"""The genes of a target as arrays, and what is believed of an animal at them.

Axes: G genes, L loci, as in `setting`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.rehearsal.setting import FloatArray, Genes
from holdback.decisions.stock import Stock
from holdback.species.catalogue import Catalogue
from holdback.species.model import pair


def belief_of(stock: Stock, name: str, target: Target) -> FloatArray:
    """Chances of no, one and two copies of each gene, shape (G, 3)."""
    found = np.zeros((len(target.genes), 3))
    for number, gene in enumerate(target.genes):
        for alleles, chance in stock.genes.at(name, gene.locus).items():
            found[number, sum(one in gene.alleles for one in alleles)] += chance
    return found


def genes_of(target: Target, catalogue: Catalogue | None) -> Genes:
    """Genes and loci of a target; without a catalogue none is sex-linked, and young die only of `GoalGene.two_die`."""
    loci = target.loci
    codes: tuple[dict[str, int], ...] = tuple({} for _ in loci)
    code = []
    for gene in target.genes:
        of_locus = codes[loci.index(gene.locus)]
        code.append(max(of_locus.values(), default=0) + 1)
        of_locus.update(dict.fromkeys(sorted(gene.alleles), code[-1]))
    return Genes(
        loci=loci,
        locus=np.array([loci.index(gene.locus) for gene in target.genes], np.int64),
        code=np.array(code, np.int64),
        copies=np.array([gene.copies for gene in target.genes], np.int64),
        looks=np.array([_looks(gene) for gene in target.genes], dtype=np.bool_).reshape(-1, 3, 3),
        linked=np.array([_linked(locus, catalogue) for locus in loci]),
        male_is_hetero=catalogue is None or catalogue.is_heterogametic(Sex.MALE),
        deaths=_deaths(target, codes, catalogue),
        two_die=np.array([gene.two_die for gene in target.genes], dtype=np.bool_),
        codes=codes,
    )


def _looks(gene: GoalGene) -> list[list[bool]]:
    """Whether two numbers of copies look the same."""
    look = [0, 0 if gene.is_hidden else 1, 2 if gene.tells_two else (0 if gene.is_hidden else 1)]
    return [[one == other for other in look] for one in look]


def _linked(locus: str, catalogue: Catalogue | None) -> float:
    linkage = catalogue.loci[locus].sex_linkage if catalogue and locus in catalogue.loci else None
    return float("nan") if linkage is None else linkage.r.value


def _deaths(target: Target, codes: Sequence[Mapping[str, int]], catalogue: Catalogue | None) -> FloatArray:
    """Chance that a young with two such alleles dies, shape (L, codes, codes)."""
    loci = target.loci
    most = 1 + max((code for one in codes for code in one.values()), default=0)
    found = np.zeros((len(loci), most, most))
    for gene in target.genes:
        if gene.two_die:
            code = codes[loci.index(gene.locus)][min(gene.alleles)]
            found[loci.index(gene.locus), code, code] = 1.0
    if catalogue is not None:
        for number, (locus, of_locus) in enumerate(zip(loci, codes, strict=True)):
            for first, a in of_locus.items():
                for second, b in of_locus.items():
                    found[number, a, b] = max(found[number, a, b], catalogue.lethality(locus, pair(first, second)))
    return found
