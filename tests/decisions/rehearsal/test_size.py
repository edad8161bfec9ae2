"""Choosing by size against quantitative genetics in closed form.

Young of one pair differ by Mendelian sampling, half of the genetic variance. The best of k by its own size stands above
its sibs by i(k) sd_p in size, and by i(k) h2_w sd_p in breeding value: the breeder's equation R = i h2 sigma within a
family (Falconer & Mackay 1996, ch. 11 and 13). What selection leaves of the variance of those kept is 1 - k r2 of it
(Bulmer 1971), with k = 1 - Var(best) for the best of a few; Mendelian sampling of the next generation is as before.
"""

from __future__ import annotations

from dataclasses import replace
from math import comb, sqrt

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]
from tests.decisions.herd import herd
from tests.decisions.rehearsal.plans import ANY, HET, VIS, at_hand, bred, gene, kind, plan, step

from holdback.collection.model import Sex
from holdback.decisions.goal import SizeAim, SizeWish, Target
from holdback.decisions.rehearsal import Spread, rehearse
from holdback.decisions.steps import Plan, Side
from holdback.decisions.stock import Stock
from holdback.season.outlook import CountLaw
from holdback.size.intensity import intensity

SA, SE = 0.2, 0.25
N_YOUNG = 12
HALF = 0.5 * SA**2
RUNS = 10_000


def _stock(shares: tuple[float, ...]) -> Stock:
    """Males of these shares of the line and one female of none; clutches of exactly `N_YOUNG`, every year."""
    n = len(shares) + 1
    law = CountLaw(np.eye(N_YOUNG + 1)[N_YOUNG])
    males = [(2,), *[(0,)] * (len(shares) - 1)]
    stock = herd(males=males, females=[(0,)], genes=("enchi",), line="Ember", shares=[*shares, 0.0], lays=1.0)
    breeding = replace(stock.breeding, eggs=law, young=law, additive_sd=SA, environment_sd=SE)
    return replace(
        stock, eggs=(law,) * n, young=(law,) * n, breeding=breeding, size_mean=np.zeros(n), size_sd=np.full(n, SA)
    )


def _target() -> Target:
    return Target((gene("enchi", 1, is_hidden=False),), line="Ember", share=0.5)


FIRST = step(0, at_hand((VIS,), "m0"), at_hand((ANY,), "f0"), kind(HET, sex=Sex.FEMALE))
"""Its daughters show the gene, so that their dam does not stand in for them."""


def _of_line(animal: str, share: float) -> Side:
    return Side(kind(ANY, share=share), (animal,))


def _one_generation() -> tuple[Stock, Plan]:
    """The best daughter goes to a male of the line; the goal is one of their young."""
    goal = step(1, _of_line("m1", 1.0), bred((HET,), 0), kind(ANY, share=0.5))
    return _stock((0.0, 1.0)), plan(_target(), FIRST, goal)


def _two_generations() -> tuple[Stock, Plan]:
    """The best daughter of the best daughter."""
    second = step(1, _of_line("m1", 0.5), bred((HET,), 0), kind(ANY, sex=Sex.FEMALE, share=0.25))
    goal = step(2, _of_line("m2", 1.0), bred((ANY,), 1, 0.25), kind(ANY, share=0.5))
    return _stock((0.0, 0.5, 1.0)), plan(_target(), FIRST, second, goal)


def _daughters() -> list[tuple[int, float]]:
    """Numbers of daughters in a clutch with their chances, none left out."""
    chances = [(k, comb(N_YOUNG, k) / 2**N_YOUNG) for k in range(1, N_YOUNG + 1)]
    total = sum(chance for _, chance in chances)
    return [(k, chance / total) for k, chance in chances]


def _response() -> float:
    """Mean of the breeding value of the best daughter above her sibs."""
    mean_intensity = sum(chance * intensity(k, 1) for k, chance in _daughters())
    return mean_intensity * HALF / sqrt(HALF + SE**2)


def _played(stock: Stock, found: Plan, aim: SizeAim) -> Spread:
    played = rehearse(stock, found, runs=RUNS, seasons=20, seed=1, size=SizeWish(aim))
    assert played.size is not None
    return played.size


def test_rehearse__no_wish_no_response() -> None:
    found = _played(*_one_generation(), SizeAim.NONE)
    assert found.mean == pytest.approx(0.0, abs=4 * found.se)


def test_rehearse__response_of_one_generation() -> None:
    found = _played(*_one_generation(), SizeAim.BIGGER)
    assert found.mean == pytest.approx(0.5 * _response(), abs=4 * found.se)


def test_rehearse__response_of_two_generations() -> None:
    """Mendelian sampling is not used up: the second response is as large as the first, half of which was handed on."""
    found = _played(*_two_generations(), SizeAim.BIGGER)
    assert found.mean == pytest.approx(0.5 * (0.5 * _response() + _response()), abs=4 * found.se)


def test_rehearse__variance_left_after_choosing() -> None:
    """Var = 1/2 (Mendelian) + 1/4 (sire) + 1/4 (1/2 + 1/2 (1 - k r2)) (dam), in genetic variances."""
    z = np.linspace(-8.0, 8.0, 4001)
    density = sum(chance * k * stats.norm.pdf(z) * stats.norm.cdf(z) ** (k - 1) for k, chance in _daughters())
    mean, square = (float(np.trapezoid(z**power * density, z)) for power in (1, 2))
    se = SA / 4
    r2 = HALF / (HALF + se**2)
    dam = HALF + HALF * (1.0 - r2 + r2 * (square - mean**2))
    exact = 0.5 * SA**2 + 0.25 * SA**2 + 0.25 * dam
    stock, found = _one_generation()
    stock = replace(stock, breeding=replace(stock.breeding, environment_sd=se))
    played = rehearse(stock, found, runs=30_000, seasons=8, seed=2, size=SizeWish(SizeAim.BIGGER)).size
    assert played is not None
    within = 3 * np.sqrt(2 / 30_000)
    assert exact < (1.0 - 2 * within) * SA**2
    assert played.se**2 * 30_000 == pytest.approx(exact, rel=within)


def test_rehearse__nearer_to_the_band() -> None:
    stock, found = _one_generation()
    band = SizeWish(SizeAim.BAND, 700.0, 800.0)
    played = rehearse(stock, found, runs=2500, seasons=12, seed=1, size=band, ordinary_g=1500.0)
    assert played.size is not None
    assert played.size.mean == pytest.approx(-0.5 * _response(), abs=6 * played.size.se)
    unknown = rehearse(stock, found, runs=2500, seasons=12, seed=1, size=band)
    assert unknown.size is not None
    assert abs(unknown.size.mean) < 4 * unknown.size.se
