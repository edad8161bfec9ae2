"""Eggs, slugs and young: what the laws say before any record, and how records move them."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import numpy as np
import pytest

from holdback.collection.collection import Collection
from holdback.season.clumped import ClumpedRate, binomials, sum_of
from holdback.season.clutch_counts import ClutchCounts, good_egg_rate
from holdback.season.clutch_sizes import ClutchSizes, SizeRecord
from holdback.season.loss_days import LossDays
from holdback.species import load

BEFORE = dt.date(2026, 5, 15)
CLUMPING = (0.05, 0.2, 0.4)


def counts_of(**tables: list[dict[str, Any]]) -> ClutchCounts:
    """Laws of numbers of a dam D1 that was hatched in 2016, and D2 that was bred here."""
    animals = [
        {"id": "D1", "sex": "female", "hatched": "2016"},
        {"id": "D2", "sex": "female", "hatched": "2021", "dam": "D1"},
    ]
    return ClutchCounts.learned(Collection.from_frames({"animals": animals, **tables}), load(), before=BEFORE)


def clutches(n: int, eggs: int, *, dam: str = "D1", slugs: int = 0) -> list[dict[str, Any]]:
    """Rows of clutches of one size, one a year."""
    return [{"id": f"C{i}", "dam": dam, "laid": f"{2025 - i}-04-10", "eggs": eggs, "slugs": slugs} for i in range(n)]


def test_eggs_and_young__without_own_records_are_those_published() -> None:
    """5,344 eggs in 783 clutches are 6.83 each; 81 % of them are 5.53 young a clutch (Morrill and others 2011)."""
    counts = counts_of()
    assert counts.eggs().mean == pytest.approx(5344 / 783, abs=0.006)
    assert counts.young().mean == pytest.approx(5.53, abs=0.01)
    assert counts.eggs().chances.sum() == pytest.approx(1)
    assert counts.young().chances.sum() == pytest.approx(1)
    assert counts.ground() == "6.83 eggs a clutch (published)"


def test_eggs__a_first_clutch_is_smaller() -> None:
    assert counts_of().eggs("D2").mean == pytest.approx(4.5, abs=0.01)


def test_eggs__an_old_dam_from_elsewhere_is_as_likely_in_her_first_clutch_as_not() -> None:
    assert counts_of().eggs("D1").mean == pytest.approx((4.5 + 6.83) / 2, abs=0.01)


def test_eggs__rise_with_her_mass_by_the_power_of_the_species_file() -> None:
    masses = [{"animal": "D1", "date": "2026-02-01", "trait": "mass", "value": 3800, "unit": "g"}]
    heavy = counts_of(measurements=masses, clutches=clutches(1, 7)).sizes.law("", mass_g=3800, first=0)
    powers = (0.3, 0.65, 0.65, 1)
    expected = 6.83 * sum(2**power for power in powers) / 4
    alone = ClutchSizes.learned((), load()).law("", mass_g=3800, first=0)
    assert alone.mean == pytest.approx(expected, rel=0.01)
    assert heavy.mean == pytest.approx(expected, rel=0.05)


def test_eggs__own_records_draw_all_dams_and_hers_most() -> None:
    counts = counts_of(clutches=clutches(4, 10))
    assert 6.83 < counts.eggs().mean < counts.eggs("D1").mean < 10
    assert counts.ground("D1") == "4 clutches of yours, 4 of them hers, drawn towards 6.83 eggs a clutch (published)"


def test_eggs__clutches_set_aside_do_not_count() -> None:
    rows = [{**row, "set_aside": "a spike of heat"} for row in clutches(4, 12)]
    assert counts_of(clutches=rows).n_own == 0


def test_learned__the_keepers_mean_is_that_of_brute_force() -> None:
    """Posterior mean of m at one point of the grid against integration over m on a fine grid."""
    eggs = [("A", 5), ("A", 6), ("B", 9), ("C", 8), ("C", 4)]
    sizes = ClutchSizes.learned(tuple(SizeRecord(dam, n, None, 0.0) for dam, n in eggs), load())
    point = 31
    sigma, share = sizes.sigma[point], sizes.dam_share[point]
    m = np.linspace(2, 12, 20001)
    prior_sd = (8.1 - 6) / (2 * 1.6448536)
    log_post = -(((m - 6.83) / prior_sd) ** 2) / 2
    for dam in "ABC":
        y = np.array([n for name, n in eggs if name == dam], dtype=float)
        cov = sigma**2 * ((1 - share) * np.eye(len(y)) + share)
        away = y[:, None] - m
        log_post -= (away * np.linalg.solve(cov, away)).sum(axis=0) / 2
    post = np.exp(log_post - log_post.max())
    assert sizes.mean[point] == pytest.approx((post @ m) / post.sum(), abs=1e-6)


def test_slugs__clump_by_dam() -> None:
    rows = clutches(3, 8, slugs=4) + [{**row, "id": f"E{row['id']}"} for row in clutches(3, 8, dam="D2")]
    counts = counts_of(clutches=rows)
    assert counts.slugs_by("D2").mean < counts.slugs.mean < counts.slugs_by("D1").mean < 0.5


def test_hatching__own_ends_draw_the_rate() -> None:
    eggs = [
        {"clutch": f"C{i}", "egg": str(j), "outcome": "died" if j < 4 else "hatched"}
        for i in range(4)
        for j in range(8)
    ]
    counts = counts_of(clutches=clutches(4, 8), eggs=eggs)
    assert counts.hatching.n_own == 32
    assert 0.5 < counts.hatching.mean < good_egg_rate(load()).value


@pytest.mark.parametrize("mean, sd", [(0.9, 0.07), (0.1, 0.03), (0.5, 0.1)])
def test_clumped__means_hold_and_nodes_agree_with_the_closed_form(mean: float, sd: float) -> None:
    rate = ClumpedRate.learned(mean, sd, CLUMPING)
    assert rate.mean == pytest.approx(mean, abs=1e-3)
    rates, weights = rate.nodes()
    by_nodes = np.array([weights @ (math.comb(6, k) * rates**k * (1 - rates) ** (6 - k)) for k in range(7)])
    assert by_nodes == pytest.approx(rate.chances(6), abs=3e-3)
    rng = np.random.default_rng(1)
    drawn = rate.draw(rng, rate.draw_points(rng, 20000))
    assert drawn.mean() == pytest.approx(mean, abs=0.01)


def test_clumped__two_of_a_group_are_alike() -> None:
    """Two of two have the mean squared and the covariance of the clumping as chance, by hand."""
    rate = ClumpedRate.learned(0.8, 0.001, (0.2, 0.2, 0.2))
    assert rate.chances(2)[2] == pytest.approx(0.8**2 + 0.2 * 0.8 * 0.2, abs=1e-4)


def test_clumped__posterior_is_that_of_brute_force() -> None:
    k, n = np.array([1, 4]), np.array([5, 6])
    rate = ClumpedRate.learned(0.5, 0.15, (0.2, 0.2, 0.2), k=k, n=n)
    mu = np.linspace(0.0005, 0.9995, 4000)
    size = 0.25 / 0.15**2 - 1

    def log_beta(a: float, b: float) -> float:
        return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)

    def weight(m: float) -> float:
        prior = (size / 2 - 1) * (math.log(m) + math.log(1 - m))
        a, b = 4 * m, 4 * (1 - m)
        return math.exp(prior + sum(log_beta(a + x, b + y - x) - log_beta(a, b) for x, y in zip(k, n, strict=True)))

    weights = np.array([weight(float(m)) for m in mu])
    assert rate.mean == pytest.approx(weights @ mu / weights.sum(), abs=2e-4)


def test_sum_of__is_a_convolution_at_each_rate() -> None:
    rates = np.array([0.2, 0.7])
    assert sum_of([binomials(2, rates), binomials(3, rates)]) == pytest.approx(binomials(5, rates))


def test_losses__an_egg_alive_late_nearly_always_hatches() -> None:
    losses = LossDays.learned([], load())
    assert losses.to_come(0) == 1
    assert losses.hatch_chance(0.9, 0) == pytest.approx(0.9)
    assert losses.hatch_chance(0.9, 42) > 0.94
    early = LossDays.learned([3, 5, 9, 12, 8, 4], load())
    assert early.hatch_chance(0.9, 42) > losses.hatch_chance(0.9, 42)


def test_learned__a_species_that_states_little_has_laws_too() -> None:
    collection = Collection.from_frames({"animals": [{"id": "A"}]})
    counts = ClutchCounts.learned(collection, load("pantherophis_guttatus"), before=BEFORE)
    assert counts.eggs().mean == pytest.approx(15, abs=0.01)
    assert counts.young().mean == pytest.approx(15 * 0.85, abs=0.05)
