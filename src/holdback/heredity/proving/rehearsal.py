"""What a clutch of a pair would tell of the mode: exact information, and rehearsed young one after another.

A pair is a mixture of cells: a mode, the states of the two parents, a weight, and the chances of a young by recorded
look and sex. Between the cells nothing is averaged.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from holdback.heredity.proving.modes import N_STATES, FloatArray, Mode

N_CLASSES = 6
"""Three looks in two sexes."""

MOST_EXACT = 12
"""Young in a clutch up to which every outcome is summed; a larger clutch counts as one of this size."""

MOST_YOUNG = 120
"""Young up to which a pair is rehearsed."""

_LEAST_WEIGHT = 1e-7


@dataclass(frozen=True, eq=False)
class PairMixture:
    """What a pair may be, and what each possibility gives.

    Parameters
    ----------
    modes : int array, shape (n_cells,)
        Index of the mode of each cell in `Mode` order.
    weights : float array, shape (n_cells,)
        Probabilities, summing to 1.
    chances : float array, shape (n_cells, 6)
        P(recorded look and sex of a young | cell), rows summing to 1.
    """

    modes: NDArray[np.intp]
    weights: FloatArray
    chances: FloatArray

    @classmethod
    def of(
        cls, posterior: Mapping[Mode, float], pairs: Mapping[Mode, FloatArray], by_class: Mapping[Mode, FloatArray]
    ) -> PairMixture:
        """Mixture of a pair over modes and states.

        Parameters
        ----------
        posterior : mapping of Mode to float
            P(mode | what is known).
        pairs, by_class : mapping of Mode to float array, shapes (7, 7) and (7, 7, 3, 2)
            P(states of the parents | mode, what is known), and P(look and sex of a young | states).
        """
        cells: dict[tuple[int, tuple[float, ...]], float] = {}
        for index, mode in enumerate(Mode):
            for first in range(N_STATES):
                for second in range(N_STATES):
                    weight = posterior[mode] * float(pairs[mode][first, second])
                    if weight > _LEAST_WEIGHT:
                        row = tuple(np.round(by_class[mode][first, second].ravel(), 12).tolist())
                        cells[index, row] = cells.get((index, row), 0.0) + weight
        weights = np.array(list(cells.values()))
        chances = np.array([row for _, row in cells])
        modes = np.array([index for index, _ in cells], dtype=np.intp)
        return cls(modes, weights / weights.sum(), chances / chances.sum(axis=1, keepdims=True))

    @property
    def by_mode(self) -> FloatArray:
        """1 where a cell is of a mode, shape (n_cells, n_modes)."""
        table: FloatArray = (self.modes[:, None] == np.arange(len(Mode))[None, :]).astype(float)
        return table

    def bits(self, n: int) -> float:
        """Mutual information of the mode and the looks and sexes of n young, in bits; exact to `MOST_EXACT` young."""
        counts, log_ways = _count_tables(min(n, MOST_EXACT))
        by_cell = np.exp(log_ways[:, None] + counts @ np.log(self.chances).T) * self.weights
        joint = by_cell @ self.by_mode
        before = entropy(self.weights @ self.by_mode)
        return max(0.0, before - float(entropy_rows(joint).sum()))

    def chance_right(self, *, paths: int, seed: int) -> FloatArray:
        """Expected probability of the likeliest mode after 0, 1, ..., `MOST_YOUNG` young, by rehearsal.

        Parameters
        ----------
        paths : int
            Rehearsed sequences of young.
        seed : int
            Seed of the rehearsal; one seed gives one answer.

        Returns
        -------
        float array, shape (MOST_YOUNG + 1,)
            Also the chance that naming the likeliest mode is right.
        """
        random = np.random.default_rng(seed)
        places = (np.arange(paths) + random.random()) / paths
        cells = np.minimum(np.searchsorted(np.cumsum(self.weights), places), len(self.weights) - 1)
        steps = np.cumsum(self.chances, axis=1)[cells]
        young = (random.random((paths, MOST_YOUNG))[:, :, None] > steps[:, None, :-1]).sum(axis=2)
        log_steps = np.log(self.chances).T[young]
        start = np.broadcast_to(np.log(self.weights), (paths, 1, len(self.weights)))
        logs = np.cumsum(np.concatenate([start, log_steps], axis=1), axis=1)
        logs -= logs.max(axis=2, keepdims=True)
        weights = np.exp(logs) @ self.by_mode
        right: FloatArray = (weights.max(axis=2) / weights.sum(axis=2)).mean(axis=0)
        return right


def entropy(p: FloatArray) -> float:
    """Entropy of a distribution, in bits."""
    return float(-(p * np.log2(p, out=np.zeros_like(p), where=p > 0.0)).sum())


def entropy_rows(joint: FloatArray) -> FloatArray:
    """Entropy within each row of a joint table, weighted by the row, in bits."""
    rows = joint.sum(axis=1, keepdims=True)
    share = np.divide(joint, rows, out=np.zeros_like(joint), where=rows > 0.0)
    inside: FloatArray = -(joint * np.log2(share, out=np.zeros_like(share), where=share > 0.0)).sum(axis=1)
    return inside


@lru_cache(maxsize=MOST_EXACT + 1)
def _count_tables(n: int) -> tuple[FloatArray, FloatArray]:
    """Every way of sharing n young among the classes, and the logarithm of the number of orders."""
    tables = np.zeros((1, 0), dtype=np.intp)
    left = np.array([n])
    for _ in range(N_CLASSES - 1):
        repeats = left + 1
        first = np.concatenate([np.arange(each) for each in repeats])
        tables = np.column_stack([np.repeat(tables, repeats, axis=0), first])
        left = np.repeat(left, repeats) - first
    tables = np.column_stack([tables, left])
    log_factorial = np.concatenate([[0.0], np.cumsum(np.log(np.arange(1, n + 1)))])
    return tables.astype(float), log_factorial[n] - log_factorial[tables].sum(axis=1)
