"""Whole clutches that come nearest to the optimum contributions: which dams, and how many clutches of which sire.

Notation as in `optimum`, with c = clutches / (2 n) for n clutches in all. The limit c'Fc <= K is convex, so a plane
through any point that breaks it cuts that point off and no point that keeps it: 2 p'F c - p'F p <= K. Integer programs
with such planes are solved one after the other; each gives a bound on the gain, and each answer, mended by exchanges if
it breaks the limit, a plan. It ends with the best plan proven, or with the gap told.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.contributions.exchange import exchanged, least_akin
from holdback.decisions.contributions.optimum import Contributions, contributions, least_inbreeding, problem_of
from holdback.decisions.contributions.problem import Problem
from holdback.decisions.contributions.whole import Split, Whole, mated, solved
from holdback.errors import DecisionError, Fault

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

_OUTLINE = 30
"""Planes laid before whole clutches are asked for."""


@dataclass(frozen=True, eq=False)
class LitterLimits:
    """What whole clutches must keep to.

    Parameters
    ----------
    clutches : int
        Clutches in all, n.
    group_kinship_at_most : float
        Limit on the mean kinship of the young.
    most_clutches : int array, shape (n_animals,)
        Most clutches of each: 1 or 0 of a female in a season.
    inbreeding_at_most : float
        Largest inbreeding coefficient of the young of any pair.
    rounds : int
        Integer programs at most: more close the gap further.
    barred : bool array, shape (n_animals, n_animals), optional
        Sires (rows) and dams (columns) that are not put to each other, whatever their kinship.
    """

    clutches: int
    group_kinship_at_most: float
    most_clutches: Sequence[int] | IntArray
    inbreeding_at_most: float = 1.0
    rounds: int = 8
    barred: BoolArray | None = None


@dataclass(frozen=True, eq=False)
class Litters:
    """Whole clutches for a line.

    Parameters
    ----------
    animals : tuple of str
        Ids, n of them.
    clutches : int array, shape (n,)
        Clutches of each.
    pairs : tuple of (str, str, float)
        Sire, dam and the inbreeding coefficient of their young, least in all for these clutches.
    gain : float
        Expected breeding value of the young, in the unit of the gains given.
    bound : float
        No plan of whole clutches within the limit gains more.
    group_kinship : float
        Mean kinship among the young, an animal with itself counted in.
    is_best : bool
        Whether the gap between gain and bound is closed.
    """

    animals: tuple[str, ...]
    clutches: IntArray
    pairs: tuple[tuple[str, str, float], ...]
    gain: float
    bound: float
    group_kinship: float
    is_best: bool

    @property
    def gap(self) -> float:
        """What a better plan could gain at most, in the unit of the gains."""
        return self.bound - self.gain


def litters(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    limits: LitterLimits,
    *,
    start: IntArray | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Litters:
    """Whole clutches with the most gain within a limit on the mean kinship of the young.

    Parameters
    ----------
    animals, gains, kinship, sexes
        As in `contributions`.
    limits : LitterLimits
        What they must keep to.
    start : int array, shape (n,), optional
        Clutches of a plan that keeps the limits, to be improved on.
    cancelled : callable, optional
        Ends the search early with the best plan so far.

    Raises
    ------
    DecisionError
        DEC-100 to DEC-103 as in `contributions`; DEC-104 if no plan of whole clutches keeps the limits.
    """
    relaxed = contributions(
        animals,
        gains,
        kinship,
        sexes,
        group_kinship_at_most=limits.group_kinship_at_most,
        most=_shares(limits),
    )
    whole = _whole(animals, gains, kinship, sexes, limits)
    best, bound = _searched(whole, relaxed, limits.rounds, start, cancelled)
    if best is None:
        raise DecisionError(_none(limits))
    gain = whole.gain(best)
    return replace(
        _plan(animals, whole, best), bound=max(bound, gain), is_best=bound - gain <= _tolerance(whole.problem)
    )


def least_litters(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    limits: LitterLimits,
) -> Litters:
    """Whole clutches with the least mean kinship of the young that was found, whatever the gain.

    Parameters
    ----------
    animals, gains, kinship, sexes
        As in `contributions`.
    limits : LitterLimits
        What they must keep to; its limit on the group kinship is not looked at.

    Returns
    -------
    Litters
        With `bound` infinite: what others gain is not looked at.

    Raises
    ------
    DecisionError
        DEC-101 to DEC-103 as in `contributions`; DEC-104 if no plan of whole clutches keeps the limits.

    Notes
    -----
    From the least fractional contributions to the whole clutches that lie nearest by the slope of the kinship there,
    then the exchange of a clutch that lowers it most, while there is one.
    """
    free = replace(limits, group_kinship_at_most=1.0)
    relaxed = least_inbreeding(animals, gains, kinship, sexes, most=_shares(free))
    slope = -2 * np.asarray(kinship, dtype=np.float64) @ relaxed.shares
    sloped = replace(_whole(animals, slope, kinship, sexes, free), by_pair=True)
    found = solved(sloped, Split.of(sloped), [relaxed.shares * 2 * free.clutches])
    if found is None:
        raise DecisionError(_none(free))
    whole = _whole(animals, gains, kinship, sexes, free)
    return _plan(animals, whole, least_akin(whole, found[0].astype(np.int64)))


def _shares(limits: LitterLimits) -> FloatArray:
    """Largest contribution of each."""
    caps: FloatArray = np.asarray(limits.most_clutches, dtype=np.float64) / (2 * limits.clutches)
    return np.minimum(caps, 0.5)


def _whole(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    limits: LitterLimits,
) -> Whole:
    """What whole clutches must keep to, checked."""
    return Whole(
        problem_of(animals, gains, kinship, sexes, _shares(limits)),
        limits.clutches,
        np.minimum(np.asarray(limits.most_clutches, dtype=np.int64), limits.clutches),
        limits.group_kinship_at_most,
        limits.inbreeding_at_most,
        barred=limits.barred,
    )


def _plan(animals: Sequence[str], whole: Whole, counts: IntArray) -> Litters:
    """Clutches with their pairs, nothing said of other plans."""
    pairs = mated(whole, counts)
    return Litters(
        animals=tuple(animals),
        clutches=counts,
        pairs=tuple((animals[sire], animals[dam], float(whole.problem.kinship[sire, dam])) for sire, dam in pairs),
        gain=whole.gain(counts),
        bound=float("inf"),
        group_kinship=whole.problem.group_kinship(counts / (2 * whole.clutches)),
        is_best=False,
    )


def _none(limits: LitterLimits) -> Fault:
    """No plan."""
    return Fault(
        "DEC-104",
        f"No {limits.clutches} whole clutches keep a group kinship of {limits.group_kinship_at_most:.4g}.",
        "Allow more inbreeding, more clutches of a sire, or plan another number of clutches.",
        field="clutches",
        value=str(limits.clutches),
    )


def _tolerance(problem: Problem) -> float:
    """Gain that is no difference."""
    return 1e-7 * problem.spread


def _searched(
    whole: Whole,
    relaxed: Contributions,
    rounds: int,
    start: IntArray | None,
    cancelled: Callable[[], bool] | None,
) -> tuple[IntArray | None, float]:
    """Best whole clutches found, None where none keep the limits, and the bound on their gain."""
    split = Split.of(whole)
    planes, bound = _outline(whole, split, relaxed.shares), relaxed.gain
    best, gain = start, -np.inf if start is None else whole.gain(start)
    whole = replace(whole, gain_above=gain)
    for _ in range(rounds):
        found = solved(whole, split, planes)
        if found is None:
            return best, gain if best is not None else bound
        counts, upper = found[0].astype(np.int64), found[1]
        bound = min(bound, upper)
        if whole.within(counts) and not whole.keeps(counts):
            whole = replace(whole, by_pair=True)
            continue
        mended = exchanged(whole, counts)
        if mended is not None and whole.gain(mended) > gain:
            best, gain = mended, whole.gain(mended)
            whole = replace(whole, gain_above=gain)
        if bound - gain <= _tolerance(whole.problem) or (cancelled is not None and cancelled()):
            break
        planes.append(found[0])
    return best, bound


def _outline(whole: Whole, split: Split, start: FloatArray) -> list[FloatArray]:
    """Points whose planes outline the limit near the optimum of fractional clutches."""
    planes = [start * 2 * whole.clutches]
    for _ in range(_OUTLINE):
        found = solved(whole, split, planes, is_whole=False)
        if found is None:
            break
        planes.append(found[0])
    return planes
