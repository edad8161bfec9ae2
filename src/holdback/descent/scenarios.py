"""Ways in which the doubts about a line may turn out, and the share of animals in each.

A doubt is a founder that is one of two ends, or the sire of a brood who is one of several. Each way is a scenario; in
it the mean and spread of a share are exact. Where there are too many, the doubts that move the share least stay open,
and the spread of a scenario includes them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt

from holdback.descent.clear_genome import chance_clear
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.descent.shares import NOTHING, LineFounder, carried_down, constants, founding_of, share_means
from holdback.descent.two_locus import TwoLocusPlan, endings, second_moments

FloatArray = npt.NDArray[np.float64]

MOST_SCENARIOS = 256
"""Scenarios told apart at most, the three map lengths included."""


@dataclass(frozen=True, eq=False)
class Scenarios:
    """Shares of some nodes, scenario by scenario.

    Parameters
    ----------
    weight : float array, shape (s,)
        Chance of each scenario, summing to 1.
    mean, sd : float array, shape (s, k)
        Of the true share of each node.
    low, high : float array, shape (s, k)
        Least and most that the true share can be.
    at_low, at_high : float array, shape (s, k)
        Chance that it is exactly that: no stretch of the line is left, or nothing else is; see `clear_genome`.
    """

    weight: FloatArray
    mean: FloatArray
    sd: FloatArray
    low: FloatArray
    high: FloatArray
    at_low: FloatArray
    at_high: FloatArray


def doubts_of(
    pedigree: Pedigree, founders: Mapping[int, LineFounder], node: int, *, scales: int
) -> tuple[frozenset[int], int]:
    """Doubts about a node that are told apart, and how many are left open.

    Parameters
    ----------
    pedigree : Pedigree
        The node and its ancestors.
    founders : mapping of int to LineFounder
        By node.
    node : int
        Node asked for.
    scales : int
        Map lengths told apart.

    Returns
    -------
    frozenset of int, int
        Nodes: doubtful founders and nodes of candidates.
    """
    means = share_means(pedigree, founders)
    part = np.zeros(len(pedigree))
    part[node] = 1.0
    moved: list[tuple[float, int, int]] = []
    for one in range(node, -1, -1):
        if not part[one]:
            continue
        for source, coefficient in pedigree.sources(one):
            part[source] += coefficient * part[one]
        values, weights = _outcomes(pedigree, founders, means, one)
        if len(values) > 1:
            variance = float(weights @ values**2 - (weights @ values) ** 2)
            spread = math.sqrt(max(variance, 0.0))
            moved.append((-part[one] * spread, one, len(values)))
    kept: set[int] = set()
    count, left = scales, 0
    for effect, one, ways in sorted(moved):
        if effect > -1e-9:
            continue
        if count * ways <= MOST_SCENARIOS:
            kept.add(one)
            count *= ways
        else:
            left += 1
    return frozenset(kept), left


def _outcomes(
    pedigree: Pedigree, founders: Mapping[int, LineFounder], means: FloatArray, node: int
) -> tuple[FloatArray, FloatArray]:
    """Shares that a doubtful node may turn out to have on average, with their chances."""
    if node in pedigree.candidates:
        found = [(float(means[one]), weight) for one, weight in pedigree.candidates[node] if weight > 0]
    else:
        found = list(founders[node].ends) if node in founders and pedigree.is_founder[node] else []
    return np.array([value for value, _ in found]), np.array([weight for _, weight in found])


def scenarios_of(
    pedigree: Pedigree,
    founders: Mapping[int, LineFounder],
    genome: GenomeMap,
    nodes: Sequence[int],
    doubts: frozenset[int],
) -> Scenarios:
    """Shares of some nodes in every way in which some doubts may turn out, and for every map length."""
    sires = [one for one in sorted(doubts) if one in pedigree.candidates]
    unsure = [one for one in sorted(doubts) if one not in pedigree.candidates]
    ways: list[tuple[dict[int, LineFounder], float]] = []
    for chosen in product(*(founders[one].ends for one in unsure)):
        settled = {one: LineFounder(end, end) for one, (end, _) in zip(unsure, chosen, strict=True)}
        ways.append(({**founders, **settled}, float(np.prod([chance for _, chance in chosen]))))
    held = constants(pedigree, founders)
    found: list[tuple[FloatArray, ...]] = []
    for males in product(*(_possible(pedigree, one) for one in sires)):
        choices = {one: male for one, (male, _) in zip(sires, males, strict=True)}
        chance = float(np.prod([weight for _, weight in males]))
        of_line = [one for one, _ in ways]
        weights = chance * np.array([weight for _, weight in ways])
        found += _of_certain_sires(pedigree.settled(choices), of_line, weights, genome, nodes, held)
    return Scenarios(*(np.concatenate(each) for each in zip(*found, strict=True)))


def _possible(pedigree: Pedigree, node: int) -> list[tuple[int, float]]:
    return [(one, weight) for one, weight in pedigree.candidates[node] if weight > 0]


def _of_certain_sires(
    pedigree: Pedigree,
    ways: Sequence[Mapping[int, LineFounder]],
    weights: FloatArray,
    genome: GenomeMap,
    nodes: Sequence[int],
    held: FloatArray,
) -> list[tuple[FloatArray, ...]]:
    """Fields of `Scenarios` for every map length, one sire for each brood told apart."""
    plan = TwoLocusPlan.of(pedigree, held)
    founding = founding_of(plan, ways)
    named = sorted({node for one in ways for node in one})
    means_of = {node: np.array([one.get(node, NOTHING).mean for one in ways]) for node in named}
    mean = carried_down(pedigree, means_of, len(ways))[list(nodes)].T
    low, high = reach(pedigree, ways, nodes)
    rows = plan.row[list(nodes)]
    # How many of the two haplotypes can be more or less of the line, and what one of those has on average.
    varying = 2 * (high - low)
    of_one = np.where(varying > 0, 2 * (mean - low) / np.where(varying > 0, varying, 1.0), 0.5)
    ending = 2 * endings(plan, founding, rows) / np.where(varying > 0, varying, 1.0)
    found: list[tuple[FloatArray, ...]] = []
    for scale, chance in genome.scales:
        map_here = genome.scaled(scale)
        variance = second_moments(plan, founding, map_here, rows) - mean**2
        sd = np.sqrt(np.where(variance < 1e-12, 0.0, variance))
        at_low, at_high = (chance_clear(part, ending, map_here) ** varying for part in (of_one, 1 - of_one))
        found.append((chance * weights, mean, sd, low, high, at_low, at_high))
    return found


def reach(
    pedigree: Pedigree, ways: Sequence[Mapping[int, LineFounder]], nodes: Sequence[int]
) -> tuple[FloatArray, FloatArray]:
    """Least and most that the true share of some nodes can be in each scenario, each of shape (scenarios, k).

    Notes
    -----
    Haplotype by haplotype: in the extreme a gamete is a copy of one haplotype of the parent, so it can be all of the
    line where either can, and must be where both must.
    """
    most = np.zeros((len(pedigree), 2, 2, len(ways)))  # node, haplotype, least and most, scenario
    unknown = _gamete(_founder_reach([one.get(UNKNOWN, NOTHING) for one in ways]))
    for node in range(len(pedigree)):
        if node in pedigree.candidates:
            males = most[[one for one, _ in _possible(pedigree, node)]]
            most[node, :, 0], most[node, :, 1] = males[:, :, 0].min(axis=0), males[:, :, 1].max(axis=0)
        elif pedigree.is_founder[node]:
            most[node] = _founder_reach([one.get(node, NOTHING) for one in ways])
        else:
            for side, parent in enumerate(pedigree.parents[node].tolist()):
                most[node, side] = unknown if parent == UNKNOWN else _gamete(most[parent])
    found = most[list(nodes)].mean(axis=1)
    return found[:, 0].T, found[:, 1].T


def _gamete(parent: FloatArray) -> FloatArray:
    """Least and most of a gamete, shape (2, scenarios)."""
    return np.stack([parent[:, 0].min(axis=0), parent[:, 1].max(axis=0)])


def _founder_reach(ways: Sequence[LineFounder]) -> FloatArray:
    """Least and most of both haplotypes of a founder, shape (2, 2, scenarios); see `shares.founding_of`."""
    low = np.array([min(end for end, _ in one.ends) for one in ways])
    high = np.array([max(end for end, _ in one.ends) for one in ways])
    return np.array([[low >= 0.5, high > 0.0], [low == 1.0, high > 0.5]], dtype=np.float64)
