"""Whole clutches against every plan there is, and their limits."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import numpy.typing as npt
import pytest

from holdback.collection.model import Sex
from holdback.decisions.contributions.litters import LitterLimits, least_litters, litters
from holdback.errors import DecisionError

FloatArray = npt.NDArray[np.float64]
M, F = Sex.MALE, Sex.FEMALE


def line(seed: int, males: int, females: int) -> tuple[str, FloatArray, FloatArray, tuple[Sex, ...]]:
    """Animals of a small line, mated at random from five founders on: ids, gains, kinship, sexes."""
    rng = np.random.default_rng(seed)
    size = males + females
    kinship = np.zeros((size, size))
    for young in range(size):
        kinship[young, young] = 0.5
        if young >= 5:
            sire, dam = rng.choice(young, 2, replace=False)
            kinship[young, :young] = kinship[:young, young] = (kinship[sire, :young] + kinship[dam, :young]) / 2
            kinship[young, young] = (1 + kinship[sire, dam]) / 2
    order = rng.permutation(size)
    return (
        "abcdefghijklmnop"[:size],
        rng.normal(size=size),
        kinship[np.ix_(order, order)],
        (M,) * males + (F,) * females,
    )


def reference(
    gains: FloatArray, kinship: FloatArray, limits: LitterLimits, males: int
) -> tuple[float, set[tuple[int, ...]]]:
    """Best gain of every plan of whole clutches, pairs not looked at, and the plans that have it."""
    found: dict[tuple[int, ...], float] = {}
    for counts in product(*(range(cap + 1) for cap in limits.most_clutches)):
        if sum(counts[:males]) != limits.clutches or sum(counts[males:]) != limits.clutches:
            continue
        shares = np.array(counts) / (2 * limits.clutches)
        if shares @ kinship @ shares <= limits.group_kinship_at_most + 1e-12:
            found[counts] = float(gains @ shares)
    best = max(found.values())
    return best, {counts for counts, gain in found.items() if gain > best - 1e-9}


@pytest.mark.parametrize("seed", range(5))
def test_litters__best_of_every_plan(seed: int) -> None:
    ids, gains, kinship, sexes = line(seed, 4, 6)
    limits = LitterLimits(4, 0.2, [3] * 4 + [1] * 6, rounds=40)
    found = litters(ids, gains, kinship, sexes, limits)
    best, plans = reference(gains, kinship, limits, 4)
    assert found.is_best
    assert found.gain == pytest.approx(best, abs=1e-9)
    assert tuple(found.clutches.tolist()) in plans
    assert found.gap == pytest.approx(0.0, abs=1e-6)
    assert len(found.pairs) == 4


def test_litters__stopped_early_tells_the_gap() -> None:
    ids, gains, kinship, sexes = line(1, 4, 9)
    limits = LitterLimits(5, 0.165, [3] * 4 + [1] * 9, rounds=40)
    best, _ = reference(gains, kinship, limits, 4)
    found = litters(ids, gains, kinship, sexes, limits, cancelled=lambda: True)
    assert found.gain <= best + 1e-9 <= found.bound + 2e-9
    assert found.group_kinship <= 0.165 + 1e-12


def test_litters__no_pair_above_the_limit() -> None:
    """a is the sire of c and d; the other dam, e, is worth less, but only b can go to both of his daughters."""
    kinship = np.eye(5) / 2
    for young in (2, 3):
        kinship[0, young] = kinship[young, 0] = 0.25
    kinship[2, 3] = kinship[3, 2] = 0.25
    ids, gains, sexes = "abcde", [9.0, 1.0, 5.0, 5.0, 1.0], (M, M, F, F, F)
    free = litters(ids, gains, kinship, sexes, LitterLimits(2, 0.9, [2, 1, 1, 1, 1]))
    assert free.clutches.tolist() == [2, 0, 1, 1, 0]
    kept = litters(ids, gains, kinship, sexes, LitterLimits(2, 0.9, [2, 1, 1, 1, 1], inbreeding_at_most=0.125))
    assert kept.is_best
    assert kept.clutches.tolist() == [1, 1, 1, 0, 1] or kept.clutches.tolist() == [1, 1, 0, 1, 1]
    assert {inbreeding for _, _, inbreeding in kept.pairs} == {0.0}


def test_litters__pairs_with_the_least_inbreeding() -> None:
    kinship = np.eye(4) / 2
    kinship[0, 2] = kinship[2, 0] = 0.25
    found = litters("abcd", [1, 1, 1, 1], kinship, (M, M, F, F), LitterLimits(2, 0.9, [1, 1, 1, 1]))
    assert found.pairs == (("a", "d", 0.0), ("b", "c", 0.0))


def test_litters__none_keeps_the_limits() -> None:
    """Least group kinship of fractions .125; of a single clutch, one of each sex, .25."""
    with pytest.raises(DecisionError, match=r"DEC-104 .*No 1 whole clutches"):
        litters("abcd", [1, 2, 1, 2], np.eye(4) / 2, (M, M, F, F), LitterLimits(1, 0.2, [1, 1, 1, 1]))


def every_plan(limits: LitterLimits, males: int) -> list[tuple[int, ...]]:
    """All whole clutches within the caps."""
    return [
        counts
        for counts in product(*(range(cap + 1) for cap in limits.most_clutches))
        if sum(counts[:males]) == limits.clutches == sum(counts[males:])
    ]


@pytest.mark.parametrize("seed", range(6))
def test_least_litters__as_low_as_any_plan(seed: int) -> None:
    """Exchanges of single clutches end at the least of every plan, or a hair above it: 2 % allowed."""
    ids, gains, kinship, sexes = line(seed, 4, 6)
    limits = LitterLimits(4, 0.0, [3] * 4 + [1] * 6)
    found = least_litters(ids, gains, kinship, sexes, limits)
    shares = [np.array(counts) / 8 for counts in every_plan(limits, 4)]
    least = min(float(one @ kinship @ one) for one in shares)
    assert least - 1e-12 <= found.group_kinship <= 1.02 * least
    assert len(found.pairs) == 4


def test_litters__begun_at_a_plan_are_never_worse() -> None:
    ids, gains, kinship, sexes = line(3, 4, 6)
    limits = LitterLimits(4, 1.0, [3] * 4 + [1] * 6)
    least = least_litters(ids, gains, kinship, sexes, limits)
    tight = replace(limits, group_kinship_at_most=least.group_kinship)
    found = litters(ids, gains, kinship, sexes, tight, start=least.clutches)
    assert found.gain >= least.gain - 1e-12
    assert found.group_kinship <= least.group_kinship + 1e-12


def test_litters__barred_pairs_are_not_made() -> None:
    """The best sire may go to neither dam that is wanted most; he is given up or put to another."""
    barred = np.zeros((5, 5), dtype=np.bool_)
    barred[0, 2] = barred[0, 3] = True
    gains = np.array([5.0, 1.0, 3.0, 2.0, 0.0])
    sexes = (M, M, F, F, F)
    limits = LitterLimits(2, 1.0, [2, 2, 1, 1, 1], barred=barred)
    found = litters("abcde", gains, np.eye(5) / 2, sexes, limits)
    assert {(sire, dam) for sire, dam, _ in found.pairs} == {("a", "e"), ("b", "c")}
    assert found.gain == pytest.approx((5 + 1 + 3 + 0) / 4)
    least = least_litters("abcde", gains, np.eye(5) / 2, sexes, limits)
    assert not {("a", "c"), ("a", "d")} & {(sire, dam) for sire, dam, _ in least.pairs}


def test_least_litters__none_where_all_are_barred() -> None:
    limits = LitterLimits(1, 1.0, [1, 1], barred=np.ones((2, 2), dtype=np.bool_))
    with pytest.raises(DecisionError, match="DEC-104"):
        least_litters("ab", [1.0, 2.0], np.eye(2) / 2, (M, F), limits)
