"""Compiled LDL' of a sparse symmetric matrix, solutions, and entries of the inverse on the pattern of the factor.

The last columns of a factor are often full; they are kept as one dense block, the *tail*, whose inverse numpy makes.

References
----------
Takahashi, Fagan and Chen (1973), Formation of a sparse bus impedance matrix. Proc. 8th PICA Conf. 63.
Davis (2006), Direct Methods for Sparse Linear Systems. (from memory)
"""

from __future__ import annotations

import numpy as np
from numba import njit

from holdback.size.sparse.model import FloatArray, IndexArray, PlaceArray


@njit(cache=True, nogil=True)
def positions(order: PlaceArray, col_starts: IndexArray, rows: PlaceArray) -> PlaceArray:
    """Rows of each column of L as positions, rising; `rows` are nodes."""
    place = np.empty(len(order), np.int32)
    for position in range(len(order)):
        place[order[position]] = position
    found = np.empty(len(rows), np.int32)
    for entry in range(len(rows)):
        found[entry] = place[rows[entry]]
    for col in range(len(order)):
        found[col_starts[col] : col_starts[col + 1]].sort()
    return found


@njit(cache=True, nogil=True)
def factorised(
    col_starts: IndexArray,
    rows: PlaceArray,
    tail: int,
    given_starts: IndexArray,
    given_rows: PlaceArray,
    given: FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Columns of L before the tail, their D, and what is left of the tail.

    Parameters
    ----------
    col_starts, rows : int arrays
        Pattern of L without its diagonal, rows rising within a column.
    tail : int
        First position of the dense tail.
    given_starts, given_rows, given : arrays
        Lower triangle of the matrix by columns, diagonal included, in positions.

    Returns
    -------
    (float array, float array, float array)
        Values of L, shape of `rows`; D, shape (tail,); Schur complement, shape (n - tail, n - tail), lower triangle.
    """
    n = len(col_starts) - 1
    values = np.zeros(len(rows))
    pivots = np.zeros(tail)
    work = np.zeros(n)
    # columns that wait for their next row, one list for each row
    heads = np.full(n, -1, np.int32)
    after = np.full(n, -1, np.int32)
    pointers = col_starts[:-1].copy()
    for col in range(tail):
        for entry in range(given_starts[col], given_starts[col + 1]):
            work[given_rows[entry]] = given[entry]
        other = heads[col]
        while other >= 0:
            following = after[other]
            at, end = pointers[other], col_starts[other + 1]
            factor = values[at] * pivots[other]
            for entry in range(at, end):
                work[rows[entry]] -= values[entry] * factor
            pointers[other] = at + 1
            if at + 1 < end:
                row = rows[at + 1]
                after[other] = heads[row]
                heads[row] = other
            other = following
        pivot = work[col]
        pivots[col] = pivot
        work[col] = 0.0
        begin, end = col_starts[col], col_starts[col + 1]
        for entry in range(begin, end):
            values[entry] = work[rows[entry]] / pivot
            work[rows[entry]] = 0.0
        if begin < end:
            row = rows[begin]
            after[col] = heads[row]
            heads[row] = col
    return values, pivots, _tail(col_starts, rows, values, pivots, given_starts, given_rows, given)


@njit(cache=True, nogil=True)
def _tail(
    col_starts: IndexArray, rows: PlaceArray, values: FloatArray, pivots: FloatArray,
    given_starts: IndexArray, given_rows: PlaceArray, given: FloatArray,
) -> FloatArray:  # fmt: skip
    """The tail of the matrix less what the columns before it take, lower triangle."""
    n, tail = len(col_starts) - 1, len(pivots)
    left = np.zeros((n - tail, n - tail))
    for col in range(tail, n):
        for entry in range(given_starts[col], given_starts[col + 1]):
            left[given_rows[entry] - tail, col - tail] = given[entry]
    for col in range(tail):
        end = col_starts[col + 1]
        begin = end
        while begin > col_starts[col] and rows[begin - 1] >= tail:
            begin -= 1
        for entry in range(begin, end):
            factor = values[entry] * pivots[col]
            row = rows[entry] - tail
            for other in range(begin, entry + 1):
                left[row, rows[other] - tail] -= values[other] * factor
    return left


@njit(cache=True, nogil=True)
def forward(col_starts: IndexArray, rows: PlaceArray, values: FloatArray, tail: int, right: FloatArray) -> None:
    """Solve with L before the tail, in place."""
    for col in range(tail):
        x = right[col]
        for entry in range(col_starts[col], col_starts[col + 1]):
            right[rows[entry]] -= values[entry] * x


@njit(cache=True, nogil=True)
def backward(col_starts: IndexArray, rows: PlaceArray, values: FloatArray, tail: int, right: FloatArray) -> None:
    """Solve with L' before the tail, in place."""
    for col in range(tail - 1, -1, -1):
        x = right[col]
        for entry in range(col_starts[col], col_starts[col + 1]):
            x -= values[entry] * right[rows[entry]]
        right[col] = x


@njit(cache=True, nogil=True)
def selected_inverse(
    col_starts: IndexArray, rows: PlaceArray, values: FloatArray, pivots: FloatArray, tail_inverse: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Entries of the inverse on the pattern of L before the tail.

    Parameters
    ----------
    col_starts, rows, values, pivots : arrays
        L and D before the tail.
    tail_inverse : float array, shape (n - tail, n - tail)
        Inverse of the tail's Schur complement: the inverse there.

    Returns
    -------
    (float array, float array)
        Below the diagonal, shape of `rows`; on it, shape (tail,).

    Notes
    -----
    Z_Rj = -Z_RR L_Rj and Z_jj = 1 / D_j - L_Rj' Z_Rj, from the last column to the first, R the rows of column j
    (Takahashi, Fagan and Chen 1973).
    """
    n, tail = len(col_starts) - 1, len(pivots)
    inverse = np.zeros(len(rows))
    diagonal = np.zeros(tail)
    sums = np.zeros(n)
    factors = np.zeros(n)
    for col in range(tail - 1, -1, -1):
        begin, end = col_starts[col], col_starts[col + 1]
        for entry in range(begin, end):
            factors[rows[entry]] = values[entry]
            sums[rows[entry]] = 0.0
        for entry in range(begin, end):
            row, factor = rows[entry], values[entry]
            if row < tail:
                mine = diagonal[row] * factor
                for place in range(col_starts[row], col_starts[row + 1]):
                    other = rows[place]
                    # nodes outside the column have a factor of 0; what is summed for them is never read
                    sums[other] += inverse[place] * factor
                    mine += inverse[place] * factors[other]
                sums[row] += mine
            else:
                mine = 0.0
                for place in range(end - 1, begin - 1, -1):
                    if rows[place] < tail:
                        break
                    mine += tail_inverse[row - tail, rows[place] - tail] * values[place]
                sums[row] += mine
        total = 1.0 / pivots[col]
        for entry in range(begin, end):
            inverse[entry] = -sums[rows[entry]]
            total += values[entry] * sums[rows[entry]]
            factors[rows[entry]] = 0.0
        diagonal[col] = total
    return inverse, diagonal


@njit(cache=True, nogil=True)
def entries(
    col_starts: IndexArray, rows: PlaceArray, inverse: FloatArray, diagonal: FloatArray, tail_inverse: FloatArray,
    row: PlaceArray, col: PlaceArray,
) -> FloatArray:  # fmt: skip
    """Entries of the inverse at some places of the lower triangle on the pattern of L."""
    tail = len(diagonal)
    found = np.empty(len(row))
    for number in range(len(row)):
        r, c = row[number], col[number]
        if c >= tail:
            found[number] = tail_inverse[r - tail, c - tail]
        elif r == c:
            found[number] = diagonal[c]
        else:
            begin, end = col_starts[c], col_starts[c + 1]
            found[number] = inverse[begin + np.searchsorted(rows[begin:end], r)]
    return found
