"""Where the line stands on the chromosomes of the animals of a rehearsal: one bit a marker, 64 on each chromosome.

A gamete takes the bits of one or the other haplotype by a mask that changes at crossovers, as in `descent.drop_bits`:
the number of crossovers follows Poisson's law (no interference), their places are even. What an animal at hand has is
known by its expected share alone: the share is put on one haplotype as far as it goes, in stretches as a cross and
backcrosses leave them.

References
----------
Haldane (1919), for crossovers without interference.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from holdback.decisions.rehearsal.luck import WordArray, further, number_of
from holdback.decisions.rehearsal.setting import FloatArray, Setting

BitArray = npt.NDArray[np.uint64]

MARKERS = 64
_ALL = np.uint64(0xFFFFFFFFFFFFFFFF)
_AFTER = np.array([(0xFFFFFFFFFFFFFFFF << one) & 0xFFFFFFFFFFFFFFFF for one in range(MARKERS)], dtype=np.uint64)
_MOST = 10
"""Crossovers of one gamete on one chromosome that are followed; at 1 Morgan one gamete in 10^8 has more."""
_IN_ONE = 5
"""Places of crossovers that one word holds."""
_PARTS = 2**16
"""Equal parts of chance that the number of crossovers is read off."""

_STEPS = 6
"""Binary places of the share of an animal at hand that are followed."""


def masks(words: WordArray, lengths: FloatArray) -> BitArray:
    """Masks of gametes.

    Parameters
    ----------
    words : uint64 array, shape (n,)
        Luck of each gamete.
    lengths : float array, shape (c,)
        Morgans of each chromosome.

    Returns
    -------
    uint64 array, shape (n, c)
        Markers at which the second haplotype is taken.
    """
    luck = further(words[:, None], np.arange(len(lengths), dtype=np.uint64))
    found = np.where(luck >> np.uint64(63), _ALL, np.uint64(0))
    marks = ((luck >> np.uint64(30)) & np.uint64(_PARTS - 1)).astype(np.intp)
    counts = _crossovers(tuple(lengths.tolist()))[np.arange(len(lengths)), marks]
    more = further(luck, 1) if int(counts.max(initial=0)) > _IN_ONE else luck
    here = np.flatnonzero(counts)
    flat, left, places = found.reshape(-1), counts.reshape(-1)[here], luck.reshape(-1)[here]
    for number in range(int(left.max(initial=0))):
        if number == _IN_ONE:
            places = more.reshape(-1)[here]
        flat[here] ^= _AFTER[(places & np.uint64(MARKERS - 1)).astype(np.intp)]
        places >>= np.uint64(6)
        on = left > number + 1
        here, left, places = here[on], left[on], places[on]
    return found


@lru_cache(maxsize=16)
def _crossovers(lengths: tuple[float, ...]) -> npt.NDArray[np.uint8]:
    """Crossovers on each chromosome for each of 2^16 equal parts of chance, shape (c, 2^16)."""
    marks = (np.arange(_PARTS) + 0.5) / _PARTS
    found = np.empty((len(lengths), _PARTS), np.uint8)
    for number, length in enumerate(lengths):
        chances = [math.exp(-length) * length**k / math.factorial(k) for k in range(_MOST)]
        found[number] = np.searchsorted(np.cumsum(chances), marks, side="right")
    return found


def gametes(parents: BitArray, words: WordArray, lengths: FloatArray) -> BitArray:
    """Gametes of parents of shape (n, c, 2), shape (n, c)."""
    first, second = parents[..., 0], parents[..., 1]
    found: BitArray = first ^ ((first ^ second) & masks(words, lengths))
    return found


def share_of(bits: BitArray, weights: FloatArray) -> FloatArray:
    """Part of the genome of bits of shape (n, c, 2) that is of the line, shape (n,)."""
    counts = np.bitwise_count(bits).sum(axis=2, dtype=np.int64)
    found: FloatArray = counts @ weights / (2.0 * MARKERS)
    return found


def bits_at_hand(setting: Setting, words: WordArray) -> BitArray:
    """Bits at the start, shape (R, S, c, 2), those of empty slots 0."""
    lengths = setting.map_lengths
    found = np.zeros((len(words), setting.n_slots, len(lengths), 2), np.uint64)
    for slot, share in enumerate(setting.share.tolist()):
        most, rest = divmod(round(share * 2 * 2**_STEPS), 2**_STEPS)
        luck = further(further(words, int(setting.slot_words[slot])), number_of("line"))
        for haplotype in range(2):
            if haplotype < most:
                found[:, slot, :, haplotype] = _ALL
            elif haplotype == most and rest:
                found[:, slot, :, haplotype] = _in_part(rest, luck, lengths)
    return found


def _in_part(part: int, words: WordArray, lengths: FloatArray) -> BitArray:
    """Haplotypes of which `part` in 2**_STEPS is of the line on the mean, shape (R, c)."""
    found = np.zeros((len(words), len(lengths)), np.uint64)
    lowest = (part & -part).bit_length() - 1
    for place in range(lowest, _STEPS):
        met = masks(further(words, place), lengths)
        found = found | met if part >> place & 1 else found & met
    return found
