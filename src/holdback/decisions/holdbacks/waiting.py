"""What it would be worth to know more before choosing: the sexes, what a possible carrier carries.

The value of information is the mean, over what may be told, of the best choice then, less the worth of the choice now;
it is never below 0. A change counts only where it is told from luck (two standard errors), so noise does not make
waiting look useful. The best choice is looked for among the sets that were compared.

References
----------
Raiffa & Schlaifer (1961), Applied Statistical Decision Theory: expected value of perfect information.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, product

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene
from holdback.decisions.holdbacks.meeting import copies
from holdback.decisions.holdbacks.preference import ids_of
from holdback.decisions.holdbacks.told_genes import ToldGenes
from holdback.decisions.holdbacks.worths import Bag, Told, Worth, Worths, difference

_SAME = 1e-9
_OPEN = 0.02
"""Chance of carrying, or of not carrying, below which a gene counts as settled."""
_MOST_UNKNOWN = 6
"""Animals of unknown sex that are asked about at most, those chosen now first."""


@dataclass(frozen=True, slots=True)
class Worthwhile:
    """What knowing something would be worth.

    Parameters
    ----------
    animals : tuple of str
        Whom it is about.
    changes : float
        Chance that it changes the choice, in [0, 1].
    gain, error : float
        Expected gain in eggs, and its standard error.
    """

    animals: tuple[str, ...]
    changes: float
    gain: float
    error: float


def knowing_sexes(worths: Worths, kept: Bag) -> Worthwhile | None:
    """Worth of knowing every sex before choosing.

    Parameters
    ----------
    worths : Worths
        Sets compared.
    kept : tuple of int
        The choice now.

    Returns
    -------
    Worthwhile or None
        None where all sexes are known, or too many of those chosen are unknown to go through.
    """
    chosen = set(ids_of(worths, kept))
    unknown = [(name, k) for k, group in enumerate(worths.groups) for name in group if _is_unknown(worths, name)]
    asked = sorted(unknown, key=lambda one: one[0] not in chosen)[:_MOST_UNKNOWN]
    if not asked or chosen & {name for name, _ in unknown} - {name for name, _ in asked}:
        return None
    changes = gain = variance = 0.0
    for choice in product(*(worths.candidates[name].sexes for name, _ in asked)):
        chance = 1.0
        for _, share in choice:
            chance *= share
        sexes = {k: [sex for (_, k2), (sex, _) in zip(asked, choice, strict=True) if k2 == k] for _, k in asked}
        better, error = _best_change(worths, kept, sexes)
        if better > 0:
            changes += chance
            gain += chance * better
            variance += (chance * error) ** 2
    return Worthwhile(tuple(name for name, _ in asked), changes, gain, variance**0.5)


def _is_unknown(worths: Worths, name: str) -> bool:
    return worths.candidates[name].sex is Sex.UNKNOWN


def _best_change(worths: Worths, kept: Bag, sexes: dict[int, list[Sex]]) -> tuple[float, float]:
    """Largest gain of another set over the one chosen now, once the sexes are told; 0 where none is told from luck."""
    tubs = worths.keeping.tubs
    now = worths.told(_as_told(worths, kept, sexes, is_first=True)[0])
    best = (0.0, 0.0)
    for bag in [bag for bag in worths.bags if len(bag) <= tubs]:
        for told in _as_told(worths, bag, sexes, is_first=False):
            gap, error = difference(worths.told(told).eggs, now.eggs)
            if gap > 2 * error + _SAME and gap > best[0]:
                best = gap, error
    return best


def _as_told(worths: Worths, bag: Bag, sexes: dict[int, list[Sex]], *, is_first: bool) -> list[Told]:
    """A set with the sexes told: its first members, or any members of its groups."""
    ways: list[list[tuple[tuple[int, Sex], ...]]] = []
    for k in dict.fromkeys(bag):
        n, alone = bag.count(k), worths.candidates[worths.groups[k][0]].sexes
        known = sexes.get(k, [])
        if len(alone) == 1:
            ways.append([((k, alone[0][0]),) * n])
        elif is_first:
            ways.append([tuple((k, sex) for sex in known[:n])])
        else:
            ways.append([tuple((k, sex) for sex in some) for some in dict.fromkeys(combinations(sorted(known), n))])
    return [tuple(sorted(one for part in way for one in part)) for way in product(*ways)]


def knowing_carrier(worths: Worths, kept: Bag, group: int, gene: GoalGene) -> Worthwhile | None:
    """Worth of knowing whether a possible carrier carries a gene.

    Parameters
    ----------
    worths : Worths
        Sets compared.
    kept : tuple of int
        The choice now.
    group : int
        Group of the carrier.
    gene : GoalGene
        What is asked.

    Returns
    -------
    Worthwhile or None
        None where nothing is open. The choice is between the best set with the carrier and the best one without.
    """
    animal = worths.groups[group][0]
    none = copies(worths.stock, animal, gene)[0]
    if not _OPEN <= none <= 1 - _OPEN or gene.copies == 0:
        return None
    tried = [bag for bag in worths.bags if len(bag) <= worths.keeping.tubs]
    with_it = max((bag for bag in tried if group in bag), key=lambda bag: worths.of(bag).mean, default=None)
    if with_it is None:
        return None
    without = kept if group not in kept else max((b for b in tried if group not in b), key=lambda b: worths.of(b).mean)
    with_it = kept if group in kept else with_it
    is_in = group in kept
    changes = gain = variance = 0.0
    for chance, carries in ((none, False), (1 - none, True)):
        told = _worth_if(worths, with_it, animal, gene, carries=carries)
        gap, error = difference(told.eggs, worths.of(without).eggs)
        better = -gap if is_in else gap
        if better > 2 * error + _SAME:
            changes += chance
            gain += chance * better
            variance += (chance * error) ** 2
    return Worthwhile((animal,), changes, gain, variance**0.5)


def _worth_if(worths: Worths, bag: Bag, animal: str, gene: GoalGene, *, carries: bool) -> Worth:
    """Worth of a set if one of it does, or does not, carry a gene."""
    genes = worths.stock.genes
    pairs = genes.at(animal, gene.locus)
    left = frozenset(pair for pair in pairs if any(allele in gene.alleles for allele in pair) == carries)
    stock = replace(worths.stock, genes=ToldGenes(genes, animal, gene.locus, left))
    return Worths(
        stock, worths.candidates, worths.groups, worths.projects, keeping=worths.keeping, tools=worths.tools
    ).of(bag)
