"""Random numbers that belong to a thing, not to an order of asking: the n-th try for a kind of young in a run.

A word is hashed from seed, run, kind of young, number of the try and purpose, so that two plans meet the same luck
wherever they try for the same thing, and runs may be split over any number of workers.

References
----------
Steele, Lea and Flood (2014), Fast splittable pseudorandom number generators: the finaliser of SplitMix64. Salmon et al.
(2011), Parallel random numbers: as easy as 1, 2, 3, for generators that are functions of a counter. Both from memory;
the words are tested for evenness and independence.
"""

from __future__ import annotations

from hashlib import blake2b

import numpy as np
import numpy.typing as npt

WordArray = npt.NDArray[np.uint64]
FloatArray = npt.NDArray[np.float64]

_GOLDEN = 0x9E3779B97F4A7C15
_MASK = 0xFFFFFFFFFFFFFFFF
_UNIT = 2.0**-53


def run_words(seed: int, first: int, count: int) -> WordArray:
    """One word for each run from `first` on, shape (count,)."""
    runs = np.arange(first, first + count, dtype=np.uint64)
    return further(np.full(count, number_of(f"seed {seed}"), np.uint64), runs)


def number_of(name: str) -> int:
    """Number in [0, 2^64) that stands for a thing by its name, the same on every machine."""
    return int.from_bytes(blake2b(name.encode(), digest_size=8).digest(), "little")


def further(words: WordArray, part: WordArray | int) -> WordArray:
    """Words keyed by one more part: a thing, a number, a purpose.

    Parameters
    ----------
    words : uint64 array
        Words so far.
    part : uint64 array or int
        Broadcast against the words.
    """
    step = part * np.uint64(_GOLDEN) if isinstance(part, np.ndarray) else np.uint64(part * _GOLDEN & _MASK)
    found = words + np.uint64(_GOLDEN) + step
    found ^= found >> np.uint64(30)
    found *= np.uint64(0xBF58476D1CE4E5B9)
    found ^= found >> np.uint64(27)
    found *= np.uint64(0x94D049BB133111EB)
    found ^= found >> np.uint64(31)
    return found


def units(words: WordArray) -> FloatArray:
    """Numbers in [0, 1) from words."""
    return (words >> np.uint64(11)).astype(np.float64) * _UNIT


def normals(words: WordArray) -> FloatArray:
    """Standard normal numbers from words."""
    from scipy.special import ndtri  # type: ignore[import-untyped]

    found: FloatArray = ndtri(units(words) + 0.5 * _UNIT)
    return found
