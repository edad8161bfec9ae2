"""Compiled numbering of a pedigree for the inbreeding of all: breeders by generation, matings by sire.

Only animals with offspring are walked through, so only they get numbers: by generation, sires before those that are
dams only, which keeps what is visited most close together in memory. Number 0 stands for any unknown parent.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

IntArray = npt.NDArray[np.int32]
LongArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

_SIRE, _DAM = 1, 2
_GENERATION = 4
"""One generation in a code that holds the roles in its last two bits."""


class Breeders(NamedTuple):
    """Animals with offspring under their numbers, with their matings.

    Parameters
    ----------
    parents : int32 array, shape (b, 2)
        Numbers of sire and dam, 0 where unknown.
    row : int32 array, shape (b,)
        Row of each in the pedigree.
    founders : int
        Number of the first animal that is no founder.
    generation : int32 array, shape (b,)
        Longest way up to a founder.
    paths : float32 array, shape (b,)
        Number of ways up to an ancestor or to itself; infinite where too large.
    variance : float64 array, shape (b,)
        Mendelian variance, 1 for a founder; filled generation by generation.
    first : int32 array, shape (b + 1,)
        First row of `matings` of each sire.
    matings : int32 array, shape (m, 2)
        Number of the dam and row in the pedigree of every animal with two known parents, sire by sire.
    """

    parents: IntArray
    row: IntArray
    founders: int
    generation: IntArray
    paths: npt.NDArray[np.float32]
    variance: FloatArray
    first: IntArray
    matings: IntArray


def numbered(parents: IntArray) -> tuple[Breeders, list[tuple[int, int, int]]]:
    """Breeders, and of each generation the first sire, the first that is a dam only, and the end.

    Parameters
    ----------
    parents : int32 array, shape (n, 2), contiguous
        Rows of sire and dam, -1 where unknown, parents before offspring.

    Notes
    -----
    Where fewer animals are dams than sires the two change places, as inbreeding takes no notice: fewer columns.
    """
    code = _roles(parents)
    if np.count_nonzero(code & _DAM) < np.count_nonzero(code & _SIRE):
        parents = np.ascontiguousarray(parents[:, ::-1])
        code = (code & -_GENERATION) | (code & _SIRE) << 1 | (code & _DAM) >> 1
    starts = _starts(code)
    place, row, up, paths = _renumbered(parents, code, starts)
    first, matings = _matings(parents, place, len(row))
    bounds = [(int(starts[k]), int(starts[k + 1]), int(starts[k + 2])) for k in range(0, len(starts) - 1, 2)]
    generation = np.zeros(len(row), dtype=np.int32)
    for number, (start, _, end) in enumerate(bounds):
        generation[start:end] = number
    founders = bounds[0][2] if bounds else len(row)
    return Breeders(up, row, founders, generation, paths, np.ones(len(row)), first, matings), bounds


@njit(cache=True, nogil=True)
def _roles(parents: IntArray) -> IntArray:
    """Four times the generation of each animal, plus 1 for a sire and 2 for a dam."""
    code = np.zeros(len(parents), np.int32)
    for i in range(len(parents)):
        above = -_GENERATION
        for side in range(2):
            p = parents[i, side]
            if p >= 0:
                above = max(above, code[p] & ~(_SIRE | _DAM))
                code[p] |= _SIRE << side
        code[i] = above + _GENERATION
    return code


@njit(cache=True, nogil=True)
def _key(code: int) -> int:
    """Rank of a breeder: its generation, then sires before others."""
    return 2 * (code // _GENERATION) + (0 if code & _SIRE else 1)


@njit(cache=True, nogil=True)
def _starts(code: IntArray) -> LongArray:
    """First number of each rank, and the end of the last."""
    top = -1
    for i in range(len(code)):
        top = max(top, code[i] // _GENERATION)
    starts = np.zeros(2 * (top + 1) + 1, np.int64)
    for i in range(len(code)):
        if code[i] % _GENERATION:
            starts[_key(code[i]) + 1] += 1
    starts[0] = 1
    for k in range(1, len(starts)):
        starts[k] += starts[k - 1]
    return starts


@njit(cache=True, nogil=True)
def _renumbered(
    parents: IntArray, code: IntArray, starts: LongArray
) -> tuple[IntArray, IntArray, IntArray, npt.NDArray[np.float32]]:
    """Number of each animal (counting sort by rank); rows, parents and path counts of the breeders."""
    size = starts[-1]
    place = np.zeros(len(parents), np.int32)
    row = np.zeros(size, np.int32)
    up = np.zeros((size, 2), np.int32)
    paths = np.zeros(size, np.float32)
    cursor = starts.copy()
    for i in range(len(parents)):
        if code[i] % _GENERATION:
            rank = _key(code[i])
            x = cursor[rank]
            cursor[rank] += 1
            place[i] = x
            row[x] = i
            for side in range(2):
                if parents[i, side] >= 0:
                    up[x, side] = place[parents[i, side]]
            paths[x] = np.float32(1.0) + paths[up[x, 0]] + paths[up[x, 1]]
    return place, row, up, paths


@njit(cache=True, nogil=True)
def _matings(parents: IntArray, place: IntArray, size: int) -> tuple[IntArray, IntArray]:
    """Animals with two known parents by the number of the sire (counting sort)."""
    first = np.zeros(size + 1, np.int32)
    for i in range(len(parents)):
        if parents[i, 0] >= 0 and parents[i, 1] >= 0:
            first[place[parents[i, 0]] + 1] += 1
    for x in range(size):
        first[x + 1] += first[x]
    cursor = first[:-1].copy()
    matings = np.empty((first[size], 2), np.int32)
    for i in range(len(parents)):
        if parents[i, 0] >= 0 and parents[i, 1] >= 0:
            sire = place[parents[i, 0]]
            at = cursor[sire]
            cursor[sire] += 1
            matings[at, 0] = place[parents[i, 1]]
            matings[at, 1] = i
    return first, matings
