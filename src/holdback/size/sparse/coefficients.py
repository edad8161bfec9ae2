"""The mixed-model equations written out as a sparse symmetric matrix, for factorisation.

Animals come first, then the groups; only the lower triangle is kept. The part of the records and the part of A^-1 stand
apart on one pattern, so that another ratio of variances is one sum.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holdback.size.sparse.model import AnimalModel, FloatArray, IndexArray, sums


@dataclass(frozen=True, eq=False)
class Coefficients:
    """Z'WZ, Z'WX, X'WX and A^-1 on one pattern.

    Parameters
    ----------
    n : int
        Number of equations: animals, then groups.
    rows, cols : int array, shape (n_places,)
        Lower triangle, each place once; every diagonal place is there.
    of_records, of_relationship : float array, shape (n_places,)
        What records and A^-1 put there.
    """

    n: int
    rows: IndexArray
    cols: IndexArray
    of_records: FloatArray
    of_relationship: FloatArray

    @classmethod
    def of(cls, model: AnimalModel) -> Coefficients:
        """Coefficients of a model."""
        n = model.n + model.n_groups
        first, second, inverse = _inverse_entries(model)
        group = model.groups + model.n
        every = np.arange(n)
        rows = np.concatenate([every, group, group, model.animals, np.maximum(first, second)])
        cols = np.concatenate([every, group, model.animals, model.animals, np.minimum(first, second)])
        places, index = np.unique(rows * n + cols, return_inverse=True)
        none = np.zeros(n)
        of_records = np.concatenate([none, np.tile(model.weights, 3), np.zeros(len(inverse))])
        of_relationship = np.concatenate([none, np.zeros(3 * len(model.weights)), inverse])
        return cls(
            n, places // n, places % n, sums(index, of_records, len(places)), sums(index, of_relationship, len(places))
        )

    def at(self, ratio: float) -> FloatArray:
        """Values at lambda = ratio, shape (n_places,)."""
        return self.of_records + ratio * self.of_relationship


def _inverse_entries(model: AnimalModel) -> tuple[IndexArray, IndexArray, FloatArray]:
    """Lower triangle of A^-1 by Henderson's rules, places several times: 1 / d times each row's outer product."""
    own, weight = np.arange(model.n), 1.0 / model.mendelian
    sire, dam = model.parents.astype(np.int64).T
    has_sire, has_dam = sire >= 0, dam >= 0
    both = has_sire & has_dam
    parts = [(own, own, weight)]
    for parent, known in ((sire, has_sire), (dam, has_dam)):
        parts += [
            (own[known], parent[known], -0.5 * weight[known]),
            (parent[known], parent[known], 0.25 * weight[known]),
        ]
    parts.append((sire[both], dam[both], 0.25 * weight[both]))
    first, second, values = (np.concatenate(column) for column in zip(*parts, strict=True))
    return first, second, values
