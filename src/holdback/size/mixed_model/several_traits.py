"""Several traits at once: what one tells of another through genes and through the animal itself.

y_t = X_t b_t + Z_t u_t + e_t for each trait t, var u = G0 kron A, covariance R0 between the residuals of one animal. A
trait that was not measured drops its row of R0 (Henderson and Quaas 1976).

References
----------
Henderson and Quaas (1976), Multiple trait evaluation using relatives' records. J. Anim. Sci. 43:1188.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import Pedigree
from holdback.size.mixed_model.additive import AdditiveValues
from holdback.size.mixed_model.equations import Effects, Term, crossed, inverse, solve
from holdback.size.mixed_model.maternal_model import correlated_values
from holdback.size.mixed_model.records import Records, checked, incidence

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class TraitRecords:
    """One measurement of several traits on each of some animals.

    Parameters
    ----------
    values : float array, shape (n_animals, n_traits)
        Each trait in a unit of its own; NaN where it was not measured.
    animals : int array, shape (n_animals,)
        Node of each.
    fixed : sequence of float array, shapes (n_animals, n_fixed of the trait)
        Design of the fixed effects of each trait; rows of what was not measured are not looked at.
    """

    values: FloatArray
    animals: IntArray
    fixed: Sequence[FloatArray]


@dataclass(frozen=True, eq=False)
class TraitSolution:
    """Breeding values of several traits with their errors.

    Parameters
    ----------
    effects : Effects
        Of the terms ``fixed`` (those of the first trait, then the second, ...) and ``genetic`` (kept nodes, trait by
        trait).
    breeding_values : float array, shape (n_nodes, n_traits)
        In the unit of each trait.
    pev : float array, shape (n_nodes, n_traits)
        Variances of their errors.
    reliability : float array, shape (n_nodes, n_traits)
        1 - PEV / ((1 + F) g) with g the additive variance of the trait.
    """

    effects: Effects
    breeding_values: FloatArray
    pev: FloatArray
    reliability: FloatArray


def several_traits(
    records: TraitRecords, pedigree: Pedigree, *, genetic: FloatArray, residual: FloatArray
) -> TraitSolution:
    """Breeding values of several traits with given covariances.

    Parameters
    ----------
    records : TraitRecords
        Measurements.
    pedigree : Pedigree
        With any kind of node.
    genetic : float array, shape (n_traits, n_traits)
        G0, additive covariances.
    residual : float array, shape (n_traits, n_traits)
        R0, covariances of residuals in one animal.

    Returns
    -------
    TraitSolution
        For every node.

    Raises
    ------
    SizeError
        SIZ-201 to SIZ-203 for records that do not hold together, SIZ-204 for covariances that are not positive
        definite.

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "E")})
    >>> animals = np.array([family.index["K"], family.index["L"]])
    >>> values = np.array([[12.0, 3.0], [8.0, np.nan]])
    >>> records = TraitRecords(values, animals, [np.ones((2, 1)), np.ones((2, 1))])
    >>> found = several_traits(records, family, genetic=np.array([[2.0, 1.0], [1.0, 1.0]]), residual=np.eye(2))
    >>> found.breeding_values[family.index["K"]].round(3).tolist()
    [1.2, 0.6]
    """
    parts = [_records_of(records, trait) for trait in range(records.values.shape[1])]
    for part in parts:
        checked(part, pedigree)
    values = AdditiveValues.of(pedigree)
    rows = np.concatenate([np.flatnonzero(~np.isnan(column)) for column in records.values.T])
    traits = np.repeat(np.arange(len(parts)), [len(part.values) for part in parts])
    reading = _blocks([incidence(part.animals, len(pedigree)) @ values.folding for part in parts])
    between = inverse(genetic, "breeding values")
    terms = [
        Term.fixed("fixed", _blocks([part.fixed for part in parts])),
        Term.random("genetic", reading, crossed(between, values.inverse)),
    ]
    same_animal = rows[:, None] == rows[None, :]
    covariance = np.where(same_animal, residual[np.ix_(traits, traits)], 0.0)
    effects = solve(np.concatenate([part.values for part in parts]), terms, covariance)
    return TraitSolution(effects, *correlated_values(effects, values, genetic))


def _records_of(records: TraitRecords, trait: int) -> Records:
    """Records of one trait where it was measured."""
    seen = ~np.isnan(records.values[:, trait])
    return Records(records.values[seen, trait], records.animals[seen], records.fixed[trait][seen])


def _blocks(designs: Sequence[FloatArray]) -> FloatArray:
    """Designs along the diagonal, zeros elsewhere."""
    found = np.zeros((sum(len(one) for one in designs), sum(one.shape[1] for one in designs)))
    row = column = 0
    for one in designs:
        found[row : row + len(one), column : column + one.shape[1]] = one
        row, column = row + len(one), column + one.shape[1]
    return found
