"""Ranges held against the truth over many collections: how often they hold it, and how wide they would have to be.

What is said of one collection goes together, so errors are taken between collections.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from verification.size_told import EFFECT, GROWN, MIDDLE, YOUNG, LineTold, Scored, Told

FloatArray = npt.NDArray[np.float64]

ORDER = {YOUNG: 0, MIDDLE: 1, GROWN: 2, "under 4 founders": 3, "4 to 8 founders": 4, "over 8 founders": 5}
"""Of groups in a table."""
RESAMPLES = 200
"""Of the collections, for the error of a widening."""


@dataclass(frozen=True, slots=True)
class Held:
    """Ranges of one kind on one group.

    Parameters
    ----------
    kind, group : str
        What is said, and of which animals.
    count : int
        Ranges.
    cover, error : float
        Part that holds the truth, and its standard error between collections.
    bias, bias_error : float
        Mean of what is said less the truth, and its standard error.
    rmse, half : float
        Root of the mean squared error, and mean half width of the ranges.
    widening, widening_error : float
        Factor on all widths with which nine of ten ranges would hold the truth, and its standard error.
    """

    kind: str
    group: str
    count: int
    cover: float
    error: float
    bias: float
    bias_error: float
    rmse: float
    half: float
    widening: float
    widening_error: float


def held(found: Sequence[Scored]) -> list[Held]:
    """Ranges by kind and group: kinds as they are first said, of each first all together."""
    groups: dict[tuple[str, str], list[list[Told]]] = {}
    for one in found:
        of_one: dict[tuple[str, str], list[Told]] = {}
        for told in one.told:
            for group in dict.fromkeys(("all", told.group)):
                of_one.setdefault((told.kind, group), []).append(told)
        for key, each in of_one.items():
            groups.setdefault(key, []).append(each)
    kinds = list(dict.fromkeys(kind for kind, _ in groups))
    rows = sorted(groups, key=lambda key: (kinds.index(key[0]), key[1] != "all", ORDER.get(key[1], len(ORDER)), key[1]))
    return [_held(*key, groups[key]) for key in rows]


def _held(kind: str, group: str, found: Sequence[Sequence[Told]]) -> Held:
    """Ranges of some collections."""
    away = [np.array([one.away for one in each]) for each in found]
    errors = [np.array([one.mean - one.true for one in each]) for each in found]
    cover, error = _mean([(each <= 1.0).astype(np.float64) for each in away])
    bias, bias_error = _mean(errors)
    rng = np.random.default_rng(len(found))
    draws = [rng.integers(len(found), size=len(found)) for _ in range(RESAMPLES)]
    widenings = [_widening([away[number] for number in each.tolist()]) for each in draws]
    return Held(
        kind, group, sum(len(each) for each in found), cover, error, bias, bias_error,
        rmse=float(np.sqrt(_mean([each**2 for each in errors])[0])),
        half=float(np.mean([one.half for each in found for one in each])),
        widening=_widening(away), widening_error=float(np.std(widenings)),
    )  # fmt: skip


def _widening(away: Sequence[FloatArray]) -> float:
    return float(np.quantile(np.concatenate(away), 0.9))


def _mean(found: Sequence[FloatArray]) -> tuple[float, float]:
    """Mean over everything, and its standard error between collections."""
    count = sum(len(each) for each in found)
    mean = float(sum(each.sum() for each in found) / count)
    apart = np.array([float((each - mean).sum()) for each in found])
    return mean, float(np.sqrt((apart**2).sum() * len(found) / max(1, len(found) - 1)) / count)


@dataclass(frozen=True, slots=True)
class Rate:
    """Part of some collections, with its standard error.

    Parameters
    ----------
    count : int
        Collections.
    part, error : float
        Part and its standard error, no smaller than if one collection more had gone the other way.
    """

    count: int
    part: float
    error: float

    def __str__(self) -> str:
        """Two decimals, and the error."""
        return f"{self.part:.2f} ± {self.error:.2f}" if self.count else "-"


def rate(found: Sequence[LineTold], is_so: Callable[[LineTold], bool]) -> Rate:
    """How often something is said of a line."""
    count = len(found)
    if not count:
        return Rate(0, 0.0, 0.0)
    part = sum(is_so(one) for one in found) / count
    smoothed = (part * count + 1.0) / (count + 2.0)
    return Rate(count, part, float(np.sqrt(smoothed * (1.0 - smoothed) / count)))


def lines_of(found: Sequence[Scored], effect: float) -> list[LineTold]:
    """What is said of lines of a true effect."""
    return [line for one in found for line in one.lines if line.effect == effect]


def of(rows: Sequence[Held], kind: str, group: str = "all") -> Held | None:
    """One row, None where nothing of the kind was said."""
    return next((row for row in rows if (row.kind, row.group) == (kind, group)), None)


def effect_row(lines: Sequence[LineTold]) -> Held:
    """Ranges of the effects of some lines, each of a collection of its own."""
    return _held(EFFECT, "all", [[one.told] for one in lines])


def reliability(found: Sequence[Scored]) -> tuple[float, float]:
    """Mean reliability said, and the part of the genetic variance within lines that is explained, both by variance."""
    genetic = np.array([one.genetic for one in found])
    said = float(np.average([one.reliability for one in found], weights=genetic))
    return said, 1.0 - float(sum(one.missed for one in found) / genetic.sum())
