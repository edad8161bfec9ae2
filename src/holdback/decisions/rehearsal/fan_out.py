"""Parts of a rehearsal one after the other, on several cores, or on the machines of a cluster: the same either way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from typing import Any, Protocol

from holdback.decisions.rehearsal.play import Played, play
from holdback.decisions.rehearsal.setting import Setting
from holdback.decisions.rehearsal.true_genes import CodeArray
from holdback.errors import DecisionError, Fault

AHEAD = 2
"""Parts handed out for each worker before the first has come back."""

PATIENCE = "10s"
"""How long an address has to answer."""


class Waiting(Protocol):
    """A part that is being played."""

    def result(self) -> Played:
        """What came of it."""


Begin = Callable[[Setting, CodeArray, int, int], Waiting]
"""Begins a part: setting, true genotypes, seed, first run."""


class _Now:
    """A part that is played when it is asked for."""

    def __init__(self, setting: Setting, alleles: CodeArray, seed: int, first: int) -> None:
        self._task = (setting, alleles, seed, first)

    def result(self) -> Played:
        """Play it."""
        return play_part(*self._task)


def play_part(setting: Setting, alleles: CodeArray, seed: int, first: int) -> Played:
    """Play a part; what is sent to workers."""
    return play(setting, alleles, seed=seed, first=first)


@contextmanager
def hands(workers: int, cluster: str) -> Iterator[tuple[Begin, int]]:
    """Something that begins parts, and how many may be under way at once.

    Parameters
    ----------
    workers : int
        Processes; 1 plays here.
    cluster : str
        Address of the scheduler of a cluster; empty for none.

    Raises
    ------
    DecisionError
        DEC-072 if the client of clusters is not installed, DEC-073 if the address does not answer.
    """
    if cluster:
        with _cluster(cluster) as client:
            yield _begin_there(client), AHEAD * max(1, len(client.scheduler_info()["workers"]))
    elif workers > 1:
        pool = ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
        try:
            yield lambda *task: pool.submit(play_part, *task), AHEAD * workers
        finally:
            pool.shutdown(cancel_futures=True)
    else:
        yield _Now, 1


def _begin_there(client: Any) -> Begin:
    def begin(setting: Setting, alleles: CodeArray, seed: int, first: int) -> Waiting:
        found: Waiting = client.submit(play_part, setting, alleles, seed, first, pure=False)
        return found

    return begin


@contextmanager
def _cluster(address: str) -> Iterator[Any]:
    try:
        import distributed
    except ImportError as absent:
        what = "A cluster was named, but what speaks to clusters is not installed."
        hint = 'Install it with the extra "cluster", or leave the address out.'
        raise DecisionError(Fault("DEC-072", what, hint, value=address)) from absent
    try:
        connect: Callable[..., Any] = distributed.Client
        client = connect(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as away:
        what = f"No cluster answers at {address}."
        raise DecisionError(Fault("DEC-073", what, "Check the address, or leave it out.", value=address)) from away
    try:
        yield client
    finally:
        client.close()
