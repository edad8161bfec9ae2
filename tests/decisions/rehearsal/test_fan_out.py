"""The same runs on several cores and on a cluster as here."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from tests.decisions.rehearsal.plans import double_visual

from holdback.decisions.rehearsal import rehearse
from holdback.errors import DecisionError
from holdback.heredity.network import Cancelled


def test_rehearse__two_processes_play_the_same_runs() -> None:
    stock, plan = double_visual()
    here = rehearse(stock, plan, runs=1000, seed=3)
    there = rehearse(stock, plan, runs=1000, seed=3, workers=2)
    assert np.array_equal(here.season_of_run, there.season_of_run)
    assert here.as_json() == there.as_json()


def test_rehearse__nothing_that_speaks_to_clusters(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(DecisionError, match=r"DEC-072.*not installed"):
        rehearse(*double_visual(), runs=250, cluster="tcp://127.0.0.1:8786")


def test_rehearse__tells_how_far_it_is_and_can_be_stopped() -> None:
    told: list[float] = []
    rehearse(*double_visual(), runs=5000, seasons=3, progress=told.append)
    assert told == [0.5, 1.0]
    with pytest.raises(Cancelled):
        rehearse(*double_visual(), runs=5000, seasons=3, progress=told.append, cancelled=lambda: len(told) > 2)


@pytest.mark.parametrize("name", ["runs", "seasons", "workers"])
def test_rehearse__nothing_to_play(name: str) -> None:
    with pytest.raises(DecisionError, match=rf"DEC-074.*{name} 0"):
        rehearse(*double_visual(), **{name: 0})  # type: ignore[arg-type]


def test_rehearse__no_seed() -> None:
    with pytest.raises(DecisionError, match=r"DEC-074.*-1 is no seed"):
        rehearse(*double_visual(), seed=-1)


def test_rehearse__stops_when_the_error_is_small_enough_wherever_it_is_cut() -> None:
    stock, plan = double_visual()
    found = rehearse(stock, plan, runs=20_000, seed=3, stop_at_error=0.01)
    assert found.runs < 3000
    assert found.by_wished.se <= 0.01
    assert found.as_json() == rehearse(stock, plan, runs=20_000, seed=3, stop_at_error=0.01, workers=2).as_json()
