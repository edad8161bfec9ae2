"""Mixed-model equations assembled as one sparse matrix, and other ways to their solution and to the variances."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import qdldl
from descent_pedigrees import IntArray
from scipy import linalg, optimize, sparse
from scipy.sparse.linalg import LinearOperator, cg

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Data:
    """One trait of a bred herd.

    Parameters
    ----------
    parents : int32 array, shape (n, 2)
        Sire and dam, -1 where unknown.
    inbreeding : float array, shape (n,)
        F of each.
    animals, groups : int array, shape (n_records,)
        Animal and fixed group of each record.
    values : float array, shape (n_records,)
        What was measured.
    ratio : float
        lambda = sigma2_e / sigma2_a that it was made with.
    """

    parents: IntArray
    inbreeding: FloatArray
    animals: npt.NDArray[np.int64]
    groups: npt.NDArray[np.int64]
    values: FloatArray
    ratio: float

    @property
    def mendelian(self) -> FloatArray:
        """Variance of each animal's Mendelian part over sigma2_a."""
        known = np.append(self.inbreeding, -1.0)
        found: FloatArray = 0.5 - 0.25 * known[self.parents].sum(axis=1)
        return found


def assembled(data: Data) -> tuple[sparse.csr_array, FloatArray]:
    """Coefficients and right side: animals, then groups; A^-1 by Henderson's rules, all places summed at once."""
    n = len(data.parents)
    own, weight = np.arange(n, dtype=np.int32), data.ratio / data.mendelian
    rows, cols, values = [own], [own], [weight]
    sire, dam = data.parents.T
    for one, other, factor in (
        (own, sire, -0.5),
        (own, dam, -0.5),
        (sire, own, -0.5),
        (dam, own, -0.5),
        (sire, sire, 0.25),
        (dam, dam, 0.25),
        (sire, dam, 0.25),
        (dam, sire, 0.25),
    ):
        known = (one >= 0) & (other >= 0)
        rows.append(one[known])
        cols.append(other[known])
        values.append(factor * weight[known])
    animal, group = data.animals.astype(np.int32), (data.groups + n).astype(np.int32)
    rows += [animal, group, animal, group]
    cols += [animal, group, group, animal]
    values += [np.ones(len(animal))] * 4
    size = int(group.max()) + 1
    places = np.concatenate(rows), np.concatenate(cols)
    right = np.bincount(animal, data.values, size) + np.bincount(group, data.values, size)
    return sparse.csr_array((np.concatenate(values), places), shape=(size, size)), right


def by_conjugate_gradient(table: sparse.csr_array, right: FloatArray, tolerance: float) -> FloatArray:
    """Solution by scipy with the diagonal as preconditioner."""
    diagonal = table.diagonal()
    scaled = LinearOperator(table.shape, matvec=lambda rest: rest / diagonal)
    found, failed = cg(table, right, rtol=tolerance, atol=0.0, maxiter=5000, M=scaled)
    if failed:
        raise RuntimeError("conjugate gradients of scipy did not come to an end")
    return np.asarray(found, dtype=np.float64)


def by_factor(table: sparse.csr_array, right: FloatArray) -> FloatArray:
    """Solution by qdldl."""
    return np.asarray(qdldl.Solver(table.tocsc()).solve(right), dtype=np.float64)


def dense_variances(data: Data) -> tuple[float, float]:
    """Additive and residual variance by restricted maximum likelihood, from the eigenvalues of the relationships.

    With N a basis of what the groups leave, N'y has variances theta_i sigma2_a + sigma2_e along the eigenvectors of
    N'ZAZ'N; one of both variances follows from the other, and their ratio is searched.
    """
    n, n_records = len(data.parents), len(data.values)
    parts = np.eye(n)
    for column in data.parents.T:
        known = np.flatnonzero(column >= 0)
        parts[known, column[known]] -= 0.5
    handed = linalg.solve_triangular(parts, np.eye(n), lower=True, unit_diagonal=True)[data.animals]
    relationship = (handed * data.mendelian) @ handed.T
    of_group = np.zeros((n_records, int(data.groups.max()) + 1))
    of_group[np.arange(n_records), data.groups] = 1.0
    left = linalg.qr(of_group)[0][:, of_group.shape[1] :]
    roots, directions = linalg.eigh(left.T @ relationship @ left)
    squares = (directions.T @ (left.T @ data.values)) ** 2

    def lack(log_ratio: float) -> float:
        spread = roots + np.exp(log_ratio)
        return float(len(squares) * np.log((squares / spread).sum()) + np.log(spread).sum())

    ratio = np.exp(optimize.minimize_scalar(lack, bounds=(-7.0, 7.0), method="bounded", options={"xatol": 1e-9}).x)
    additive = float((squares / (roots + ratio)).mean())
    return additive, float(ratio) * additive
