"""The maternal model: a record shows the genes of the animal, those of its dam for mothering, and her environment.

    y = X b + Z u + M m + W p + e,   var (u, m) = G0 kron A, p ~ N(0, I s2pd) over dams, e ~ N(0, R)

References
----------
Quaas and Pollak (1980), Mixed model methodology for farm and ranch beef cattle testing programs. J. Anim. Sci. 51:1277.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import Pedigree
from holdback.size.mixed_model.additive import AdditiveValues
from holdback.size.mixed_model.animal_model import parents_of
from holdback.size.mixed_model.equations import Effects, Term, crossed, inverse, solve
from holdback.size.mixed_model.records import Records, checked, incidence

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class MaternalVariances:
    """Variances of a maternal model, in squared units of the records.

    Parameters
    ----------
    genetic : float array, shape (2, 2)
        G0: of the direct and the maternal breeding value, and their covariance.
    residual : float or float array, shape (n_records,)
        Of each residual.
    permanent_dam : float
        Of what else is lasting in a dam; 0 leaves it out.
    """

    genetic: FloatArray
    residual: float | FloatArray
    permanent_dam: float = 0.0


@dataclass(frozen=True, eq=False)
class MaternalSolution:
    """Direct and maternal breeding values with their errors.

    Parameters
    ----------
    effects : Effects
        Of the terms ``fixed``, ``genetic`` (direct, then maternal, of the kept nodes) and ``permanent``.
    breeding_values : float array, shape (n_nodes, 2)
        Direct and maternal, in the unit of the records.
    pev : float array, shape (n_nodes, 2)
        Variances of their errors.
    reliability : float array, shape (n_nodes, 2)
        1 - PEV / ((1 + F) g) with g the direct or the maternal variance.
    permanent_dam : float array, shape (n_nodes,)
        Permanent environment of each dam; 0 for nodes without recorded young.
    """

    effects: Effects
    breeding_values: FloatArray
    pev: FloatArray
    reliability: FloatArray
    permanent_dam: FloatArray


def maternal_model(records: Records, pedigree: Pedigree, variances: MaternalVariances) -> MaternalSolution:
    """Direct and maternal breeding values with given variances.

    Parameters
    ----------
    records : Records
        Of the young, by their own nodes.
    pedigree : Pedigree
        With a node for the dam of every animal with a record.
    variances : MaternalVariances
        Of the effects.

    Returns
    -------
    MaternalSolution
        For every node.

    Raises
    ------
    SizeError
        SIZ-201 to SIZ-203 for records that do not hold together, SIZ-204 for variances that are not positive, SIZ-205
        where the dam of an animal with a record is no node.

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "E")})
    >>> records = Records(np.array([12.0, 8.0]), np.array([family.index["K"], family.index["L"]]), np.ones((2, 1)))
    >>> variances = MaternalVariances(np.array([[2.0, 0.0], [0.0, 1.0]]), residual=2.0, permanent_dam=1.0)
    >>> maternal_model(records, family, variances).breeding_values[family.index["D"]].round(3).tolist()
    [0.364, 0.364]
    """
    checked(records, pedigree)
    dams = parents_of(pedigree, records.animals, side=1)
    values = AdditiveValues.of(pedigree)
    own, mothering = incidence(records.animals, len(pedigree)), incidence(dams, len(pedigree))
    design = np.hstack([own @ values.folding, mothering @ values.folding])
    between = inverse(variances.genetic, "direct and maternal breeding values")
    terms = [Term.fixed("fixed", records.fixed), Term.random("genetic", design, crossed(between, values.inverse))]
    mothers = np.unique(dams)
    if variances.permanent_dam != 0.0:
        precision = inverse(np.eye(len(mothers)) * variances.permanent_dam, "permanent environments of dams")
        terms.append(Term.random("permanent", mothering[:, mothers], precision))
    residual = np.broadcast_to(np.asarray(variances.residual, dtype=np.float64), records.values.shape)
    effects = solve(records.values, terms, residual)
    breeding_values, pev, reliability = correlated_values(effects, values, variances.genetic)
    permanent = np.zeros(len(pedigree))
    if "permanent" in effects.places:
        permanent[mothers] = effects.of("permanent")
    return MaternalSolution(effects, breeding_values, pev, reliability, permanent)


def correlated_values(
    effects: Effects, values: AdditiveValues, genetic: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Breeding values of several traits, PEV and reliability from the term ``genetic``.

    Parameters
    ----------
    effects : Effects
        With effects of the kept nodes, one trait after the other.
    values : AdditiveValues
        Of the pedigree.
    genetic : float array, shape (n_traits, n_traits)
        G0.

    Returns
    -------
    tuple of three float arrays, each of shape (n_nodes, n_traits)
        Values, PEV, and 1 - PEV / ((1 + F) g).
    """
    n_traits = len(genetic)
    found = [effects.combined({"genetic": np.kron(row, values.folding)}) for row in np.eye(n_traits)[:, None, :]]
    estimates = np.column_stack([value for value, _ in found])
    pev = np.column_stack([variance for _, variance in found])
    return estimates, pev, 1.0 - pev / np.outer(1.0 + values.inbreeding, genetic.diagonal())
