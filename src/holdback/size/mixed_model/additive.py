"""Additive genetic values of a pedigree as effects of a mixed model.

A node without a Mendelian part of its own (a single candidate, young without a sire of a dam inbred throughout) is its
sources in other words and no effect of its own: u = K u_kept, and only the kept ones stand in the equations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import inbreeding as inbreeding_of
from holdback.descent.pedigree import Pedigree
from holdback.descent.relationship_inverse import NO_VARIANCE, mendelian_variances, relationship_inverse
from holdback.descent.unknown_parent_groups import group_contributions, group_inverse

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class UnknownParentGroups:
    """Groups that stand for unknown parents of different origin.

    Parameters
    ----------
    sire_group, dam_group : int array, shape (n_nodes,)
        Group of each unknown parent from 0; -1 where it is known, or is of the base with mean 0.
    n_groups : int
        Number of groups.
    prior_sd : float or None
        Standard deviation of group effects about 0, in the unit of the records; None takes them as fixed.
    """

    sire_group: IntArray
    dam_group: IntArray
    n_groups: int
    prior_sd: float | None = None


@dataclass(frozen=True, eq=False)
class AdditiveValues:
    """What the equations need of a pedigree.

    Parameters
    ----------
    folding : float array, shape (n_nodes, n_kept)
        K: each node in terms of those with a part of their own; the identity for most pedigrees.
    inverse : float array, shape (n_kept + n_groups, n_kept + n_groups)
        Inverse of the relationship matrix of the kept nodes, with groups of unknown parents after them.
    contributions : float array, shape (n_nodes, n_groups)
        Part of each node that comes from each group, Q.
    inbreeding : float array, shape (n_nodes,)
        F of each node.
    """

    folding: FloatArray
    inverse: FloatArray
    contributions: FloatArray
    inbreeding: FloatArray

    @classmethod
    def of(cls, pedigree: Pedigree, groups: UnknownParentGroups | None = None) -> AdditiveValues:
        """Of a pedigree, with groups of unknown parents where given.

        Raises
        ------
        PedigreeError
            PED-005 where a group stands for a known parent, or is none of those numbered.
        """
        coefficients = inbreeding_of(pedigree)
        has_own = mendelian_variances(pedigree, coefficients) > NO_VARIANCE
        kept = np.flatnonzero(has_own)
        if groups is None:
            inverse = relationship_inverse(pedigree, inbreeding=coefficients).dense()
            contributions = np.zeros((len(pedigree), 0))
        else:
            given = (groups.sire_group, groups.dam_group, groups.n_groups)
            inverse = group_inverse(pedigree, *given, inbreeding=coefficients).dense()
            contributions = group_contributions(pedigree, *given)
        places = np.concatenate([kept, np.arange(len(pedigree), len(inverse))])
        return cls(_folding(pedigree, kept), inverse[np.ix_(places, places)], contributions, coefficients)


def _folding(pedigree: Pedigree, kept: IntArray) -> FloatArray:
    """Each node in terms of the kept ones, oldest first."""
    found = np.zeros((len(pedigree), len(kept)))
    found[kept, np.arange(len(kept))] = 1.0
    own = set(kept.tolist())
    for node in range(len(pedigree)):
        if node not in own:
            for source, coefficient in pedigree.sources(node):
                found[node] += coefficient * found[source]
    return found
