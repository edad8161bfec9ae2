"""What the two parents may be at one linkage group, taken together, and the young that each couple gives.

The parents are held in blocks. Within a block what one parent is says nothing of the other; parents that are
independent of each other are one block, related ones a block for each genotype that the sire may have.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from holdback.heredity.crosses.chain import LinkageGroup
from holdback.heredity.crosses.gametes import GameteOdds, ParentState, mean_gametes, phased_states
from holdback.heredity.genotype import ParentsJoint
from holdback.species.model import Pair, pair

Genotype = tuple[Pair, ...]
BySex = tuple[float, float]
BothGametes = tuple[GameteOdds, GameteOdds]

YoungTable = Mapping[Genotype, Sequence[float]]
"""Genotype of the young at the loci of a group to its chance given the sex of the young; each sex sums to 1."""

Couple = tuple[float, ParentState, ParentState]
"""Probability, state of the sire, state of the dam."""


@dataclass(frozen=True, slots=True)
class Block:
    """States of the parents that are independent of each other.

    Parameters
    ----------
    weight : float
        Probability of the block.
    sires, dams : tuple of ParentState
        States of each parent; probabilities given the block, summing to 1.
    """

    weight: float
    sires: tuple[ParentState, ...]
    dams: tuple[ParentState, ...]


def joint_blocks(joint: ParentsJoint, group: LinkageGroup, *, sire_is_heterogametic: bool) -> tuple[Block, ...]:
    """Blocks of two parents of which one says something of the other.

    Parameters
    ----------
    joint : ParentsJoint
        What they may be together, locus by locus; loci are independent.
    group : LinkageGroup
        Loci inherited together.
    sire_is_heterogametic : bool
        Whether the sire, and not the dam, has the two different sex chromosomes.

    Returns
    -------
    tuple of Block
        One for each genotype of the sire; weights sum to 1.
    """
    matings: dict[Genotype, dict[Genotype, float]] = {}
    listed = [[(both, odds) for both, odds in joint.at(locus).items() if odds > 0.0] for locus in group.loci]
    for combination in product(*listed):
        chance = 1.0
        for _, odds in combination:
            chance *= odds
        mates = matings.setdefault(tuple(both[0] for both, _ in combination), {})
        dam = tuple(both[1] for both, _ in combination)
        mates[dam] = mates.get(dam, 0.0) + chance
    dams = {
        pairs: phased_states(pairs, joint.phase, group, heterogametic=not sire_is_heterogametic)
        for pairs in {pairs for mates in matings.values() for pairs in mates}
    }
    blocks = []
    for pairs, mates in matings.items():
        weight = sum(mates.values())
        blocks.append(
            Block(
                weight,
                phased_states(pairs, joint.phase, group, heterogametic=sire_is_heterogametic),
                tuple(
                    replace(state, weight=state.weight * chance / weight)
                    for dam, chance in mates.items()
                    for state in dams[dam]
                ),
            )
        )
    return tuple(blocks)


def couples(blocks: Sequence[Block]) -> Iterator[Couple]:
    """Every couple that the parents may be; probabilities sum to 1."""
    for block in blocks:
        for sire in block.sires:
            for dam in block.dams:
                yield block.weight * sire.weight * dam.weight, sire, dam


def mean_young(blocks: Sequence[Block]) -> YoungTable:
    """Young averaged over what the parents may be; right for one egg, not for a clutch."""
    if len(blocks) == 1:
        return young_table(mean_gametes(blocks[0].sires), mean_gametes(blocks[0].dams))
    mean: dict[Genotype, list[float]] = {}
    for block in blocks:
        for genotype, chances in young_table(mean_gametes(block.sires), mean_gametes(block.dams)).items():
            found = mean.setdefault(genotype, [0.0, 0.0])
            found[0] += block.weight * chances[0]
            found[1] += block.weight * chances[1]
    return mean


def young_table(from_sire: BothGametes, from_dam: BothGametes) -> YoungTable:
    """Genotypes of the young before any death, given what the parents hand on to each sex of young."""
    same = from_sire[0] is from_sire[1] and from_dam[0] is from_dam[1]
    table: dict[Genotype, list[float]] = {}
    for sex in (0,) if same else (0, 1):
        for first, odds in from_sire[sex].items():
            for second, other in from_dam[sex].items():
                chances = table.setdefault(tuple(map(pair, first, second)), [0.0, 0.0])
                chances[sex] += odds * other
    if same:
        for chances in table.values():
            chances[1] = chances[0]
    return table
