"""Compiled random numbers of a gene drop: the generator SFC64, coins, counts of crossovers.

The state is an array of four words. The stream is that of `numpy.random.SFC64`, from which it starts.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numba import njit

from holdback.descent.drop_plan import IntArray

WordArray = npt.NDArray[np.uint64]
FloatArray = npt.NDArray[np.float64]

_ONE, _THREE, _ELEVEN = np.uint64(1), np.uint64(3), np.uint64(11)
_LEFT, _RIGHT = np.uint64(24), np.uint64(40)
_UNIT = 2.0**-53


def state_of(seed: np.random.SeedSequence) -> WordArray:
    """State that a seed leads to, shape (4,)."""
    state: WordArray = np.array(np.random.SFC64(seed).state["state"]["state"], dtype=np.uint64)
    return state


def count_limits(rates: FloatArray) -> WordArray:
    """Bounds of 32 random bits for each number of events of a Poisson process.

    Parameters
    ----------
    rates : float array, shape (c,)
        Expected number.

    Returns
    -------
    uint64 array, shape (c, n)
        There are j events where the bits are below bound j and not below the one before; the last bound is above all.
    """
    n = int(rates.max() + 12.0 * np.sqrt(rates.max() + 1.0)) + 12
    terms = np.empty((len(rates), n))
    terms[:, 0] = np.exp(-rates)
    for number in range(1, n):
        terms[:, number] = terms[:, number - 1] * rates / number
    limits = np.rint(np.minimum(terms.cumsum(axis=1), 1.0) * 2.0**32)
    limits[:, -1] = 2.0**32
    found: WordArray = limits.astype(np.uint64)
    return found


@njit(cache=True)
def next_word(state: WordArray) -> np.uint64:
    """The next 64 random bits (SFC64, C. Doty-Humphrey)."""
    found: np.uint64 = state[0] + state[1] + state[3]
    state[3] += _ONE
    state[0] = state[1] ^ (state[1] >> _ELEVEN)
    state[1] = state[2] + (state[2] << _THREE)
    state[2] = ((state[2] << _LEFT) | (state[2] >> _RIGHT)) + found
    return found


@njit(cache=True)
def next_unit(state: WordArray) -> float:
    """The next random number in [0, 1)."""
    return float(next_word(state) >> _ELEVEN) * _UNIT


@njit(cache=True)
def choose(state: WordArray, first: IntArray, candidate: IntArray, up_to: FloatArray, chosen: IntArray) -> None:
    """Draw one candidate of each node that is one of several."""
    for node in range(len(chosen)):
        begin, last = first[node], first[node + 1] - 1
        if begin <= last:
            unit = next_unit(state)
            while begin < last and unit >= up_to[begin]:
                begin += 1
            chosen[node] = candidate[begin]
