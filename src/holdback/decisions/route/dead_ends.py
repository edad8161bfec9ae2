"""What makes a goal impossible from the animals at hand, seen before any search."""

from __future__ import annotations

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.stock import NEVER, Stock

_ROUNDING = 1e-9


def dead_end(stock: Stock, target: Target, *, inbreeding_at_most: float = 1.0) -> str:
    """Reason why no cross over any number of generations can lead to a target; empty where none is seen.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted.
    inbreeding_at_most : float
        Limit of the inbreeding of any young.

    Returns
    -------
    str
        One sentence, with what to do.
    """
    usable = _usable(stock)
    for sex, word in ((Sex.MALE, "male"), (Sex.FEMALE, "female")):
        if not any(stock.sexes[place] is sex for place in usable):
            return f"No {word} here can breed: add one first."
    for gene in target.genes:
        if gene.copies and not any(_may_carry(stock, place, gene) for place in usable):
            return f"No animal here carries {gene.name}: buy or borrow one first."
    if target.share > 0:
        shares = stock.shares.get(target.line, np.zeros(len(stock.animals)))
        most = max(float(shares[place]) for place in usable)
        if most < target.share - _ROUNDING:
            return (
                f"No animal here has more than {most:.0%} of the line {target.line}, and young never have more than "
                f"their better parent: ask for no more, or add one that has."
            )
    males, females = (np.array([p for p in usable if stock.sexes[p] is sex]) for sex in (Sex.MALE, Sex.FEMALE))
    if stock.kinship[np.ix_(males, females)].min() > inbreeding_at_most + _ROUNDING:
        return (
            f"Every male here is too near kin to every female for inbreeding of at most {inbreeding_at_most:g}: "
            f"add one that is not related, or allow more."
        )
    return ""


def _usable(stock: Stock) -> list[int]:
    under_way = {cross.dam for cross in stock.under_way} | {
        sire for cross in stock.under_way for sire, _ in cross.sires
    }
    return [
        place
        for place, animal in enumerate(stock.animals)
        if animal in under_way or (stock.ready[place] < NEVER and stock.clutches[place] > 0)
    ]


def _may_carry(stock: Stock, place: int, gene: GoalGene) -> bool:
    pairs = stock.genes.at(stock.animals[place], gene.locus)
    return any(chance > 0 and gene.alleles.intersection(pair) for pair, chance in pairs.items())
