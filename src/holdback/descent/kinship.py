"""Relationship, kinship and inbreeding: how far two animals have copies of the same gene by descent.

A is the additive relationship matrix, a_ij for a pair and a_ii = 1 + F_i. Kinship (coancestry) is a_ij / 2, the chance
that a copy of a gene drawn from one and a copy drawn from the other are the same by descent; it is also the inbreeding
coefficient F of young of the two (Wright 1922).

References
----------
Wright (1922), Coefficients of inbreeding and relationship. Am. Nat. 56:330.
Henderson (1976), A simple method for computing the inverse of a numerator relationship matrix. Biometrics 32:69.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from holdback.descent.links import Links
from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.descent.walk import inbreeding_by_walk, mendelian_variances

FloatArray = npt.NDArray[np.float64]

TABLE_BELOW = 2000
"""Number of nodes below which the whole table is made: faster than any other way, and no compiled code is loaded."""

COMPILED_FROM = 10_000
"""Nodes from which compiled code is loaded: loading it takes longer than walking up the ancestors of fewer."""

_COLUMN_CELLS = 8_000_000
"""Cells of one block of columns where the table is too large."""


def relationship(pedigree: Pedigree) -> FloatArray:
    """Additive relationship of all pairs, by the tabular method.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes; memory is 8 n^2 bytes.

    Returns
    -------
    float array, shape (n, n)
        Symmetric, in [0, 2]; the diagonal is 1 + F. Where a sire is doubtful, the mean over all assignments of sires.

    Notes
    -----
    The row of a node is the sum of the rows of its sources, each with its coefficient; on the diagonal 1 + a_sd / 2,
    without a sire 1 + F = 2 - h (1 - F_dam), for one of several candidates sum p_s a_ss.

    Examples
    --------
    >>> family = Pedigree.from_parents({"A": ("S", "D"), "B": ("S", "D"), "K": ("A", "B")})
    >>> relationship(family)[family.index["K"]].tolist()
    [0.5, 0.5, 0.75, 0.75, 1.25]
    """
    table = np.zeros((len(pedigree), len(pedigree)))
    for node, (sire, dam) in enumerate(pedigree.parents.tolist()):
        row = table[node, :node]
        for source, coefficient in pedigree.sources(node):
            row += coefficient * table[source, :node]
        table[:node, node] = row
        if node in pedigree.candidates:
            table[node, node] = sum(weight * table[one, one] for one, weight in pedigree.candidates[node])
        elif sire == dam != UNKNOWN:
            table[node, node] = 1.0 + _inbreeding_without_sire(pedigree, table[dam, dam] - 1.0)
        else:
            table[node, node] = 1.0 + (table[sire, dam] / 2.0 if UNKNOWN not in (sire, dam) else 0.0)
    return table


def inbreeding(pedigree: Pedigree) -> FloatArray:
    """Inbreeding coefficient F of each node.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes.

    Returns
    -------
    float array, shape (n,)
        In [0, 1]; 0 where a parent is unknown. A node of candidates has the mean of theirs.

    Notes
    -----
    By the table below `TABLE_BELOW` nodes. From `COMPILED_FROM`, by compiled code where numba is installed and every
    animal has two certain or unknown parents. Else by `walk`.
    """
    if len(pedigree) < TABLE_BELOW:
        found: FloatArray = relationship(pedigree).diagonal() - 1.0
        return found
    if len(pedigree) >= COMPILED_FROM and pedigree.is_plain and importlib.util.find_spec("numba") is not None:
        from holdback.descent.inbreeding_fast import inbreeding_fast

        return inbreeding_fast(pedigree.parents)
    return inbreeding_by_walk(pedigree)


def kinship(pedigree: Pedigree, first: Sequence[int], second: Sequence[int] | None = None) -> FloatArray:
    """Kinship of every node of one list with every node of another.

    Parameters
    ----------
    pedigree : Pedigree
        Only the ancestors of the nodes named are looked at.
    first : sequence of int
        Indices of a nodes, in any order; one may come twice.
    second : sequence of int, optional
        Indices of b nodes; the first list again where not given.

    Returns
    -------
    float array, shape (a, b)
        In [0, 1]; of a node with itself (1 + F) / 2.

    Notes
    -----
    Where the ancestors are too many for a table, columns of A come from products with T and T' (Colleau 2002).

    References
    ----------
    Colleau (2002), An indirect approach to the extensive calculation of relationship coefficients.
    Genet. Sel. Evol. 34:409.

    Examples
    --------
    >>> family = Pedigree.from_parents({"A": ("S", "D"), "B": ("S", "D")})
    >>> kinship(family, [family.index["A"]], [family.index["B"], family.index["S"]]).tolist()
    [[0.25, 0.25]]
    """
    rows = [int(one) for one in first]
    columns = rows if second is None else [int(one) for one in second]
    kept = pedigree.ancestors([*rows, *columns])
    part = pedigree if len(kept) == len(pedigree) else pedigree.part(kept)
    place = {node: number for number, node in enumerate(kept)}
    at_rows = np.array([place[one] for one in rows], dtype=np.int64)
    at_columns = np.array([place[one] for one in columns], dtype=np.int64)
    if len(part) < TABLE_BELOW:
        found: FloatArray = relationship(part)[np.ix_(at_rows, at_columns)] / 2.0
        return found
    if len(rows) < len(columns):
        return _by_columns(part, at_columns, at_rows).T
    return _by_columns(part, at_rows, at_columns)


def offspring_inbreeding(pedigree: Pedigree, sire: int, dam: int) -> float:
    """Inbreeding coefficient that young of two nodes would have.

    Parameters
    ----------
    pedigree : Pedigree
        Of both.
    sire, dam : int
        Indices; the same index twice asks for young of the dam without a sire.

    Returns
    -------
    float
        In [0, 1]: the kinship of the two, or 1 - h (1 - F_dam) without a sire.

    Examples
    --------
    >>> family = Pedigree.from_parents({"A": ("S", "D"), "B": ("S", "D")})
    >>> offspring_inbreeding(family, family.index["A"], family.index["B"])
    0.25
    """
    found = float(kinship(pedigree, [sire], [dam])[0, 0])
    return _inbreeding_without_sire(pedigree, 2.0 * found - 1.0) if sire == dam else found


def _inbreeding_without_sire(pedigree: Pedigree, dam_inbreeding: float) -> float:
    return 1.0 - pedigree.kept * (1.0 - dam_inbreeding)


def _by_columns(pedigree: Pedigree, rows: npt.NDArray[np.int64], columns: npt.NDArray[np.int64]) -> FloatArray:
    """Kinship of two lists from whole columns of A, some at a time."""
    links = Links.of(pedigree)
    variances = mendelian_variances(pedigree, inbreeding(pedigree))[:, None]
    found = np.empty((len(rows), len(columns)))
    width = max(1, _COLUMN_CELLS // len(pedigree))
    for start in range(0, len(columns), width):
        block = columns[start : start + width]
        unit = np.zeros((len(pedigree), len(block)))
        unit[block, np.arange(len(block))] = 1.0
        found[:, start : start + width] = links.handed_down(variances * links.summed_up(unit))[rows] / 2.0
    return found
