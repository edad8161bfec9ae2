"""Compiled gene drop with exact segments; see `drop_segments`.

One chromosome of one replicate at a time. The segments of all haplotypes stand one after the other in two growing
arrays; a haplotype is a span of them. What is passed on without a crossover shares the span of its parent.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numba import njit

from holdback.descent.drop_plan import BRED, FOUNDER, ONE_OF, DropPlan, IntArray
from holdback.descent.drop_segments import Flat
from holdback.descent.gene_drop_fast import choose, count_limits, next_unit, next_word, state_of

WordArray = npt.NDArray[np.uint64]
PlaceArray = npt.NDArray[np.uint32]
SpanArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

_ONE, _HALF = np.uint64(1), np.uint64(32)


def drop_segments_fast(plan: DropPlan, lengths: FloatArray, replicates: int, seed: np.random.SeedSequence) -> Flat:
    """As `drop_segments.drop_segments_plain`, with random numbers by a seed."""
    places, ids, ends = _drop(
        plan.kind,
        plan.sire,
        plan.dam,
        plan.node,
        (plan.first, plan.candidate, plan.up_to),
        plan.asked,
        replicates,
        count_limits(lengths),
        count_limits(2.0 * lengths),
        (plan.kept, *plan.switching),
        state_of(seed),
    )
    return places, ids, ends


@njit(cache=True)
def _drop(  # noqa: PLR0913 -- a kernel takes arrays, no objects
    kind: npt.NDArray[np.int8],
    sire: IntArray,
    dam: IntArray,
    ids: IntArray,
    candidates: tuple[IntArray, IntArray, FloatArray],
    asked: IntArray,
    replicates: int,
    limits: WordArray,
    limits_alone: WordArray,
    alone: tuple[float, float, float],
    state: WordArray,
) -> tuple[PlaceArray, IntArray, SpanArray]:
    n, most = len(kind), limits_alone.shape[1]
    begin, end = np.zeros(2 * n, dtype=np.int64), np.zeros(2 * n, dtype=np.int64)
    chosen = np.zeros(n, dtype=np.int32)
    places, made = np.zeros(2 * n + 1024, dtype=np.uint32), np.zeros(2 * n + 1024, dtype=np.int32)
    kept_places, kept_made = np.zeros(1024, dtype=np.uint32), np.zeros(1024, dtype=np.int32)
    ends = np.empty(replicates * len(limits) * len(asked) * 2, dtype=np.int64)
    changes, others = np.zeros(most, dtype=np.uint32), np.zeros(most, dtype=np.uint32)
    filled, written = 0, 0
    of_founders = _founders(kind, ids, places, made, begin, end)
    for _ in range(replicates):
        choose(state, candidates[0], candidates[1], candidates[2], chosen)
        for chromosome in range(len(limits)):
            used = of_founders
            for node in range(n):
                if kind[node] == ONE_OF:
                    for copy in range(2):
                        begin[2 * node + copy] = begin[2 * chosen[node] + copy]
                        end[2 * node + copy] = end[2 * chosen[node] + copy]
                elif kind[node] != FOUNDER:
                    wanted = used + _most(begin, end, sire[node]) + _most(begin, end, dam[node]) + 2 * most
                    if wanted > len(places):
                        places, made = _larger(places, made, wanted)
                    of = limits if kind[node] == BRED else limits_alone
                    drawn = next_word(state)
                    count = _changes(drawn, of, chromosome, changes, state)
                    second = np.int64(drawn & _ONE)
                    if kind[node] == BRED:
                        used = passed_on(places, made, used, begin, end, sire[node], second, changes, count, 2 * node)
                        drawn = next_word(state)
                        second = np.int64(drawn & _ONE)
                        other = _changes(drawn, of, chromosome, others, state)
                    else:
                        differ, count, other = _without_sire(changes, others, count, alone, state)
                        used = passed_on(places, made, used, begin, end, dam[node], second, changes, count, 2 * node)
                        second ^= differ
                    used = passed_on(places, made, used, begin, end, dam[node], second, others, other, 2 * node + 1)
            for number in range(2 * len(asked)):
                one = 2 * asked[number // 2] + number % 2
                if filled + end[one] - begin[one] > len(kept_places):
                    kept_places, kept_made = _larger(kept_places, kept_made, filled + end[one] - begin[one])
                for at in range(begin[one], end[one]):
                    kept_places[filled], kept_made[filled] = places[at], made[at]
                    filled += 1
                ends[written] = filled
                written += 1
    return kept_places[:filled].copy(), kept_made[:filled].copy(), ends


@njit(cache=True)
def _founders(
    kind: npt.NDArray[np.int8], ids: IntArray, places: PlaceArray, made: IntArray, begin: SpanArray, end: SpanArray
) -> int:
    """Write the haplotypes of the founders, one segment each, which serve for all chromosomes; what is used then."""
    used = 0
    for node in range(len(kind)):
        if kind[node] == FOUNDER:
            for copy in range(2):
                made[used] = 2 * ids[node] + copy
                begin[2 * node + copy], end[2 * node + copy] = used, used + 1
                used += 1
    return used


@njit(cache=True)
def _most(begin: SpanArray, end: SpanArray, parent: int) -> int:
    """Segments of both haplotypes of a parent: a gamete has no more than these and one for each change."""
    return int(end[2 * parent] - begin[2 * parent] + end[2 * parent + 1] - begin[2 * parent + 1])


@njit(cache=True)
def _larger(places: PlaceArray, ids: IntArray, wanted: int) -> tuple[PlaceArray, IntArray]:
    """Copies with twice the room that is wanted."""
    new_places = np.zeros(2 * wanted, dtype=np.uint32)
    new_ids = np.zeros(2 * wanted, dtype=np.int32)
    new_places[: len(places)] = places
    new_ids[: len(ids)] = ids
    return new_places, new_ids


@njit(cache=True)
def _changes(drawn: np.uint64, limits: WordArray, chromosome: int, places: PlaceArray, state: WordArray) -> int:
    """Number of events by the upper half of a word; their places are drawn and sorted into an array."""
    count = 0
    drawn >>= _HALF
    word = drawn
    while drawn >= limits[chromosome, count]:
        if count % 2 == 0:
            word = next_word(state)
        else:
            word >>= _HALF
        # never 0: there every list begins
        place = max(np.uint32(word), np.uint32(1))
        before = count
        while before > 0 and places[before - 1] > place:
            places[before] = places[before - 1]
            before -= 1
        places[before] = place
        count += 1
    return count


@njit(cache=True)
def _without_sire(
    events: PlaceArray, others: PlaceArray, count: int, alone: tuple[float, float, float], state: WordArray
) -> tuple[bool, int, int]:
    """Whether the two copies begin apart, and how many changes either has; see `DropPlan.switching`.

    The changes of the first replace the events, those of the second are put into `others`.
    """
    kept, parts, meets = alone
    begin_apart = next_unit(state) < kept
    differ = begin_apart
    mine, other = 0, 0
    for event in range(count):
        place = events[event]
        changes = next_word(state) & _ONE == _ONE
        switches = next_unit(state) < (meets if differ else parts)
        if changes != switches:
            others[other] = place
            other += 1
        if changes:
            events[mine] = place
            mine += 1
        if switches:
            differ = not differ
    return begin_apart, mine, other


@njit(cache=True)
def passed_on(  # noqa: PLR0913 -- a kernel takes arrays, no objects
    places: PlaceArray,
    ids: IntArray,
    used: int,
    begin: SpanArray,
    end: SpanArray,
    parent: int,
    second: np.int64,
    changes: PlaceArray,
    count: int,
    haplotype: int,
) -> int:
    """Write what a parent passes on behind what is used, as a haplotype; what is used then.

    The gamete begins with the parent's second haplotype or not. Without a change it shares the parent's span.
    """
    at, stop = begin[2 * parent + second], end[2 * parent + second]
    if count == 0:
        begin[haplotype], end[haplotype] = at, stop
        return used
    first = used
    begin[haplotype] = used
    for change in range(count):
        place = changes[change]
        while at < stop and places[at] < place:
            places[used], ids[used] = places[at], ids[at]
            used += 1
            at += 1
        second = 1 - second
        at, stop = begin[2 * parent + second] + 1, end[2 * parent + second]
        while at < stop and places[at] <= place:
            at += 1
        one = ids[at - 1]
        if places[used - 1] == place:
            # two changes at one place: the segment between them is empty
            used -= 1
        if used == first or ids[used - 1] != one:
            places[used], ids[used] = place, one
            used += 1
    while at < stop:
        places[used], ids[used] = places[at], ids[at]
        used += 1
        at += 1
    end[haplotype] = used
    return used
