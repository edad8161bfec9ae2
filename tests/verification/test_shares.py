"""The suite on shares of a line draws what the page says, and finds ranges that are too narrow or too wide."""

from __future__ import annotations

import numpy as np
import pytest
from verification.calibration import Said
from verification.shares import RANGE, Spread, drawn, faults, held, table, widths
from verification.stocks import Stock, stock

from holdback.descent.pedigree import assembled


def _said(true: float, *, said: float = 0.9) -> list[Said]:
    is_true = np.random.default_rng(1).random(8000) < true
    return [Said(RANGE, said, bool(one), f"world {number // 20}", ("of sibs",)) for number, one in enumerate(is_true)]


@pytest.mark.parametrize("true, said, n_faults", [(0.9, 0.9, 0), (0.91, 0.9, 0), (0.85, 0.9, 2), (0.97, 0.9, 2)])
def test_faults__ranges(true: float, said: float, n_faults: int) -> None:
    """Two points are allowed, more is told of all and of the group."""
    assert len(faults((held(_said(true, said=said)), []))) == n_faults


@pytest.mark.parametrize("scale, n_faults", [(1.0, 0), (1.3, 1), (0.7, 1)])
def test_faults__spreads(scale: float, n_faults: int) -> None:
    squared = scale * np.random.default_rng(2).normal(size=4000) ** 2
    spreads = [Spread("of sibs", f"world {number}", float(one)) for number, one in enumerate(squared)]
    assert len(faults(([], widths(spreads)))) == n_faults


def test_held__leaves_out_what_could_go_only_one_way() -> None:
    assert held([Said(RANGE, 1.0, True, f"world {number}", ()) for number in range(100)]) == []


@pytest.fixture(scope="module")
def some() -> list[Stock]:
    return [stock(np.random.default_rng(seed), 140) for seed in np.random.SeedSequence(3).spawn(10)]


def test_stock__holds_all_that_the_page_speaks_of(some: list[Stock]) -> None:
    ways = {how for one in some for how in one.bred.values()}
    assert {f"backcross {number}" for number in range(1, 5)} < ways
    assert {"first cross", "second cross", "of second-cross sibs", "of sibs", "of a doubtful sire"} < ways
    ends = [(said.low, said.high) for one in some for said in one.founders.values()]
    assert {(0.0, 0.0), (1.0, 1.0), (0.0, 1.0)} < set(ends)
    for one in some:
        assert 140 <= len(one.bred) <= 160
        made = assembled(one.draft, {}, 0.3)
        assert len(made) == len(one.bred) + len(one.founders) + len(one.draft.candidates)


def test_drawn__a_small_run_has_no_fault() -> None:
    found = drawn(1, 30, 4)
    assert faults(found) == []
    assert "| share in its 90 % range | all |" in table(found)
