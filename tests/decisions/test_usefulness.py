"""Which cross promises the best single young."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from holdback.collection.model import Sex
from holdback.decisions.stock import Breeding, Stock
from holdback.decisions.usefulness import best_of, promises, spread_within, usefulness
from holdback.season.outlook import CountLaw
from holdback.size.intensity import intensity

SIX = CountLaw(np.array([0.0] * 6 + [1.0]))
NONE = CountLaw(np.array([1.0]))


class NoGenes:
    """Nothing is asked of genes here."""

    at = couple = phase = draw = None


def stock() -> Stock:
    """A wide and a narrow cross: b is inbred to 3/4, c has no breeding value."""
    return Stock(
        year=2027,
        animals=("a", "b", "c", "d"),
        sexes=(Sex.MALE, Sex.MALE, Sex.MALE, Sex.FEMALE),
        ready=np.zeros(4, dtype=np.int64),
        clutches=np.array([4, 4, 4, 1]),
        lays=np.array([np.nan, np.nan, np.nan, 0.7]),
        eggs=(NONE, NONE, NONE, SIX),
        young=(NONE, NONE, NONE, SIX),
        kinship=np.diag([0.5, 0.875, 0.5, 0.5]),
        shares={},
        size_mean=np.array([0.1, 0.11, np.nan, 0.0]),
        size_sd=np.full(4, 0.05),
        genes=NoGenes(),  # type: ignore[arg-type]
        breeding=Breeding(SIX, SIX, 0.5, 0.7, additive_sd=0.2),
    )


def test_promises__the_wide_cross_overtakes_where_the_best_is_known_well() -> None:
    pairs = [("a", "d"), ("b", "d"), ("c", "d")]
    known, blind = (promises(stock(), pairs, accuracy=accuracy) for accuracy in (0.6, 0.0))
    assert [one.sire for one in known] == ["a", "b"]
    assert [one.sire for one in blind] == ["b", "a"]
    assert known[0].mean == 0.05
    assert known[0].spread == pytest.approx(0.2 * math.sqrt(0.5))
    assert known[0].best == pytest.approx(0.05 + intensity(6, 1) * 0.6 * 0.2 * math.sqrt(0.5))


def test_promises__a_dam_without_young_promises_nothing() -> None:
    barren = replace(stock(), young=(NONE,) * 4)
    assert promises(barren, [("a", "d")], accuracy=0.6) == ()


def test_best_of__mixed_over_the_number() -> None:
    law = CountLaw(np.array([0.5, 0.25, 0.0, 0.25]))
    assert best_of(law) == pytest.approx((0 + intensity(3, 1)) / 2)
    assert best_of(law) < intensity(2, 1)


def test_spread_within__nothing_left_in_a_fully_inbred_pair() -> None:
    assert spread_within(0.2, 1.0, 1.0) == 0.0


def test_usefulness__no_accuracy_leaves_the_mean() -> None:
    assert usefulness(5.0, 2.0, stands_out=1.4, accuracy=0.0) == 5.0
