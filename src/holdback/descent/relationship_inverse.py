"""The inverse of the relationship matrix by rules, and products with the matrix and its inverse without forming either.

A = T D T' with T = (I - P)^-1, so that A^-1 = (I - P)' D^-1 (I - P): each node adds the outer product of its row of
I - P over the variance of its Mendelian part (Henderson 1976, Quaas 1976). A node without any such variance (one
candidate only, a young without a sire of a dam inbred throughout) is its sources in other words; A has no inverse then.
It is folded into them: its row and column in the inverse are empty, and the rest is the inverse of A without it, which
is a generalised inverse of A (A G A = A, G A G = G).

References
----------
Henderson (1976), A simple method for computing the inverse of a numerator relationship matrix. Biometrics 32:69.
Quaas (1976), Computing the diagonal elements and inverse of a large numerator relationship matrix. Biometrics 32:949.
Colleau (2002), An indirect approach to the extensive calculation of relationship coefficients.
Genet. Sel. Evol. 34:409.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import inbreeding as inbreeding_of
from holdback.descent.links import Links
from holdback.descent.pedigree import Pedigree
from holdback.descent.walk import mendelian_variances

__all__ = [
    "NO_VARIANCE",
    "MendelianRows",
    "Triplets",
    "inverse_product",
    "mendelian_variances",
    "relationship_inverse",
    "relationship_product",
]

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]

NO_VARIANCE = 1e-12
"""Variance of a Mendelian part, as a part of the additive variance, that rounding alone could leave."""


@dataclass(frozen=True, eq=False)
class Triplets:
    """A sparse matrix: row, column and value of each place that is not zero, each place once, row by row.

    Parameters
    ----------
    rows, cols : int array, shape (n_places,)
        Where; columns rise within a row.
    values : float array, shape (n_places,)
        What stands there.
    shape : (int, int)
        Rows and columns of the whole.
    """

    rows: IndexArray
    cols: IndexArray
    values: FloatArray
    shape: tuple[int, int]

    def dense(self) -> FloatArray:
        """The matrix with its zeros, shape as in `shape`."""
        found = np.zeros(self.shape)
        found[self.rows, self.cols] = self.values
        return found


@dataclass(frozen=True, eq=False)
class MendelianRows:
    """The rows of I - P with a variance of their own, nodes without one written in terms of their sources.

    Parameters
    ----------
    rows, cols : int array, shape (n_entries,)
        Node, and the column of the entry; a column may come twice in a row.
    values : float array, shape (n_entries,)
        1 for the node itself, minus the coefficient for a source.
    weights : float array, shape (n,)
        1 / d of each node, 0 where d is none.
    """

    rows: IndexArray
    cols: IndexArray
    values: FloatArray
    weights: FloatArray

    @classmethod
    def of(cls, links: Links, variances: FloatArray) -> MendelianRows:
        """Rows of a pedigree's links with the variances of the Mendelian parts."""
        has_own = variances > NO_VARIANCE
        own = np.flatnonzero(has_own)
        kept = has_own[links.nodes] & has_own[links.sources]
        more = _through_folded(links, has_own)
        weights = np.zeros(links.n)
        weights[own] = 1.0 / variances[own]
        return cls(
            np.concatenate([own, links.nodes[kept], np.array([node for node, _, _ in more], dtype=np.int64)]),
            np.concatenate([own, links.sources[kept], np.array([source for _, source, _ in more], dtype=np.int64)]),
            np.concatenate(
                [
                    np.ones(len(own)),
                    -links.coefficients[kept],
                    -np.array([share for _, _, share in more], dtype=np.float64),
                ]
            ),
            weights,
        )

    def outer_sum(self, shape: tuple[int, int]) -> Triplets:
        """Sum over nodes of 1 / d times the outer product of the row with itself."""
        order = np.argsort(self.rows, kind="stable")
        rows, cols, values = self.rows[order], self.cols[order], self.values[order]
        counts = np.bincount(rows, minlength=len(self.weights))[rows]
        first = np.repeat(np.arange(len(rows)), counts)
        starts = np.searchsorted(rows, rows)
        step = np.arange(len(first)) - np.repeat(np.cumsum(counts) - counts, counts)
        second = np.repeat(starts, counts) + step
        return _summed(cols[first], cols[second], self.weights[rows[first]] * values[first] * values[second], shape)


def relationship_inverse(pedigree: Pedigree, *, inbreeding: FloatArray | None = None) -> Triplets:
    """Inverse of the relationship matrix by Henderson's rules.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes, with any kind of node.
    inbreeding : float array, shape (n,), optional
        Inbreeding coefficients; worked out where not given. Zeros ignore inbreeding.

    Returns
    -------
    Triplets
        Shape (n, n). A node without a Mendelian variance of its own has an empty row and column.

    Examples
    --------
    >>> family = Pedigree.from_parents({"K": ("S", "D")})
    >>> relationship_inverse(family).dense().tolist()
    [[1.5, 0.5, -1.0], [0.5, 1.5, -1.0], [-1.0, -1.0, 2.0]]
    """
    n = len(pedigree)
    return _rows(pedigree, inbreeding).outer_sum((n, n))


def inverse_product(pedigree: Pedigree, x: FloatArray, *, inbreeding: FloatArray | None = None) -> FloatArray:
    """A^-1 x without forming the inverse.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes.
    x : float array, shape (n,) or (n, k)
        One vector or several.
    inbreeding : float array, shape (n,), optional
        As in `relationship_inverse`.

    Returns
    -------
    float array, shape of x
        The product with the matrix of `relationship_inverse`.

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": ("S", "D")})
    >>> inverse_product(family, np.array([0.0, 0.0, 1.0])).tolist()
    [-1.0, -1.0, 2.0]
    """
    parts = _rows(pedigree, inbreeding)
    columns = x.reshape(len(pedigree), -1)
    found = np.empty(columns.shape)
    for number, column in enumerate(columns.T):
        own = np.bincount(parts.rows, parts.values * column[parts.cols], minlength=len(pedigree)) * parts.weights
        found[:, number] = np.bincount(parts.cols, parts.values * own[parts.rows], minlength=len(pedigree))
    return found.reshape(x.shape)


def relationship_product(pedigree: Pedigree, x: FloatArray, *, inbreeding: FloatArray | None = None) -> FloatArray:
    """A x without forming A.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes.
    x : float array, shape (n,) or (n, k)
        One vector or several.
    inbreeding : float array, shape (n,), optional
        Inbreeding coefficients; worked out where not given. Zeros ignore inbreeding.

    Returns
    -------
    float array, shape of x
        T D T' x: up the pedigree, times D, and down again (Colleau 2002).

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": ("S", "D")})
    >>> relationship_product(family, np.array([0.0, 0.0, 1.0])).tolist()
    [0.5, 0.5, 1.0]
    """
    links = Links.of(pedigree)
    variances = _variances(pedigree, inbreeding)
    return links.handed_down(variances.reshape(-1, *(1,) * (x.ndim - 1)) * links.summed_up(x))


def _rows(pedigree: Pedigree, inbreeding: FloatArray | None) -> MendelianRows:
    return MendelianRows.of(Links.of(pedigree), _variances(pedigree, inbreeding))


def _variances(pedigree: Pedigree, inbreeding: FloatArray | None) -> FloatArray:
    return mendelian_variances(pedigree, inbreeding_of(pedigree) if inbreeding is None else inbreeding)


def _through_folded(links: Links, has_own: npt.NDArray[np.bool_]) -> list[tuple[int, int, float]]:
    """Links of nodes to the sources of a folded source, with the products of the coefficients."""
    sources: dict[int, dict[int, float]] = {int(node): {} for node in np.flatnonzero(~has_own)}
    found: dict[int, dict[int, float]] = {}
    through = np.flatnonzero(~has_own[links.nodes] | ~has_own[links.sources])
    for link in through[np.argsort(links.nodes[through], kind="stable")]:
        node = int(links.nodes[link])
        mine = sources[node] if node in sources else found.setdefault(node, {})
        _add_expanded(sources, mine, int(links.sources[link]), float(links.coefficients[link]))
    return [(node, source, share) for node, shares in found.items() for source, share in shares.items()]


def _add_expanded(folded: dict[int, dict[int, float]], into: dict[int, float], source: int, share: float) -> None:
    """Add a share of a source, or of what it is folded into; its own sources are expanded already, being older."""
    for one, part in folded[source].items() if source in folded else ((source, 1.0),):
        into[one] = into.get(one, 0.0) + share * part


def _summed(rows: IndexArray, cols: IndexArray, values: FloatArray, shape: tuple[int, int]) -> Triplets:
    """Triplets with each place once; what cancels out is left out."""
    places, index = np.unique(rows * shape[1] + cols, return_inverse=True)
    sums = np.bincount(index, values, minlength=len(places))
    kept = sums != 0.0
    return Triplets(places[kept] // shape[1], places[kept] % shape[1], sums[kept], shape)
