"""Compiled gene drop with one bit a marker; see `drop_bits`.

One random word holds the coin, the number of crossovers and five of their places. Where both haplotypes of a parent are
alike no word is drawn: the gamete is settled.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numba import njit

from holdback.descent.drop_bits import MARKERS
from holdback.descent.drop_plan import BRED, ONE_OF, WITHOUT_SIRE, DropPlan, IntArray
from holdback.descent.gene_drop_fast import choose, count_limits, next_unit, next_word, state_of

WordArray = npt.NDArray[np.uint64]
FloatArray = npt.NDArray[np.float64]

_ZERO, _ONE, _TWO, _SIX, _HALF = np.uint64(0), np.uint64(1), np.uint64(2), np.uint64(6), np.uint64(32)
_ALL = np.uint64(0xFFFFFFFFFFFFFFFF)
_PLACE = np.uint64(MARKERS - 1)
_IN_FIRST, _IN_WORD = 5, 10
"""Places in what is left of the first random word, and in a full one."""
_PAIRS, _FOURS, _EIGHTS = np.uint64(0x5555555555555555), np.uint64(0x3333333333333333), np.uint64(0x0F0F0F0F0F0F0F0F)
_SUM, _TOP, _FOUR = np.uint64(0x0101010101010101), np.uint64(56), np.uint64(4)


def drop_bits_fast(
    plan: DropPlan, lengths: FloatArray, weights: FloatArray, words: WordArray, seed: np.random.SeedSequence
) -> FloatArray:
    """As `drop_bits.drop_bits`, with random numbers by a seed."""
    shares: FloatArray = _drop(
        plan.kind,
        plan.sire,
        plan.dam,
        (plan.first, plan.candidate, plan.up_to),
        plan.founders,
        plan.asked,
        words,
        weights / (2.0 * MARKERS),
        count_limits(lengths),
        count_limits(2.0 * lengths),
        (plan.kept, *plan.switching),
        state_of(seed),
    )
    return shares


@njit(cache=True)
def _drop(  # noqa: PLR0913 -- a kernel takes arrays, no objects
    kind: npt.NDArray[np.int8],
    sire: IntArray,
    dam: IntArray,
    candidates: tuple[IntArray, IntArray, FloatArray],
    founders: IntArray,
    asked: IntArray,
    words: WordArray,
    weights: FloatArray,
    limits: WordArray,
    limits_alone: WordArray,
    alone: tuple[float, float, float],
    state: WordArray,
) -> FloatArray:
    n = len(kind)
    found = np.zeros((len(words), len(asked)))
    bits = np.zeros((n, 2), dtype=np.uint64)
    chosen = np.zeros(n, dtype=np.int32)
    for replicate in range(len(words)):
        choose(state, candidates[0], candidates[1], candidates[2], chosen)
        for chromosome in range(len(weights)):
            for number in range(len(founders)):
                bits[founders[number], 0] = words[replicate, number, chromosome, 0]
                bits[founders[number], 1] = words[replicate, number, chromosome, 1]
            for node in range(n):
                if kind[node] == BRED:
                    bits[node, 0] = _gamete(bits, sire[node], limits[chromosome], state)
                    bits[node, 1] = _gamete(bits, dam[node], limits[chromosome], state)
                elif kind[node] == ONE_OF:
                    bits[node, 0] = bits[chosen[node], 0]
                    bits[node, 1] = bits[chosen[node], 1]
                elif kind[node] == WITHOUT_SIRE:
                    _without_sire(bits, node, dam[node], limits_alone[chromosome], alone, state)
            for number in range(len(asked)):
                node = asked[number]
                set_bits = count_bits(bits[node, 0]) + count_bits(bits[node, 1])
                found[replicate, number] += weights[chromosome] * float(set_bits)
    return found


@njit(cache=True)
def _gamete(bits: WordArray, parent: int, limits: WordArray, state: WordArray) -> np.uint64:
    first: np.uint64 = bits[parent, 0]
    second: np.uint64 = bits[parent, 1]
    if first == second:
        return first
    drawn = next_word(state)
    mask = _ZERO - (drawn & _ONE)
    count = drawn >> _HALF
    places = (drawn >> _ONE) & np.uint64(0x3FFFFFFF)
    left = _IN_FIRST
    number = 0
    while count >= limits[number]:
        if left == 0:
            places, left = next_word(state), _IN_WORD
        mask ^= _ALL << (places & _PLACE)
        places >>= _SIX
        left -= 1
        number += 1
    return first ^ ((first ^ second) & mask)


@njit(cache=True)
def _without_sire(
    bits: WordArray, node: int, dam: int, limits: WordArray, alone: tuple[float, float, float], state: WordArray
) -> None:
    """Both gametes of one dam; see `DropPlan.switching`."""
    first, second = bits[dam, 0], bits[dam, 1]
    kept, parts, meets = alone
    drawn = next_word(state)
    events = 0
    while (drawn >> _HALF) >= limits[events]:
        events += 1
    places = np.empty(events, dtype=np.uint64)
    for event in range(events):
        places[event] = next_word(state) & _PLACE
    places.sort()
    differ = next_unit(state) < kept
    masks = (_ZERO - (drawn & _ONE), _ZERO - ((drawn & _ONE) ^ np.uint64(differ)))
    mine, other = masks
    for event in range(events):
        after = _ALL << places[event]
        changes = next_word(state) & _ONE == _ONE
        switches = next_unit(state) < (meets if differ else parts)
        if changes:
            mine ^= after
        if changes != switches:
            other ^= after
        if switches:
            differ = not differ
    bits[node, 0] = first ^ ((first ^ second) & mine)
    bits[node, 1] = first ^ ((first ^ second) & other)


@njit(cache=True)
def count_bits(word: np.uint64) -> np.uint64:
    """Number of set bits (in the manner of Warren, Hacker's Delight, chapter 5)."""
    word -= (word >> _ONE) & _PAIRS
    word = (word & _FOURS) + ((word >> _TWO) & _FOURS)
    word = (word + (word >> _FOUR)) & _EIGHTS
    return (word * _SUM) >> _TOP
