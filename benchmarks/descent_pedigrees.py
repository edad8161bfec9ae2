"""Pedigrees of overlapping cohorts, bred from few sires or at random."""

from __future__ import annotations

import generator
import numpy as np
import numpy.typing as npt

IntArray = npt.NDArray[np.int32]

COHORTS = 10
PER_SIRE = 500
"""Animals of a cohort for each active sire, where sires are few."""
LEAST = 5


def overlapping(animals: int, *, few: bool) -> IntArray:
    """Sire and dam of each animal, -1 for founders; each parent is drawn anew from the two cohorts before.

    Parameters
    ----------
    animals : int
        Number, in ten cohorts.
    few : bool
        One sire for 500 animals of a cohort, at least five; else any male.

    Returns
    -------
    int32 array, shape (animals, 2)
        Parents before offspring.
    """
    random = generator.rng(f"pedigree {'few' if few else 'random'} {animals}")
    size = animals // COHORTS
    parents = np.full((animals, 2), -1, dtype=np.int32)
    is_male = random.random(animals) < 0.5
    for cohort in range(1, COHORTS):
        start = cohort * size
        end = animals if cohort == COHORTS - 1 else start + size
        pool = np.arange(max(0, start - 2 * size), start)
        males, females = pool[is_male[pool]], pool[~is_male[pool]]
        if few:
            males = random.choice(males, max(LEAST, size // PER_SIRE), replace=False)
        parents[start:end, 0] = random.choice(males, end - start)
        parents[start:end, 1] = random.choice(females, end - start)
    return parents
