"""What will do of a young: a target, or any other wish, as sets of pairs of alleles."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.heredity.genotype import Wish
from holdback.species.model import Pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Pairs = Mapping[str, frozenset[Pair]]
"""Locus to the pairs that will do; a locus not listed may be anything."""


@dataclass(frozen=True)
class Accepted:
    """What will do of a young.

    Parameters
    ----------
    pairs : (Pairs, Pairs)
        For the heterogametic and the homogametic sex of young.
    sexes : (bool, bool)
        Whether that sex will do.
    """

    pairs: tuple[Pairs, Pairs]
    sexes: tuple[bool, bool] = (True, True)

    def and_too(self, other: Accepted) -> Accepted:
        """What will do by both."""
        return Accepted(
            (_both(self.pairs[0], other.pairs[0]), _both(self.pairs[1], other.pairs[1])),
            (self.sexes[0] and other.sexes[0], self.sexes[1] and other.sexes[1]),
        )


def _both(first: Pairs, second: Pairs) -> Pairs:
    found = {**first, **second}
    return {locus: first.get(locus, pairs) & second.get(locus, pairs) for locus, pairs in found.items()}


def fits(gene: GoalGene, alleles: Pair) -> bool:
    """Whether a pair has a gene in the copies asked for, or is free of one that is refused."""
    copies = sum(key in gene.alleles for key in alleles)
    return copies == 0 if gene.copies == 0 else copies >= gene.copies


def accepted_pairs(target: Target, catalogue: Catalogue) -> dict[str, frozenset[Pair]]:
    """Pairs that will do at each locus of a target."""
    return {
        locus: frozenset(
            alleles
            for alleles in catalogue.pairs(locus)
            if all(fits(gene, alleles) for gene in target.genes if gene.locus == locus)
        )
        for locus in target.loci
    }


def wish_of(target: Target, catalogue: Catalogue, text: str = "") -> Wish:
    """Target as `holdback.heredity.crosses.odds` takes it; the share of a line is left out."""
    return Wish(text or target_text(target), accepted_pairs(target, catalogue), target.sex)


def target_text(target: Target) -> str:
    """Genes and sex of a target, in a few words: "female Clown, Enchi, no Spider"."""
    said = [target.sex.value] if target.sex is not Sex.UNKNOWN else []
    for gene in target.genes:
        if gene.copies == 0:
            said.append(f"no {gene.name}")
        elif gene.is_hidden:
            said.append(gene.name if gene.copies == 2 else f"het {gene.name}")
        else:
            said.append(gene.name if gene.copies == 1 else f"two copies of {gene.name}")
    head = said[0] + " " if len(said) > 1 and target.sex is not Sex.UNKNOWN else ""
    return head + ", ".join(said[1:] if head else said)
