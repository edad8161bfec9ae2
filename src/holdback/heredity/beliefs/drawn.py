"""Genotypes of several animals at one locus, drawn together, so that what relatives share is kept.

The nodes of a part of the pedigree are drawn from its roots down (`network.draws`); young that are no nodes follow,
given their parents and what was recorded of them. Where the part was sampled, one of the sampler's own draws is taken.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.heredity.beliefs.beliefs import AnyPart, Beliefs, class_shares
from holdback.heredity.beliefs.evidence import LocusEvidence
from holdback.heredity.beliefs.speech import Row, Speech
from holdback.heredity.beliefs.states import States
from holdback.heredity.beliefs.unit import Part
from holdback.heredity.genotype import WILD_PAIR
from holdback.species.model import Pair

IntArray = npt.NDArray[np.int64]


def draw_pairs(
    beliefs: Beliefs, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator
) -> tuple[list[Pair], IntArray]:
    """Unordered pairs of several animals at one locus, drawn from their joint posterior.

    Parameters
    ----------
    beliefs : Beliefs
        Of the collection.
    animals : sequence of str
        Ids, each once.
    locus : str
        Locus key; one of which nobody said anything is wild type in all.
    n : int
        Number of draws.
    rng : numpy.random.Generator
        Source of random numbers.

    Returns
    -------
    list of Pair
        The pairs that occur.
    int array, shape (n, number of animals)
        Which of them each animal has in each draw.

    Raises
    ------
    KeyError
        If there is no such animal.

    Notes
    -----
    Draws of a part of the pedigree that was calculated exactly are independent and exact. Where it was sampled, they
    are picked from the draws of the sampler, with its error. Alleles that nothing recorded tells apart in an animal
    share by their frequency, each copy by itself, as in `Beliefs.at`. What two loci share through a doubtful sire is
    not kept from one call to the next.

    Examples
    --------
    An animal of which nothing was recorded:

    >>> from holdback.heredity.beliefs import Evidence, infer
    >>> from holdback.descent.family import Family
    >>> from holdback.collection.model import Sex
    >>> found = infer(Family({"A": Sex.MALE}, ()), Evidence({}))
    >>> draw_pairs(found, ["A"], "clown", 3, np.random.default_rng(1))[0]
    [('+', '+')]
    """
    of_parts: dict[int, list[str]] = {}
    for animal in animals:
        of_parts.setdefault(id(beliefs.unit_of(animal)), []).append(animal)
    if locus not in beliefs.evidence.loci:
        return [WILD_PAIR], np.zeros((n, len(animals)), np.int64)
    places: dict[Pair, int] = {}
    found = np.empty((n, len(animals)), np.int64)
    column = {animal: number for number, animal in enumerate(animals)}
    for some in of_parts.values():
        part = beliefs.part(some[0], locus)
        states = _states(part, some, n, rng)
        for animal in some:
            opened = _opened(beliefs.evidence.loci[locus], part.states(animal), states[animal], rng, places)
            found[:, column[animal]] = opened
    return list(places), found


def _states(part: AnyPart, animals: Sequence[str], n: int, rng: np.random.Generator) -> Mapping[str, IntArray]:
    """State of each animal in each draw."""
    nodes = _of_exact(part, n, rng) if isinstance(part, Part) else _of_sampled(part.sampled.draws, n, rng)
    offset = 0 if isinstance(part, Part) else part.unit.number(part.locus, part.assembly.layout.nodes[0])
    number = part.assembly.number
    found = {}
    for animal in animals:
        if animal in number:
            found[animal] = nodes.states[:, offset + number[animal]].astype(np.int64)
        else:
            parents = [nodes.states[:, offset + number[name]] for name in part.assembly.parents(animal)]
            found[animal] = _chosen(_young_given(part, animal), (nodes.point, *parents), rng)
    return found


@dataclass(frozen=True, eq=False)
class _Nodes:
    """States of all nodes, shape (n, n_nodes), and the point of the grid of r that each draw stands at."""

    states: IntArray
    point: IntArray


def _of_exact(part: Part, n: int, rng: np.random.Generator) -> _Nodes:
    """Draws of one row, its recombination fractions in proportion to their weights."""
    points = rng.choice(len(part.weights), size=n, p=part.weights)
    drawn = np.empty((n, len(part.assembly.number)), np.int64)
    for point in np.unique(points):
        here = np.flatnonzero(points == point)
        drawn[here] = part.calibrated.sample(rng, len(here), problem=part.index * len(part.weights) + int(point))
    return _Nodes(drawn, points)


def _of_sampled(draws: npt.NDArray[np.int16], n: int, rng: np.random.Generator) -> _Nodes:
    return _Nodes(draws[rng.integers(len(draws), size=n)].astype(np.int64), np.zeros(n, np.int64))


def _young_given(part: AnyPart, young: str) -> npt.NDArray[np.float64]:
    """Chance of the states of a young given its parents' nodes, shape (n_r, size of young, *sizes of the nodes)."""
    assembly = part.assembly
    row = part.row if isinstance(part, Part) else Row(assembly.loci[0])
    said = Speech(assembly, [row], [young]).likelihood(young)
    moved = assembly.transmission(young)
    table = moved * said.reshape(*said.shape, *[1] * (moved.ndim - 2))
    n_r = len(assembly.grid)
    total = table.sum(axis=1, keepdims=True)
    shares = np.divide(table, total, out=np.zeros_like(table), where=total > 0.0)
    return np.broadcast_to(shares, (n_r, *shares.shape[1:]))


def _chosen(table: npt.NDArray[np.float64], given: tuple[IntArray, ...], rng: np.random.Generator) -> IntArray:
    """State drawn from the second axis of a table, given a place on each other axis."""
    chances = np.moveaxis(table, 1, -1)[given].cumsum(axis=1)
    marks = rng.random(len(chances)) * chances[:, -1]
    return np.asarray(np.minimum((chances <= marks[:, None]).sum(axis=1), chances.shape[1] - 1), np.int64)


def _opened(
    locus: LocusEvidence, states: States, drawn: IntArray, rng: np.random.Generator, places: dict[Pair, int]
) -> IntArray:
    """Place of the pair of each draw; alleles of one class are drawn by their frequency."""
    first, second = (_alleles(locus, states, drawn, side, rng) for side in (0, 1))
    n = len(locus.alleles)
    codes, back = np.unique(first * n + second, return_inverse=True)
    of_code = [places.setdefault(locus.pair(*divmod(code, n)), len(places)) for code in codes.tolist()]
    return np.array(of_code, np.int64)[back]


def _alleles(locus: LocusEvidence, states: States, drawn: IntArray, side: int, rng: np.random.Generator) -> IntArray:
    """Allele number of one side of each state drawn."""
    classes = np.array([pair[side] for pair in states.pairs], np.int64)[drawn]
    shares = class_shares(locus, states)
    firsts = np.array([members[0][0] for members in shares], np.int64)
    found = firsts[classes]
    for number, members in enumerate(shares):
        here = np.flatnonzero(classes == number)
        if len(members) > 1 and len(here):
            alleles, weights = zip(*members, strict=True)
            found[here] = rng.choice(np.array(alleles, np.int64), size=len(here), p=weights)
    return np.asarray(found, np.int64)
