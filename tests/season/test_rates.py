"""Shares by group: sums by hand on small cases, brute force beside the grid, calibration."""

from __future__ import annotations

import math

import numpy as np
import pytest

from holdback.collection.estimate import Basis
from holdback.season.rates import Counted, Rates, rates


def test_rates__nothing_counted() -> None:
    assert rates([]) == Rates(None, (), None)
    assert rates([Counted("A", "1", 0, 0)]) == Rates(None, (), None)


def test_rates__counts_eggs_and_clutches() -> None:
    found = rates([Counted("A", "1", 7, 6), Counted("B", "2", 5, 5), Counted("A", "3", 4, 0)])
    assert [(one.group, one.n, one.k, one.clutches) for one in found.groups] == [("A", 11, 6, 2), ("B", 5, 5, 1)]
    assert found.groups[0].raw_percent == pytest.approx(100 * 6 / 11)
    assert found.whole is not None
    assert (found.whole.n, found.whole.k, found.whole.clutches) == (16, 11, 3)
    assert found.groups[0].share.ground == "6 of 11 eggs in 2 clutches; drawn towards all groups"


def test_rates__groups_are_drawn_towards_the_whole_the_more_the_fewer_eggs() -> None:
    few = rates([Counted("A", "1", 3, 0), *(Counted(str(g), f"{g}", 7, 6) for g in range(12))]).groups[0]
    many = rates(
        [*(Counted("A", f"a{c}", 7, 0) for c in range(6)), *(Counted(str(g), f"{g}", 7, 6) for g in range(12))]
    ).groups[0]
    assert 10 < few.share.mean < 75
    assert many.share.mean < few.share.mean
    assert many.share.high - many.share.low < few.share.high - few.share.low


def test_rates__eggs_of_a_clutch_that_fare_alike_say_less() -> None:
    """Sixty eggs, half of them lost: all or nothing by clutch leaves a wider range than half of each."""
    alike = rates([Counted("A", str(c), 6, 6 * (c % 2)) for c in range(10)])
    mixed = rates([Counted("A", str(c), 6, 3) for c in range(10)])
    assert alike.clumping is not None
    assert mixed.clumping is not None
    assert alike.clumping.mean > 2 * mixed.clumping.mean
    width = [found.groups[0].share.high - found.groups[0].share.low for found in (alike, mixed)]
    assert width[0] > 1.3 * width[1]


def test_rates__order_of_rows_changes_nothing() -> None:
    rows = [Counted("A", "1", 7, 6), Counted("B", "2", 5, 5), Counted("A", "3", 4, 0), Counted("C", "4", 6, 5, 0.4)]
    there = {one.group: one.share.mean for one in rates(rows).groups}
    back = {one.group: one.share.mean for one in rates(rows[::-1]).groups}
    assert there == pytest.approx(back)


def test_rates__clutch_of_a_doubtful_sire_counts_by_its_weight() -> None:
    """The surer that a bad clutch is his, the lower his share; at no weight it says nothing of him."""
    others = [Counted(str(g), f"{g}", 7, 6) for g in range(6)]

    def of_a(weight: float) -> float:
        bad = [Counted("A", "bad", 7, 0, weight)]
        return next(
            one.share.mean for one in rates([Counted("A", "a", 7, 6), *others, *bad]).groups if one.group == "A"
        )

    without = rates([Counted("A", "a", 7, 6), *others]).groups[0].share.mean
    means = [of_a(weight) for weight in (0.05, 0.5, 0.95, 1.0)]
    assert means == sorted(means, reverse=True)
    assert means[0] < without + 3
    assert means[-1] < without - 10


def test_rates__clutch_of_a_doubtful_sire_is_counted_where_it_is_likelier_his() -> None:
    rows = [Counted("A", "1", 7, 6, 0.7), Counted("B", "1", 7, 6, 0.3)]
    his, other = rates(rows).groups
    assert (his.n, his.clutches) == (7, 1)
    assert (other.n, other.clutches) == (0, 0)
    assert math.isnan(other.raw_percent)
    assert other.share.basis is Basis.ASSUMED
    assert "1 clutch that may count as well" in other.share.ground
    whole = rates(rows).whole
    assert whole is not None
    assert (whole.n, whole.k) == (7, 6)


def reference_share(rows: list[Counted], group: str, *, seed: int) -> float:
    """Mean share of a group by drawing everything from the priors, weighed by the chance of the counts."""
    rng = np.random.default_rng(seed)
    size = 400_000
    whole, rho, tau = rng.uniform(size=size), rng.beta(1, 4, size), rng.beta(1, 4, size)
    log_weight, shares = np.zeros(size), {}
    for each in dict.fromkeys(row.group for row in rows):
        shares[each] = rng.beta(whole * (1 - tau) / tau + 1e-9, (1 - whole) * (1 - tau) / tau + 1e-9)
    for row in rows:
        m = np.clip(shares[row.group], 1e-9, 1 - 1e-9)
        a, b = m * (1 - rho) / rho, (1 - m) * (1 - rho) / rho
        log_weight += sum(np.log(a + i) for i in range(row.k))
        log_weight += sum(np.log(b + i) for i in range(row.n - row.k))
        log_weight -= sum(np.log(a + b + i) for i in range(row.n))
    weight = np.exp(log_weight - log_weight.max())
    return 100 * float((weight * shares[group]).sum() / weight.sum())


@pytest.mark.slow
def test_rates__equals_drawing_from_the_priors() -> None:
    """Another way to the same posterior: 400,000 weighed draws; their error is about a fifth of a percent here."""
    rows = [Counted("A", "1", 5, 5), Counted("A", "2", 6, 2), Counted("B", "3", 7, 7), Counted("C", "4", 4, 1)]
    found = {one.group: one.share.mean for one in rates(rows).groups}
    for group in "ABC":
        assert found[group] == pytest.approx(reference_share(rows, group, seed=3), abs=1.2)


@pytest.mark.slow
def test_rates__ranges_hold_what_they_say() -> None:
    """Collections drawn from the model: the 90 % ranges of groups and of the whole hold nine of ten."""
    rng = np.random.default_rng(11)

    def share(mean: float, correlation: float) -> float:
        scale = (1 - correlation) / correlation
        return float(rng.beta(max(mean * scale, 1e-9), max((1 - mean) * scale, 1e-9)))

    held, whole_held = [], []
    for _ in range(1_000):
        mean, (rho, tau) = rng.uniform(), np.clip(rng.beta(1, 4, 2), 1e-4, 0.999)
        truth = {str(group): share(mean, tau) for group in range(6)}
        rows = []
        for number in range(24):
            group = str(rng.integers(6))
            n = int(rng.integers(3, 10))
            rows.append(Counted(group, str(number), n, int(rng.binomial(n, share(truth[group], rho)))))
        found = rates(rows)
        held += [one.share.low <= 100 * truth[one.group] <= one.share.high for one in found.groups]
        assert found.whole is not None
        whole_held.append(found.whole.share.low <= 100 * mean <= found.whole.share.high)
    assert 0.88 <= np.mean(held) <= 0.92
    assert 0.86 <= np.mean(whole_held) <= 0.94
