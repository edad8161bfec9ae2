"""Second moments of shares against enumeration of every meiosis at two places, on pedigrees of all kinds of nodes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product

import numpy as np
import pytest

from holdback.collection.model import Sex
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import UNKNOWN, Draft, Pedigree, assembled
from holdback.descent.shares import NOTHING, LineFounder, constants, founding_of, share_means, share_moments
from holdback.descent.two_locus import TwoLocusPlan, gauss_rule

Animal = tuple[int, int, int, int]
"""Of the line or not: first haplotype at both places, second haplotype at both places."""
State = tuple[Animal, ...]
ALL = LineFounder(1.0, 1.0)


def any_pedigree(seed: int) -> Pedigree:
    """Three founders, and below them animals with two parents, one unknown, without a sire, and doubtful sires."""
    rng = np.random.default_rng(seed)
    parents: dict[str, tuple[str | None, str | None]] = dict.fromkeys(("a", "b", "c"), (None, None))
    candidates: dict[str, tuple[tuple[str, float], ...]] = {}
    for number in range(4):
        known = list(parents)
        first, second = rng.choice(len(known), 2, replace=False).tolist()
        kind = rng.integers(5)
        if kind == 0:
            candidates[f"?{number}"] = ((known[first], 0.3), (known[second], 0.7))
            parents[f"?{number}"] = (None, None)
            parents[f"k{number}"] = (f"?{number}", known[int(rng.integers(len(known)))])
        elif kind == 1:
            parents[f"k{number}"] = (known[first], known[first])
        elif kind == 2:
            parents[f"k{number}"] = (None, known[second])
        else:
            parents[f"k{number}"] = (known[first], known[second])
    draft = Draft(parents, dict.fromkeys(parents, Sex.UNKNOWN), candidates=candidates)
    return assembled(draft, {}, 0.3)


def ends(node: int) -> LineFounder:
    """All of the line, half or more of it, none of it; an unknown parent may be of it."""
    return (ALL, LineFounder(0.5, 1.0, 0.4), LineFounder(0.0, 0.0), LineFounder(0.0, 1.0, 0.2))[node]


def founder_ways(one: LineFounder) -> Iterator[tuple[Animal, float]]:
    for share, chance in one.ends:
        both = max(0.0, 2 * share - 1)
        single = min(1.0, 2 * share)
        yield (1, 1, 1, 1), chance * both
        yield (1, 1, 0, 0), chance * (single - both)
        yield (0, 0, 0, 0), chance * (1 - single)


def gametes(parent: Animal, r: float) -> Iterator[tuple[tuple[int, int], float]]:
    for first, other in ((parent[:2], parent[2:]), (parent[2:], parent[:2])):
        yield (first[0], first[1]), (1 - r) / 2
        yield (first[0], other[1]), r / 2


def alone_ways(dam: Animal, r: float, kept: float) -> Iterator[tuple[Animal, float]]:
    """Both copies of one dam: along the chromosome the pair of copies is drawn anew at events of rate 2 a Morgan."""
    pairs = [((one, two), 0.5 * (kept if one != two else 1 - kept)) for one in (0, 1) for two in (0, 1)]
    for (near, near_chance), (far, far_chance) in product(pairs, pairs):
        chance = near_chance * ((1 - 2 * r) * (near == far) + 2 * r * far_chance)
        yield (dam[2 * near[0]], dam[2 * far[0] + 1], dam[2 * near[1]], dam[2 * far[1] + 1]), chance


def reference_states(p: Pedigree, r: float, ends_of: Callable[[int], LineFounder]) -> dict[State, float]:
    """Chance of every state of all animals together."""
    states: dict[State, float] = {(): 1.0}

    def ways(node: int, state: State) -> Iterator[tuple[Animal, float]]:
        if node in p.candidates:
            for one, weight in p.candidates[node]:
                yield state[one], weight
        elif p.is_founder[node]:
            yield from founder_ways(ends_of(node))
        elif p.without_sire[node]:
            yield from alone_ways(state[int(p.parents[node, 1])], r, p.kept)
        else:
            sides = []
            for parent in p.parents[node].tolist():
                above = founder_ways(ends_of(UNKNOWN)) if parent == UNKNOWN else [(state[parent], 1.0)]
                sides.append([(g, c * chance) for animal, c in above for g, chance in gametes(animal, r)])
            for (first, chance), (second, other) in product(*sides):
                yield (*first, *second), chance * other

    for node in range(len(p)):
        below: dict[State, float] = {}
        for state, chance in states.items():
            for animal, given in ways(node, state):
                if given:
                    key = (*state, animal)
                    below[key] = below.get(key, 0.0) + chance * given
        states = below
    return states


def founders_of(p: Pedigree) -> dict[int, LineFounder]:
    named = {p.index[one]: ends(place) for place, one in enumerate("abc") if one in p.index}
    return {**named, UNKNOWN: ends(3)}


@pytest.mark.parametrize("r", [0.0, 0.13, 0.5])
@pytest.mark.parametrize("seed", range(8))
def test_table__equals_enumeration_of_every_meiosis(seed: int, r: float) -> None:
    p = any_pedigree(seed)
    founders = founders_of(p)
    states = reference_states(p, r, lambda node: founders.get(node, NOTHING))
    expected = np.zeros((len(p), len(p)))
    for state, chance in states.items():
        near = np.array([animal[0] + animal[2] for animal in state]) / 2
        far = np.array([animal[1] + animal[3] for animal in state]) / 2
        expected += chance * np.outer(near, far)
    plan = TwoLocusPlan.of(p, constants(p, founders))
    table = plan.table(founding_of(plan, [founders]), r)[0]
    assert table[np.ix_(plan.row, plan.row)] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_share_moments__renumbering_changes_nothing(seed: int) -> None:
    p = any_pedigree(seed)
    founders = founders_of(p)
    genome = GenomeMap((1.2, 0.4), (0.7, 0.3), 0.5, 2.0)
    whole = share_moments(p, founders, genome)
    order = np.random.default_rng(seed).permutation(len(p)).tolist()
    some = share_moments(p, founders, genome, nodes=order)
    assert some.mean == pytest.approx(whole.mean[order], abs=1e-14)
    assert some.covariance == pytest.approx(whole.covariance[np.ix_(order, order)], abs=1e-12)
    assert some.mean == pytest.approx(share_means(p, founders)[order], abs=1e-14)


def test_gauss_rule__averages_polynomials_over_pairs_of_places() -> None:
    """Closed form of the mean of exp(-k |x - y|) over a chromosome of L Morgan: 2 (kL - 1 + exp(-kL)) / (kL)^2."""
    genome = GenomeMap((0.8, 2.0), (0.4, 0.6))
    r, weight = gauss_rule(genome, 5)
    for power in range(10):
        rates = 2 * power * np.array(genome.lengths)
        means = 2 * (rates - 1 + np.exp(-rates)) / rates**2 if power else np.ones(2)
        expected = float(np.sum(np.array(genome.weights) ** 2 * means))
        assert float(weight @ (1 - 2 * r) ** power) == pytest.approx(expected, rel=1e-12)


def test_gauss_rule__a_chromosome_hardly_longer_than_nothing_is_nearly_one_place() -> None:
    r, weight = gauss_rule(GenomeMap((1e-9,), (1.0,)), 16)
    assert float(weight @ r) == pytest.approx(1e-9 / 3, rel=1e-3)
