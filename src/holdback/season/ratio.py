"""Whether the young that came fit what was foretold: exact tests, also where the parents may be more than one thing.

The chance of a result is its multinomial chance, or, where the parents are in doubt, the mean of those over what they
may be: one state of the parents holds for all young. The p value is the sum of the chances of all results that are no
likelier than what came. With two looks, and nothing in doubt, it is the two-sided binomial test.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from holdback.errors import Fault, SeasonError
from holdback.season.outlook import LookCount, RatioTest
from holdback.season.ratio_words import NOTICED, said_of

FloatArray = NDArray[np.float64]

Chances = Mapping[str, float]
"""Look to its chance for one young."""

REST = "any other look"
"""Class of the looks that are not listed, where the listed ones leave a chance for them."""

MOST_RESULTS = 200_000
"""Results counted one by one; of more, results are drawn."""

ALIKE = 0.05
"""Slack for odds that come from beliefs, which are a trace off even ones; see `ratio_test`."""

DRAWS = 50_000
"""Results drawn where they are too many to be counted."""

_MOST_YOUNG = 1_000
_SLACK = 1e-7
"""Relative difference up to which two results count as equally likely: they were reached by other roundings."""

_TINY = 1e-300
"""Stands for a chance of 0 in a logarithm."""


def ratio_test(
    foretold: Chances | Sequence[tuple[float, Chances]],
    came: Mapping[str, int],
    *,
    unseen: int = 0,
    seed: int = 0,
    slack: float = _SLACK,
) -> RatioTest:
    """Exact multinomial test of the looks that came against those foretold.

    Parameters
    ----------
    foretold : mapping of str to float, or sequence of (float, mapping)
        Look to its chance for one young, in [0, 1]; the sum is at most 1, and looks that are not listed share the
        rest. Where the parents may be several things: the probability of each, and what it foretells; the
        probabilities sum to 1.
    came : mapping of str to int
        Look to the number of young, 0 or more.
    unseen : int
        Eggs of which no look is on record.
    seed : int
        Of the draws, where results are too many to be counted.
    slack : float
        Relative difference up to which two results count as equally likely. A larger one keeps odds that are a trace
        off one half from cutting the p value in two; it can only raise it.

    Returns
    -------
    RatioTest
        `p_value` is 1 where no young was looked at, and 0 where a look came that cannot come.

    Raises
    ------
    SeasonError
        SEA-181 if a chance or a count cannot be.

    Notes
    -----
    All results are counted while they are fewer than `MOST_RESULTS`; else `DRAWS` results are drawn and the p value is
    (hits + 1) / (draws + 1) (Davison and Hinkley 1997, 4.11; from memory).

    Examples
    --------
    >>> found = ratio_test({"normal": 0.5, "Pastel": 0.5}, {"Pastel": 9, "normal": 1})
    >>> round(found.p_value, 6), found.is_exact
    (0.021484, True)
    """
    states = [(1.0, foretold)] if isinstance(foretold, Mapping) else list(foretold)
    _check(states, came, unseen)
    looks, weights, chances, counts = _table(states, came)
    mean = weights @ chances
    n = int(counts.sum())
    p_value, error, exact = _p_value(weights, chances, counts, seed=seed, slack=slack)
    counted = tuple(LookCount(*row) for row in zip(looks, mean.tolist(), counts.tolist(), strict=True))
    could_tell = young_needed(float(mean.max(initial=0.0)))
    said = said_of(counted, p_value, n=n, could_tell=could_tell, unseen=unseen)
    return RatioTest(counted, n, p_value, exact, error, could_tell, unseen, said)


@dataclass(frozen=True, slots=True)
class Part:
    """One clutch, or one pair, in a test of several.

    Parameters
    ----------
    n, k : int
        Young looked at, and those of them that show the look.
    chances : tuple of tuple of (float, float)
        For each state of what the parts share: probability and chance of the look, over what this part alone may be.
        One of them holds for all young of the part.
    """

    n: int
    k: int
    chances: tuple[tuple[tuple[float, float], ...], ...] = field(default=())

    @classmethod
    def sure(cls, n: int, k: int, chance: float) -> Part:
        """Part of which the chance of the look is known."""
        return cls(n, k, (((1.0, chance),),))


def pooled_test(
    parts: Sequence[Part],
    *,
    weights: Sequence[float] = (1.0,),
    look: str = "shows it",
    other: str = "does not",
    unseen: int = 0,
    slack: float = _SLACK,
) -> RatioTest:
    """Exact test of one look over several clutches, each with its own chance.

    Parameters
    ----------
    parts : sequence of Part
        Clutches or pairs.
    weights : sequence of float
        Probabilities of the states of what the parts share (a sire of all of them may be het or not); they sum to 1.
    look, other : str
        What to call young with and without the look.
    unseen : int
        Eggs of which no look is on record.
    slack : float
        As in `ratio_test`.

    Returns
    -------
    RatioTest
        Two rows: with and without the look; `foretold` is the mean share over all young.

    Raises
    ------
    SeasonError
        SEA-181 if a chance or a count cannot be.

    Notes
    -----
    The number with the look is Poisson-binomial where every chance is known, a mixture of such laws else; its law is
    convolved, part by part.

    Examples
    --------
    >>> test = pooled_test([Part.sure(6, 1, 0.5), Part.sure(5, 1, 0.25)])
    >>> test.n, round(test.looks[0].foretold, 4), round(test.p_value, 4)
    (11, 0.3864, 0.2047)
    """
    _check_parts(parts, weights)
    n, k = sum(part.n for part in parts), sum(part.k for part in parts)
    law = np.zeros(n + 1)
    for state, weight in enumerate(weights):
        of_state = np.ones(1)
        for part in parts:
            of_state = np.convolve(of_state, _part_law(part.n, part.chances[state]))
        law += weight * of_state
    p_value = float(min(law[law <= law[k] * (1 + slack)].sum(), 1.0)) if law[k] > 0 else 0.0
    share = float(np.arange(n + 1) @ law) / n if n else _mean_chance(parts, weights)
    counted = (LookCount(look, share, k), LookCount(other, 1 - share, n - k))
    could_tell = young_needed(max(share, 1 - share))
    said = said_of(counted, p_value, n=n, could_tell=could_tell, unseen=unseen)
    return RatioTest(counted, n, p_value, True, 0.0, could_tell, unseen, said)


def groups_test(
    groups: Mapping[str, Part],
    *,
    weights: Sequence[float] = (1.0,),
    look: str = "shows it",
    other: str = "without it",
    unseen: int = 0,
    slack: float = _SLACK,
) -> RatioTest:
    """Exact test of one look in groups of one clutch that are told apart, such as sons and daughters.

    Parameters
    ----------
    groups : mapping of str to Part
        Name to the young of the group.
    weights, look, other, unseen, slack
        As in `pooled_test`.

    Returns
    -------
    RatioTest
        Two rows a group: with and without the look; `foretold` is the mean share over all young.

    Raises
    ------
    SeasonError
        SEA-181 if a chance or a count cannot be.

    Notes
    -----
    A result is the number with the look in each group; how many young each group has is taken as given.

    Examples
    --------
    Sons without it and daughters with it, where it was the other way foretold: together as many as were foretold.

    >>> test = groups_test({"male": Part.sure(3, 0, 0.9), "female": Part.sure(3, 3, 0.1)})
    >>> round(test.p_value, 9)
    1e-06
    """
    parts = list(groups.values())
    _check_parts(parts, weights)
    law = np.zeros([part.n + 1 for part in parts])
    rows: list[LookCount] = []
    n = sum(part.n for part in parts)
    for state, weight in enumerate(weights):
        of_state = np.array(weight)
        for part in parts:
            of_state = np.multiply.outer(of_state, _part_law(part.n, part.chances[state]))
        law += of_state
    for name, part in groups.items():
        share = part.n / n if n else 1 / len(groups)
        chance = _mean_chance([part], weights)
        rows.append(LookCount(f"{name} {look}", share * chance, part.k))
        rows.append(LookCount(f"{name} {other}", share * (1 - chance), part.n - part.k))
    found = law[tuple(part.k for part in parts)]
    p_value = float(min(law[law <= found * (1 + slack)].sum(), 1.0)) if found > 0 else 0.0
    could_tell = young_needed(max(row.foretold for row in rows))
    said = said_of(rows, p_value, n=n, could_tell=could_tell, unseen=unseen)
    return RatioTest(tuple(rows), n, p_value, True, 0.0, could_tell, unseen, said)


@lru_cache(maxsize=4096)
def young_needed(chance: float) -> int:
    """Young needed to notice, four times in five, that a look comes half as often as foretold.

    Parameters
    ----------
    chance : float
        Foretold chance of the look, in [0, 1].

    Returns
    -------
    int
        Least number of young at which the two-sided binomial test comes to a p value of at most `NOTICED`, on the side
        of too few, with a chance of 0.8 or more; 0 where no number up to 1,000 would do.

    Examples
    --------
    >>> young_needed(0.5), young_needed(0.25), young_needed(0.001)
    (30, 80, 0)
    """
    if chance <= 0:
        return 0
    return next((n for n in range(2, _MOST_YOUNG + 1) if _power(n, chance) >= 0.8), 0)


def binomial_law(n: int, chance: float) -> FloatArray:
    """Chances of 0 to n young with a look of a given chance, shape (n + 1,)."""
    k = np.arange(n + 1)
    if chance <= 0 or chance >= 1:
        return np.asarray(k == (n if chance >= 1 else 0), dtype=np.float64)
    logs = _log_factorials(n)
    return np.asarray(np.exp(logs[n] - logs[k] - logs[n - k] + k * math.log(chance) + (n - k) * math.log1p(-chance)))


def _check(states: Sequence[tuple[float, Chances]], came: Mapping[str, int], unseen: int) -> None:
    """Refuse chances and counts that cannot be."""
    weights = [weight for weight, _ in states]
    bad = not states or min(weights) < 0 or abs(math.fsum(weights) - 1) > 1e-6
    bad |= any(not 0 <= chance <= 1 + 1e-9 for _, chances in states for chance in chances.values())
    bad |= any(math.fsum(chances.values()) > 1 + 1e-6 for _, chances in states)
    if bad or min((*came.values(), unseen)) < 0:
        raise _impossible()


def _check_parts(parts: Sequence[Part], weights: Sequence[float]) -> None:
    bad = not weights or min(weights) < 0 or abs(math.fsum(weights) - 1) > 1e-6
    for part in parts:
        bad |= not 0 <= part.k <= part.n or len(part.chances) != len(weights)
        bad |= any(abs(math.fsum(weight for weight, _ in state) - 1) > 1e-6 for state in part.chances)
        bad |= any(not 0 <= chance <= 1 + 1e-9 for state in part.chances for _, chance in state)
    if bad:
        raise _impossible()


def _impossible() -> SeasonError:
    what = "A foretold chance lies outside 0 to 1, chances sum to more than 1, or a count is below 0."
    return SeasonError(Fault("SEA-181", what, "Give chances of one young, and whole numbers of young."))


def _table(
    states: Sequence[tuple[float, Chances]], came: Mapping[str, int]
) -> tuple[list[str], FloatArray, FloatArray, NDArray[np.int64]]:
    """Looks, probabilities of the states, chances by state and look, and counts.

    Looks that came and are not listed are one class where the listed ones leave a chance, else classes without one.
    """
    listed = list(dict.fromkeys(look for _, chances in states for look in chances))
    weights = np.array([weight for weight, _ in states])
    chances = np.array([[state.get(look, 0.0) for look in listed] for _, state in states]).reshape(len(states), -1)
    rest = 1 - chances.sum(axis=1)
    others = [look for look, count in came.items() if look not in listed and count]
    counts = [came.get(look, 0) for look in listed]
    if weights @ rest > 1e-9:
        listed, counts = [*listed, REST], [*counts, sum(came[look] for look in others)]
        chances = np.column_stack([chances, np.maximum(rest, 0)])
    else:
        listed, counts = [*listed, *others], [*counts, *(came[look] for look in others)]
        chances = np.column_stack([chances, np.zeros((len(states), len(others)))])
    totals = chances.sum(axis=1, keepdims=True)
    return listed, weights, chances / np.where(totals > 0, totals, 1), np.array(counts, dtype=np.int64)


def _p_value(
    weights: FloatArray, chances: FloatArray, counts: NDArray[np.int64], *, seed: int, slack: float
) -> tuple[float, float, bool]:
    """P value, its standard error, and whether it was counted."""
    n = int(counts.sum())
    if n == 0:
        return 1.0, 0.0, True
    can = weights @ chances > 0
    if counts[~can].any():
        return 0.0, 0.0, True
    chances, counts = chances[:, can], counts[can]
    limit = float(_log_law(counts[None, :], weights, chances)[0]) + math.log1p(slack)
    if math.comb(n + len(counts) - 1, n) < MOST_RESULTS:
        every = _log_law_of_all(n, weights, chances)
        return float(min(np.exp(every[every <= limit]).sum(), 1.0)), 0.0, True
    return (*_drawn(n, weights, chances, limit=limit, seed=seed), False)


def _log_law(results: NDArray[np.int64], weights: FloatArray, chances: FloatArray) -> FloatArray:
    """Log chance of each result of the same number of young; results of shape (m, looks)."""
    n = int(results[0].sum())
    logs = _log_factorials(n)
    by_state = results @ np.log(np.maximum(chances, _TINY)).T + np.log(np.maximum(weights, _TINY))
    return np.asarray(logs[n] - logs[results].sum(axis=1) + np.logaddexp.reduce(by_state, axis=1))


def _log_law_of_all(n: int, weights: FloatArray, chances: FloatArray) -> FloatArray:
    """Log chances of all results of n young, grown look by look."""
    logs, each = _log_factorials(n), np.arange(n + 1)
    gains = each[:, None, None] * np.log(np.maximum(chances, _TINY)) - logs[:, None, None]
    left = np.array([n])
    by_state = np.log(np.maximum(weights, _TINY))[None, :] + logs[n]
    for look in range(chances.shape[1] - 1):
        parent = np.repeat(np.arange(len(left)), left + 1)
        starts = np.cumsum(left + 1) - (left + 1)
        taken = np.arange(len(parent)) - starts[parent]
        by_state = by_state[parent] + gains[taken, :, look]
        left = left[parent] - taken
    return np.asarray(np.logaddexp.reduce(by_state + gains[left, :, -1], axis=1))


def _drawn(n: int, weights: FloatArray, chances: FloatArray, *, limit: float, seed: int) -> tuple[float, float]:
    """P value and its standard error from drawn results."""
    rng = np.random.default_rng(seed)
    hits = 0
    for start in range(0, DRAWS, 5_000):
        size = min(5_000, DRAWS - start)
        of_state = rng.multinomial(size, weights / weights.sum())
        results = np.vstack([rng.multinomial(n, chances[state], size=m) for state, m in enumerate(of_state)])
        hits += int((_log_law(results, weights, chances) <= limit).sum())
    p_value = (hits + 1) / (DRAWS + 1)
    return p_value, math.sqrt(p_value * (1 - p_value) / DRAWS)


def _part_law(n: int, chances: Sequence[tuple[float, float]]) -> FloatArray:
    """Chances of 0 to n young with the look, over what the part may be."""
    return np.asarray(sum((weight * binomial_law(n, chance) for weight, chance in chances), np.zeros(n + 1)))


def _mean_chance(parts: Sequence[Part], weights: Sequence[float]) -> float:
    """Plain mean of the chances of the parts; 0 without parts."""
    means = [
        weight * part_weight * chance / len(parts)
        for part in parts
        for weight, state in zip(weights, part.chances, strict=True)
        for part_weight, chance in state
    ]
    return math.fsum(means)


def _power(n: int, chance: float) -> float:
    """Chance that too few young with the look are noticed where it comes half as often."""
    law = binomial_law(n, chance)
    order = np.argsort(law, kind="stable")
    sums = np.cumsum(law[order])
    # of results that are equally likely all count
    upto = np.searchsorted(law[order], law[order] * (1 + _SLACK), side="right") - 1
    noticed = np.zeros(n + 1, dtype=bool)
    noticed[order] = sums[upto] <= NOTICED
    noticed &= np.arange(n + 1) < n * chance
    return float(binomial_law(n, chance / 2)[noticed].sum())


def _log_factorials(n: int) -> FloatArray:
    """Logarithms of 0! to n!."""
    return np.concatenate([[0.0], np.cumsum(np.log(np.arange(1, n + 1)))])
