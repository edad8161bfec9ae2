"""The animal model: records = fixed effects + line shares + breeding value + permanent environment + residual.

    y = X b + Z (S d + u) + W p + e,   u ~ N(0, A s2a), p ~ N(0, I s2pe), e ~ N(0, R)

S holds the share of each line in each node, d the effects of lines (a pure animal of the line less the base). The total
genetic value is S d + u, or Q g + u with groups of unknown parents (Quaas 1988, the QP form, in which the groups stand
beside the animals and the totals are solved for).

References
----------
Henderson (1975), Best linear unbiased estimation and prediction under a selection model. Biometrics 31:423.
Quaas (1988), Additive genetic model with groups and relationships. J. Dairy Sci. 71:1338.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.errors import Fault, SizeError
from holdback.size.lines import LineShares
from holdback.size.mixed_model.additive import AdditiveValues, UnknownParentGroups
from holdback.size.mixed_model.equations import Effects, Term, not_positive, solve
from holdback.size.mixed_model.records import Records, checked, incidence

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Variances:
    """Variances of an animal model, all in squared units of the records.

    Parameters
    ----------
    additive : float
        s2a, of breeding values in an animal that is not inbred; above 0.
    residual : float or float array, shape (n_records,)
        Of each residual; above 0.
    permanent : float
        Of what else is lasting in an animal with several records; 0 leaves it out.
    """

    additive: float
    residual: float | FloatArray
    permanent: float = 0.0


@dataclass(frozen=True, eq=False)
class Lines:
    """Shares of lines as covariates.

    Parameters
    ----------
    shares : float array, shape (n_nodes, n_lines)
        Expected share of each line in each node, in [0, 1].
    prior_sd : float or None
        Standard deviation of the effect of a line about 0, in the unit of the records; None assumes nothing.
    """

    shares: FloatArray
    prior_sd: float | None = None

    @classmethod
    def of(cls, lines: Sequence[LineShares], prior_sd: float | None = None) -> Lines:
        """Lines at their expected shares; variance of a share given the parents' is not looked at."""
        return cls(np.column_stack([line.means for line in lines]), prior_sd)


@dataclass(frozen=True, eq=False)
class Solution:
    """Breeding values with their errors.

    Parameters
    ----------
    effects : Effects
        Of the terms ``fixed``, ``additive`` (kept nodes, then groups), ``lines`` and ``permanent``, those that are in
        the model.
    breeding_values : float array, shape (n_nodes,)
        u: the genetic deviation from what lines and groups explain, in the unit of the records.
    pev : float array, shape (n_nodes,)
        Variance of its error of prediction.
    reliability : float array, shape (n_nodes,)
        1 - PEV / ((1 + F) s2a); the divisor is the variance of u of that node, inbreeding included.
    total_values, total_pev : float array, shape (n_nodes,)
        Of u with what lines and groups explain.
    permanent : float array, shape (n_nodes,)
        Permanent environment; 0 for nodes without a record.
    """

    effects: Effects
    breeding_values: FloatArray
    pev: FloatArray
    reliability: FloatArray
    total_values: FloatArray
    total_pev: FloatArray
    permanent: FloatArray


def animal_model(
    records: Records,
    pedigree: Pedigree,
    variances: Variances,
    *,
    lines: Lines | None = None,
    groups: UnknownParentGroups | None = None,
) -> Solution:
    """Breeding values by the animal model with given variances.

    Parameters
    ----------
    records : Records
        Of one trait. For a sire model give the nodes of `sires_of` as its animals and the variance of sires, s2a / 4,
        as additive variance; breeding values are then transmitting abilities.
    pedigree : Pedigree
        With any kind of node.
    variances : Variances
        Of the effects.
    lines : Lines, optional
        Shares of lines as covariates.
    groups : UnknownParentGroups, optional
        Groups that stand for unknown parents, in the QP form.

    Returns
    -------
    Solution
        For every node of the pedigree, with a record or without.

    Raises
    ------
    SizeError
        SIZ-201 to SIZ-203 for records that do not hold together, SIZ-204 for variances that are not positive.
    PedigreeError
        PED-005 where a group stands for a known parent.

    Notes
    -----
    Flat effects that the records cannot tell apart are set to 0 as told in `equations.solve`: groups and lines before
    other fixed effects, the first group before the last.

    Examples
    --------
    >>> import numpy as np
    >>> family = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "E")})
    >>> records = Records(np.array([12.0, 8.0]), np.array([family.index["K"], family.index["L"]]), np.ones((2, 1)))
    >>> found = animal_model(records, family, Variances(additive=2.0, residual=2.0))
    >>> dict(zip(family.ids, found.breeding_values.round(3).tolist()))
    {'S': 0.0, 'D': 0.571, 'E': -0.571, 'K': 0.857, 'L': -0.857}
    """
    checked(records, pedigree)
    values = AdditiveValues.of(pedigree, groups)
    terms = [Term.fixed("fixed", records.fixed)]
    reading = incidence(records.animals, len(pedigree))
    if lines is not None:
        terms.append(_line_term(reading @ lines.shares, lines.prior_sd))
    terms.append(_additive_term(reading, values, variances.additive, groups))
    owners = np.unique(records.animals)
    if variances.permanent != 0.0:
        _check(variances.permanent, "permanent environments")
        precision = np.eye(len(owners)) / variances.permanent
        terms.append(Term.random("permanent", reading[:, owners], precision))
    residual = np.broadcast_to(np.asarray(variances.residual, dtype=np.float64), records.values.shape)
    effects = solve(records.values, terms, residual)
    return _solution(effects, values, variances, lines, owners)


def sires_of(pedigree: Pedigree, animals: IntArray) -> IntArray:
    """Node of the sire of each animal, as a sire model reads records.

    Parameters
    ----------
    pedigree : Pedigree
        Of n nodes; the sire may be a node of candidates.
    animals : int array, shape (n_records,)
        Nodes.

    Returns
    -------
    int array, shape (n_records,)
        Nodes.

    Raises
    ------
    SizeError
        SIZ-205 for an animal whose sire is no node, or that has none.
    """
    return parents_of(pedigree, animals, side=0)


def parents_of(pedigree: Pedigree, animals: IntArray, *, side: int) -> IntArray:
    """Node of a parent of each animal: side 0 its sire, side 1 its dam.

    Raises
    ------
    SizeError
        SIZ-205 for an animal whose parent is no node; all faults together.
    """
    found: IntArray = pedigree.parents[animals, side].astype(np.int64)
    missing = (found == UNKNOWN) | (pedigree.without_sire[animals] if side == 0 else False)
    if missing.any():
        word = ("sire", "dam")[side]
        raise SizeError(
            [
                Fault(
                    "SIZ-205",
                    f"The model reads each record through the {word}, and the pedigree has none.",
                    f"Add a node for its unknown {word}, or leave the record out.",
                    field="animals",
                    animal=pedigree.ids[node],
                )
                for node in np.unique(animals[missing])
            ]
        )
    return found


def _line_term(design: FloatArray, prior_sd: float | None) -> Term:
    if prior_sd is None:
        return Term.fixed("lines", design)
    _check(prior_sd, "line effects")
    return Term.random("lines", design, np.eye(design.shape[1]) / prior_sd**2)


def _additive_term(
    reading: FloatArray, values: AdditiveValues, additive: float, groups: UnknownParentGroups | None
) -> Term:
    """Totals of the kept nodes, and the groups, which enter records only through them."""
    _check(additive, "breeding values")
    n_groups = values.contributions.shape[1]
    n_kept = values.folding.shape[1]
    design = np.hstack([reading @ values.folding, np.zeros((len(reading), n_groups))])
    precision = values.inverse / additive
    is_flat = np.arange(n_kept + n_groups) >= n_kept
    if groups is not None and groups.prior_sd is not None:
        _check(groups.prior_sd, "groups of unknown parents")
        precision = precision + np.diag(is_flat / groups.prior_sd**2)
        is_flat = np.zeros(len(is_flat), dtype=np.bool_)
    return Term("additive", design, precision, is_flat)


def _solution(
    effects: Effects, values: AdditiveValues, variances: Variances, lines: Lines | None, owners: IntArray
) -> Solution:
    own = {"additive": np.hstack([values.folding, -values.contributions])}
    total = {"additive": np.hstack([values.folding, np.zeros_like(values.contributions)])}
    if lines is not None:
        total["lines"] = lines.shares
    breeding_values, pev = effects.combined(own)
    total_values, total_pev = effects.combined(total)
    permanent = np.zeros(len(values.inbreeding))
    if "permanent" in effects.places:
        permanent[owners] = effects.of("permanent")
    reliability = 1.0 - pev / ((1.0 + values.inbreeding) * variances.additive)
    return Solution(effects, breeding_values, pev, reliability, total_values, total_pev, permanent)


def _check(variance: float, what: str) -> None:
    if not variance > 0.0:
        raise not_positive(what, f"variance or standard deviation {variance:.6g}")
