"""Crossovers of many gametes at once, by a Poisson process along each chromosome (no interference; Haldane 1919).

The chromosomes of all replicates are numbered as lists, replicate by replicate. A place on a chromosome is a whole
number of its 2^32nd parts, and place and list together are one sorted key: list * 2^32 + place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.drop_plan import DropPlan

WordArray = npt.NDArray[np.uint64]
BoolArray = npt.NDArray[np.bool_]
FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]

PLACES = 2**32
"""Parts of a chromosome."""
SHIFT = np.uint64(32)


@dataclass(frozen=True, eq=False)
class Gametes:
    """Where the gametes of one parent change over between its two haplotypes.

    Parameters
    ----------
    second : bool array, shape (n_lists,)
        Whether each list begins with the parent's second haplotype.
    keys : uint64 array
        Changes, sorted; two at one key cancel.
    """

    second: BoolArray
    keys: WordArray

    @property
    def lists(self) -> IndexArray:
        """List of each change."""
        return (self.keys >> SHIFT).astype(np.int64)

    @property
    def places(self) -> WordArray:
        """Place of each change."""
        return self.keys & np.uint64(PLACES - 1)

    def second_at(self, cuts: WordArray) -> BoolArray:
        """Whether the second haplotype is taken from each cut on, shape of `cuts`."""
        lists = (cuts >> SHIFT).astype(np.int64)
        before = np.searchsorted(self.keys, np.arange(len(self.second), dtype=np.uint64) << SHIFT)
        passed = np.searchsorted(self.keys, cuts, side="right") - before[lists]
        found: BoolArray = self.second[lists] ^ (passed % 2).astype(np.bool_)
        return found


def pair_of_gametes(
    plan: DropPlan, is_bred: bool, lengths: FloatArray, replicates: int, rng: np.random.Generator
) -> tuple[Gametes, Gametes]:
    """Gametes that make one animal: of its sire and its dam, or both of the dam where there is no sire.

    Parameters
    ----------
    plan : DropPlan
        For what happens without a sire.
    is_bred : bool
        Whether there is a sire.
    lengths : float array, shape (c,)
        Morgans of each chromosome.
    replicates : int
        How often.
    rng : Generator
        Random numbers.
    """
    if is_bred:
        first, second = (
            Gametes(_coins(rng, replicates * len(lengths)), _events(rng, lengths, replicates)) for _ in range(2)
        )
        return first, second
    return _without_sire(plan, lengths, replicates, rng)


def _without_sire(
    plan: DropPlan, lengths: FloatArray, replicates: int, rng: np.random.Generator
) -> tuple[Gametes, Gametes]:
    n_lists = replicates * len(lengths)
    events = _events(rng, 2.0 * lengths, replicates)
    changes = _coins(rng, len(events))
    first = Gametes(_coins(rng, n_lists), events[changes])
    differ = rng.random(n_lists) < plan.kept
    # One of the two states is left at every event. Where the other is left as well, the state swaps; else it is that
    # other one from here on, whatever was before.
    parts, meets = plan.switching
    swaps = rng.random(len(events)) < min(parts, meets)
    before, after = _states(events, differ, swaps, resets_to=parts > meets)
    return first, Gametes(first.second ^ differ, events[changes ^ before ^ after])


def _states(events: WordArray, differ: BoolArray, swaps: BoolArray, *, resets_to: bool) -> tuple[BoolArray, BoolArray]:
    """Whether the copies differ before and after each event."""
    lists = (events >> SHIFT).astype(np.int64)
    number = np.arange(len(events))
    begins = np.searchsorted(events, np.arange(len(differ), dtype=np.uint64) << SHIFT)[lists]
    last = np.maximum.accumulate(np.where(swaps, -1, number)) if len(events) else number
    sums = np.concatenate([[0], np.cumsum(swaps)])
    was_reset = last >= begins
    since = sums[number + 1] - sums[np.where(was_reset, last + 1, begins)]
    after = np.where(was_reset, resets_to, differ[lists]) ^ (since % 2).astype(np.bool_)
    before = np.where(number == begins, differ[lists], np.concatenate([[False], after[:-1]])[: len(events)])
    return before, after


def _coins(rng: np.random.Generator, n: int) -> BoolArray:
    return rng.integers(0, 2, n, dtype=np.bool_)


def _events(rng: np.random.Generator, rates: FloatArray, replicates: int) -> WordArray:
    """Sorted keys of a Poisson process on all lists."""
    counts = rng.poisson(rates, (replicates, len(rates))).ravel()
    lists = np.repeat(np.arange(len(counts), dtype=np.uint64), counts)
    keys: WordArray = np.sort((lists << SHIFT) | rng.integers(1, PLACES, len(lists), dtype=np.uint64))
    return keys
