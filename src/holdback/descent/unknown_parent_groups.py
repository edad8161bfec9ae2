"""Groups of unknown parents: parents of different origin have different means, and nobody is thrown together.

The additive value of an animal whose parents are not known is taken as the mean of their groups plus a part of its own:
u = P u + G g + m. With Q = (I - P)^-1 G the mean of animal i is row i of Q times g, and the rule for A^-1 holds with
groups standing where a parent is unknown (Westell, Quaas and Van Vleck 1988; Quaas 1988).

References
----------
Westell, Quaas and Van Vleck (1988), Genetic groups in an animal model. J. Dairy Sci. 71:1310.
Quaas (1988), Additive genetic model with groups and relationships. J. Dairy Sci. 71:1338.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import inbreeding as inbreeding_of
from holdback.descent.links import Links
from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.descent.relationship_inverse import MendelianRows, Triplets, mendelian_variances
from holdback.errors import Fault, PedigreeError

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]


def group_inverse(
    pedigree: Pedigree,
    sire_group: npt.NDArray[np.integer],
    dam_group: npt.NDArray[np.integer],
    n_groups: int,
    *,
    inbreeding: FloatArray | None = None,
) -> Triplets:
    """Inverse of the relationship matrix with groups of unknown parents.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes.
    sire_group, dam_group : int array, shape (n,)
        Group of each unknown parent, 0 to n_groups - 1; -1 where the parent is known, or belongs to the base, the
        mean of which is 0. A node of candidates has no parents of its own and no groups.
    n_groups : int
        Number of groups.
    inbreeding : float array, shape (n,), optional
        Inbreeding coefficients; worked out where not given. Zeros ignore inbreeding: then each animal weighs
        4 / (2 + number of its unknown parents).

    Returns
    -------
    Triplets
        Shape (n + n_groups, n + n_groups), nodes before groups: A^-1, -A^-1 Q; -Q' A^-1, Q' A^-1 Q. It is singular.

    Raises
    ------
    PedigreeError
        PED-005 where a group stands for a known parent, or is none of those numbered; all faults together.

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": (None, None)})
    >>> group_inverse(family, np.array([0]), np.array([1]), 2).dense().tolist()
    [[1.0, -0.5, -0.5], [-0.5, 0.25, 0.25], [-0.5, 0.25, 0.25]]
    """
    nodes, groups = _unknown_parents(pedigree, sire_group, dam_group, n_groups)
    n = len(pedigree)
    coefficients = inbreeding_of(pedigree) if inbreeding is None else inbreeding
    rows = MendelianRows.of(Links.of(pedigree), mendelian_variances(pedigree, coefficients))
    with_groups = MendelianRows(
        np.append(rows.rows, nodes),
        np.append(rows.cols, n + groups),
        np.append(rows.values, np.full(len(nodes), -0.5)),
        rows.weights,
    )
    return with_groups.outer_sum((n + n_groups, n + n_groups))


def group_contributions(
    pedigree: Pedigree,
    sire_group: npt.NDArray[np.integer],
    dam_group: npt.NDArray[np.integer],
    n_groups: int,
) -> FloatArray:
    """Part of each node that comes from each group of unknown parents, the matrix Q.

    Parameters
    ----------
    pedigree, sire_group, dam_group, n_groups
        As in `group_inverse`.

    Returns
    -------
    float array, shape (n, n_groups)
        In [0, 1]; rows sum to 1, less what comes from the base.

    Raises
    ------
    PedigreeError
        PED-005, as in `group_inverse`.

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": ("S", None), "S": (None, None)})
    >>> group_contributions(family, np.array([0, -1]), np.array([0, 1]), 2).tolist()
    [[1.0, 0.0], [0.5, 0.5]]
    """
    nodes, groups = _unknown_parents(pedigree, sire_group, dam_group, n_groups)
    direct = np.zeros((len(pedigree), n_groups))
    np.add.at(direct, (nodes, groups), 0.5)
    return Links.of(pedigree).handed_down(direct)


def _unknown_parents(
    pedigree: Pedigree, sire_group: npt.NDArray[np.integer], dam_group: npt.NDArray[np.integer], n_groups: int
) -> tuple[IndexArray, IndexArray]:
    """Node and group of each unknown parent that has a group."""
    unknown = pedigree.parents == UNKNOWN
    unknown[list(pedigree.candidates)] = False
    given = np.column_stack([sire_group, dam_group]).astype(np.int64)
    assert given.shape == unknown.shape, "one group for each parent"
    wrong = (given < UNKNOWN) | (given >= n_groups) | ((given != UNKNOWN) & ~unknown)
    if wrong.any():
        raise PedigreeError(
            [
                Fault(
                    "PED-005",
                    f"Group {given[node, side]} cannot stand for the {('sire', 'dam')[side]} of {pedigree.ids[node]}.",
                    f"Give groups 0 to {n_groups - 1} to unknown parents, -1 to known ones.",
                    field=("sire_group", "dam_group")[side],
                    value=str(given[node, side]),
                    animal=pedigree.ids[node],
                )
                for node, side in np.argwhere(wrong)
            ]
        )
    nodes, sides = np.nonzero(given != UNKNOWN)
    return nodes, given[nodes, sides]
