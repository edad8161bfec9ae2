"""The looks that the young of each couple may have, with what the couple may be kept apart.

One state of the parents holds for all young of a clutch, so states are mixed over and never averaged into one, but for
the least that tells them apart where they are too many.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np

from holdback.answers.season.before_young import Couple
from holdback.collection.model import Sex
from holdback.heredity.beliefs.evidence import FloatArray
from holdback.heredity.crosses.couples import Genotype, YoungTable, couples, young_table
from holdback.heredity.crosses.gametes import ParentState
from holdback.heredity.crosses.looks import LookBook, LookKey
from holdback.heredity.crosses.young import Cross, Part, PartKey
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint
from holdback.species.catalogue import Catalogue
from holdback.species.model import Pair

Sorting = Callable[[Part, Genotype], "LookKey | None"]
"""From a genotype of a part to the class its look counts in; None where it does not count at all."""

MOST_OF_PART = 12
"""States of a part of the genes that are kept apart before they are held against those of the other parts."""

_Young = dict["LookKey | None", list[float]]
"""Class to the chance that a young of each sex comes and is of it; None for looks that do not count."""

_Key = tuple[tuple["LookKey | None", float, float], ...]
"""The same, rounded, to find states that give the same young."""

_SAME = 10
"""Decimals to which two states that give the same young are the same."""


@dataclass(frozen=True, eq=False)
class States:
    """What a couple may be at some genes, by the young that each state gives.

    Parameters
    ----------
    classes : tuple of LookKey
        Classes of looks.
    weights : float array, shape (n_states,)
        Probabilities, summing to 1.
    chances : float array, shape (n_states, n_classes, 2)
        Chance that a young of each sex comes and is of the class.
    totals : float array, shape (n_states, 2)
        Chance that a young of each sex comes.
    """

    classes: tuple[LookKey, ...]
    weights: FloatArray
    chances: FloatArray
    totals: FloatArray


def cross_of(couple: Couple, catalogue: Catalogue, book: LookBook, parts: dict[PartKey, Part]) -> Cross:
    """The couple in parts; equal parts of several couples are worked out once."""
    sire, dam = (_side(couple.joint, side, sex) for side, sex in enumerate((Sex.MALE, Sex.FEMALE)))
    return Cross(sire, dam, catalogue, book=book, joint=couple.joint, parts=parts)


def _side(joint: ParentsJoint, side: int, sex: Sex) -> GenotypeBelief:
    loci: dict[str, dict[Pair, float]] = {}
    for locus, both in joint.loci.items():
        at = loci.setdefault(locus, {})
        for pairs, chance in both.items():
            at[pairs[side]] = at.get(pairs[side], 0.0) + chance
    return GenotypeBelief(sex=sex, loci=loci, phase=joint.phase)


def states_of_part(
    part: Part, sorting: Sorting, *, has_sire: bool, in_egg: bool, second_division: float, most: int = MOST_OF_PART
) -> States:
    """What a couple may be at one part of the genes.

    Parameters
    ----------
    part : Part
        Genes that have to be looked at together.
    sorting : callable
        From a genotype to its class.
    has_sire : bool
        False for young of the dam alone.
    in_egg : bool
        Whether young that die in the egg of their genes count too.
    second_division : float
        Chance that a young of the dam alone has both alleles of a dam with two.
    most : int
        States to keep apart.
    """
    sorted_to: dict[Genotype, LookKey | None] = {}
    rows: dict[_Key, float] = {}
    kept: dict[_Key, _Young] = {}
    for couple in product(*(couples(blocks) for blocks in part.blocks)):
        weight = float(np.prod([one[0] for one in couple]))
        tables = [_table(sire, dam, has_sire, second_division) for _, sire, dam in couple]
        found: _Young = {}
        for genotype, chances in part.young(tables).items():
            if genotype not in sorted_to:
                sorted_to[genotype] = sorting(part, genotype)
            lives = 1.0 if in_egg else part.survival(genotype)[0]
            at = found.setdefault(sorted_to[genotype], [0.0, 0.0])
            at[0] += chances[0] * lives
            at[1] += chances[1] * lives
        key = tuple(sorted(((look, round(at[0], _SAME), round(at[1], _SAME)) for look, at in found.items()), key=repr))
        rows[key] = rows.get(key, 0.0) + weight
        kept[key] = found
    return _few(_as_states(rows, kept), most)


def _as_states(rows: Mapping[_Key, float], kept: Mapping[_Key, _Young]) -> States:
    classes = tuple(dict.fromkeys(look for found in kept.values() for look in found if look is not None))
    weights = np.array(list(rows.values()))
    chances = np.array([[kept[key].get(look, [0.0, 0.0]) for look in classes] for key in rows])
    totals = np.array([np.sum(list(kept[key].values()), axis=0) for key in rows])
    return States(classes, weights / weights.sum(), chances.reshape(len(weights), len(classes), 2), totals)


def _table(sire: ParentState, dam: ParentState, has_sire: bool, second_division: float) -> YoungTable:
    if has_sire:
        return young_table(sire.gametes, dam.gametes)
    table: dict[Genotype, list[float]] = {(): [1.0, 1.0]}
    for first, second in dam.pairs:
        single = (1.0 - second_division) / 2.0
        each = {(first, first): single, (second, second): single, (first, second): second_division}
        young = each if first != second else {(first, first): 1.0}
        table = {
            (*so_far, one): [chance * share for chance in chances]
            for so_far, chances in table.items()
            for one, share in young.items()
        }
    return table


def _few(states: States, most: int) -> States:
    """The likeliest states apart, all others as one that gives their mean."""
    if len(states.weights) <= most:
        return states
    order = np.argsort(-states.weights, kind="stable")
    groups = [*([int(one)] for one in order[: most - 1]), [int(one) for one in order[most - 1 :]]]
    return merged(states, groups)


def merged(states: States, groups: list[list[int]]) -> States:
    """States in groups, each group as one state that gives the mean of its young."""
    weights = np.array([states.weights[group].sum() for group in groups])
    shares = [states.weights[group] / max(states.weights[group].sum(), 1e-300) for group in groups]
    chances = [np.tensordot(share, states.chances[group], axes=1) for share, group in zip(shares, groups, strict=True)]
    totals = [np.tensordot(share, states.totals[group], axes=1) for share, group in zip(shares, groups, strict=True)]
    return States(states.classes, weights, np.array(chances), np.array(totals))


def fewer(parts: list[States], most: int) -> list[States]:
    """Parts whose states together are no more than `most`: those that differ least are taken as one, again and again.

    What two states differ by is the loss of variance between them (Ward 1963).
    """
    parts = list(parts)
    while np.prod([float(len(one.weights)) for one in parts]) > most:
        costs = [_nearest(one) for one in parts]
        index = min(range(len(parts)), key=lambda number: costs[number][0])
        _, first, second = costs[index]
        others = [[number] for number in range(len(parts[index].weights)) if number not in (first, second)]
        parts[index] = merged(parts[index], [*others, [first, second]])
    return parts


def _nearest(states: States) -> tuple[float, int, int]:
    """The two states whose merging loses least, and how much."""
    n = len(states.weights)
    flat = states.chances.reshape(n, -1)
    apart = ((flat[:, None, :] - flat[None, :, :]) ** 2).sum(axis=2)
    sums = states.weights[:, None] + states.weights[None, :]
    cost = np.multiply.outer(states.weights, states.weights) / np.maximum(sums, 1e-300) * apart
    cost[np.tril_indices(n)] = np.inf
    first, second = np.unravel_index(int(np.argmin(cost)), cost.shape)
    return float(cost[first, second]), int(first), int(second)
