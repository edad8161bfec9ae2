"""The same rehearsals on a Dask cluster as here; the environment of the engine has no client for clusters."""

from __future__ import annotations

import socket

import pytest
from distributed import LocalCluster
from tests.decisions.rehearsal.plans import double_visual

from holdback.decisions.rehearsal import rehearse
from holdback.errors import DecisionError


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
    return port


@pytest.mark.filterwarnings("ignore")
def test_rehearse__a_cluster_plays_the_same_runs() -> None:
    stock, plan = double_visual()
    with LocalCluster(  # type: ignore[no-untyped-call]
        n_workers=1,
        threads_per_worker=1,
        processes=False,
        scheduler_port=_free_port(),
        dashboard_address=None,
        protocol="tcp",
        host="127.0.0.1",
    ) as cluster:
        there = rehearse(stock, plan, runs=1000, seed=3, cluster=cluster.scheduler_address)
    assert there.as_json() == rehearse(stock, plan, runs=1000, seed=3).as_json()


@pytest.mark.filterwarnings("ignore")
def test_rehearse__no_cluster_at_the_address(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("holdback.decisions.rehearsal.fan_out.PATIENCE", "300ms")
    with pytest.raises(DecisionError, match=r"DEC-073.*No cluster answers"):
        rehearse(*double_visual(), runs=250, cluster=f"tcp://127.0.0.1:{_free_port()}")
