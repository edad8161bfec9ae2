"""Compiled inbreeding of all animals of a large pedigree.

Generation by generation, each sire is held against all his mates at once (see `inbreeding_columns_fast`): the column of
a sire needs Mendelian variances of his ancestors only, so all his young are settled when his turn comes, however late
they were born.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numba import njit

from holdback.descent.inbreeding_columns_fast import Work, of_sires, workplace
from holdback.descent.inbreeding_order_fast import Breeders, FloatArray, IntArray, numbered

_SAMPLE = 16
"""Sires of each generation whose column is taken first, to see which way is quicker for the others."""

_VISIT = 3.0
"""Time of a visit for a column, in ways up; measured."""

_SHARED = 2_000_000
"""Ways up from which a second thread pays."""

_PIECES = 16


def inbreeding_fast(parents: IntArray, *, threads: int | None = None) -> FloatArray:
    """Inbreeding coefficient F of each animal.

    Parameters
    ----------
    parents : int32 array, shape (n, 2)
        Rows of sire and dam, -1 where unknown; parents before offspring, in any such order. Sire and dam differ.
    threads : int, optional
        1 or 2; two if the machine has them and the generation is large. The result is the same to the last bit.

    Returns
    -------
    float64 array, shape (n,)
        In [0, 1); 0 where a parent is unknown.

    Notes
    -----
    About 60 bytes an animal and 50 bytes a breeder and thread. A first call compiles for some seconds; later processes
    load what was compiled.

    References
    ----------
    Colleau (2002), An indirect approach to the extensive calculation of relationship coefficients. Genet. Sel. Evol.
    Sargolzaei, Iwaisaki & Colleau (2005), A fast algorithm for computing inbreeding coefficients in large populations.
    J. Anim. Breed. Genet. (titles from memory)

    Examples
    --------
    >>> import numpy as np
    >>> inbreeding_fast(np.array([[-1, -1], [-1, -1], [0, 1], [0, 1], [2, 3]], dtype=np.int32)).tolist()
    [0.0, 0.0, 0.0, 0.0, 0.25]
    """
    rows = np.ascontiguousarray(parents, dtype=np.int32).reshape(-1, 2)
    breeders, bounds = numbered(rows)
    inbreeding = np.zeros(len(rows))
    of_breeder = np.zeros(len(breeders.row))
    of_breeder[0] = -1.0
    workers = _Workers(breeders, len(bounds), min(2, threads or os.cpu_count() or 1), inbreeding)
    for number, (start, dams, end) in enumerate(bounds):
        if number:
            _variances(start, end, breeders, inbreeding, of_breeder)
        workers.run(start, dams)
    return inbreeding


@njit(cache=True, nogil=True)
def _variances(start: int, end: int, breeders: Breeders, inbreeding: FloatArray, of_breeder: FloatArray) -> None:
    """Mendelian variances of one generation, 1/2 - (F_sire + F_dam) / 4 with F = -1 for an unknown parent."""
    for x in range(start, end):
        of_breeder[x] = inbreeding[breeders.row[x]]
        of_parents = of_breeder[breeders.parents[x, 0]] + of_breeder[breeders.parents[x, 1]]
        breeders.variance[x] = 0.5 - 0.25 * of_parents


class _Workers:
    """One or two threads, each with arrays of its own."""

    def __init__(self, breeders: Breeders, generations: int, threads: int, inbreeding: FloatArray) -> None:
        self.breeders, self.generations, self.threads, self.inbreeding = breeders, generations, threads, inbreeding
        self.works = [workplace(breeders, generations)]

    def run(self, start: int, end: int) -> None:
        """Settle the young of the sires of one generation."""
        step = max(1, (end - start) // _SAMPLE)
        visits, ways = of_sires(start, end, step, 0, False, self.breeders, self.works[0], self.inbreeding)
        if step == 1:
            return
        by_paths = ways < _VISIT * visits
        expected = (step - 1) * min(ways, _VISIT * visits)
        size = end - start if expected < _SHARED else max(1, (end - start) // (_PIECES * step)) * step
        pieces = iter([(first, min(first + size, end)) for first in range(start, end, size)])
        if self.threads == 1 or expected < _SHARED:
            self._work(pieces, step, by_paths, self.works[0])
            return
        if len(self.works) == 1:
            self.works.append(workplace(self.breeders, self.generations))
        with ThreadPoolExecutor(1) as pool:
            other = pool.submit(self._work, pieces, step, by_paths, self.works[1])
            self._work(pieces, step, by_paths, self.works[0])
            other.result()

    def _work(self, pieces: Iterator[tuple[int, int]], step: int, by_paths: bool, work: Work) -> None:
        """Take pieces until none is left; both threads draw from the same iterator."""
        for first, end in pieces:
            of_sires(first, end, 1, step, by_paths, self.breeders, work, self.inbreeding)
