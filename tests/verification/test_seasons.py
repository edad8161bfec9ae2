"""The suite on seasons finds windows that are too narrow or too wide, and draws keepers with holes in their records."""

from __future__ import annotations

import numpy as np
import pytest
from verification.calibration import Said
from verification.season_keepers import Keeper, keeper
from verification.seasons import LAYS, chances_table, drawn, faults, windows_table

from holdback.species.catalogue import load

WINDOW = "hatching in its 80 % window"


def _windows(held: float) -> list[Said]:
    is_true = np.random.default_rng(1).random(8000) < held
    return [Said(WINDOW, 0.8, bool(one), f"keeper {number // 20}", ("few",)) for number, one in enumerate(is_true)]


@pytest.mark.parametrize("held, n_faults", [(0.8, 0), (0.815, 0), (0.72, 1), (0.88, 1)])
def test_faults__windows(held: float, n_faults: int) -> None:
    assert len(faults(_windows(held))) == n_faults


@pytest.mark.parametrize("bolder, is_found", [(1.0, False), (1.5, True)])
def test_faults__chances_of_laying(bolder: float, is_found: bool) -> None:
    rng = np.random.default_rng(2)
    chances = rng.uniform(0.05, 0.95, 6000)
    said = [
        Said(LAYS, float(np.clip(0.5 + bolder * (chance - 0.5), 0.01, 0.99)), bool(rng.random() < chance), f"{number}")
        for number, chance in enumerate(chances)
    ]
    assert bool(faults(said)) is is_found


@pytest.fixture(scope="module")
def one() -> Keeper:
    return keeper(np.random.default_rng(3), load())


def test_keeper__has_the_holes_it_is_meant_to_have(one: Keeper) -> None:
    laid = [clutch.laid for clutch in one.collection.records.clutches if clutch.laid]
    assert 0 < sum(not date.day for date in laid) < 0.25 * len(laid)
    assert any(clutch.hatched is None for clutch in one.collection.records.clutches)
    assert {true.season for true in one.truth} == set(range(2020, one.season + 1))
    for true in one.truth:
        if true.laid is not None and true.hatched is not None and true.ready is not None:
            assert true.laid < true.hatched < true.ready


@pytest.mark.slow
def test_drawn__a_few_keepers_without_a_fault() -> None:
    said = drawn(6, 5)
    assert faults(said) == []
    assert "| laying | all |" in windows_table(said)
    assert "last sign: paired" in chances_table(said)
