"""How a case is timed, and what is told of it."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

REPEATS = 5


class WrongError(Exception):
    """A result that differs from the one it is held against; its time does not count."""


@dataclass(frozen=True)
class Measured:
    """Figures of one case.

    Parameters
    ----------
    case, what : str
        Short name and one line on it.
    seconds : float
        Median of the own code.
    spread : tuple of float
        Quickest and slowest repeat.
    limit : float or None
        Seconds that we hold ourselves to; stated, never a failure.
    ratio : float or None
        Peer's median by own median; above 1 the own code is quicker.
    ratio_spread : tuple of float or None
        Smallest and largest ratio of one repeat.
    notes : mapping of str to float
        Further figures.
    """

    case: str
    what: str
    seconds: float
    spread: tuple[float, float]
    limit: float | None = None
    ratio: float | None = None
    ratio_spread: tuple[float, float] | None = None
    notes: dict[str, float] = field(default_factory=dict)


def one(call: Callable[[], object], *, rounds: int) -> float:
    """Seconds of one call, the mean of some rounds."""
    start = time.perf_counter()
    for _ in range(rounds):
        call()
    return (time.perf_counter() - start) / rounds


def alternate(
    own: Callable[[], object], peer: Callable[[], object], *, rounds: tuple[int, int]
) -> tuple[list[float], list[float]]:
    """Seconds of the own code and of the peer, one after the other in each repeat, after one call of each to warm."""
    own(), peer()
    mine, theirs = [], []
    for _ in range(REPEATS):
        mine.append(one(own, rounds=rounds[0]))
        theirs.append(one(peer, rounds=rounds[1]))
    return mine, theirs


def compared(case: str, what: str, mine: Sequence[float], theirs: Sequence[float]) -> Measured:
    """Figures of a case with a peer."""
    each = [other / own for own, other in zip(mine, theirs, strict=True)]
    return Measured(
        case,
        what,
        statistics.median(mine),
        (min(mine), max(mine)),
        ratio=statistics.median(theirs) / statistics.median(mine),
        ratio_spread=(min(each), max(each)),
        notes={"peer_seconds": statistics.median(theirs)},
    )


def alone(case: str, what: str, seconds: Sequence[float], *, limit: float, **notes: float) -> Measured:
    """Figures of a case without a peer."""
    return Measured(case, what, statistics.median(seconds), (min(seconds), max(seconds)), limit=limit, notes=notes)
