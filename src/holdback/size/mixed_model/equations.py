"""Henderson's mixed model equations in general form, and their solution.

y = sum over terms W_j t_j + e, e ~ N(0, R). Each term has a design W_j and a precision H_j, the inverse of the
covariance of its effects; H_j = 0 for effects about which nothing is assumed (fixed effects). The equations are

    (W' R^-1 W + H) t = W' R^-1 y,     W = [W_1 W_2 ...], H = blockdiag(H_j)

and the inverse of their left side holds the covariance of the estimates of fixed effects and of the errors of
prediction of random ones.

References
----------
Henderson (1975), Best linear unbiased estimation and prediction under a selection model. Biometrics 31:423.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

DEPENDENT = 1e-9
"""Part of an effect's own information that rounding alone could leave once others have explained the rest."""


@dataclass(frozen=True, eq=False)
class Term:
    """Effects of one kind: how they enter the records, and what is assumed of them.

    Parameters
    ----------
    name : str
        By which they are asked for.
    design : float array, shape (n_records, n_levels)
        Weight of each effect in each record.
    precision : float array, shape (n_levels, n_levels)
        Inverse of their covariance; rows of zeros where nothing is assumed.
    is_flat : bool array, shape (n_levels,)
        Effects that the precision alone does not hold: fixed effects, groups of unknown parents.
    """

    name: str
    design: FloatArray
    precision: FloatArray
    is_flat: BoolArray

    @classmethod
    def fixed(cls, name: str, design: FloatArray) -> Term:
        """Fixed effects."""
        levels = design.shape[1]
        return cls(name, design, np.zeros((levels, levels)), np.ones(levels, dtype=np.bool_))

    @classmethod
    def random(cls, name: str, design: FloatArray, precision: FloatArray) -> Term:
        """Random effects with a precision of full rank."""
        return cls(name, design, precision, np.zeros(design.shape[1], dtype=np.bool_))


@dataclass(frozen=True, eq=False)
class Effects:
    """Estimates of all effects of a mixed model with the covariance of their errors.

    Parameters
    ----------
    places : mapping of str to slice
        Where the effects of each term stand, by its name.
    estimates : float array, shape (n_effects,)
        Fixed effects (BLUE) and random ones (BLUP), in the unit of the records per unit of the design.
    covariance : float array, shape (n_effects, n_effects)
        Of the errors; its diagonal is the squared standard error of a fixed effect and the PEV of a random one. Zero
        for effects set to 0.
    is_set : bool array, shape (n_effects,)
        Effects set to 0, because records cannot tell them from the others; what is left is a contrast to them.
    """

    places: Mapping[str, slice]
    estimates: FloatArray
    covariance: FloatArray
    is_set: BoolArray

    def of(self, name: str) -> FloatArray:
        """Estimates of one term, shape (n_levels,)."""
        return self.estimates[self.places[name]]

    def covariance_of(self, name: str) -> FloatArray:
        """Covariance of the errors of one term, shape (n_levels, n_levels)."""
        place = self.places[name]
        return self.covariance[place, place]

    def combined(self, weights: Mapping[str, FloatArray]) -> tuple[FloatArray, FloatArray]:
        """Linear combinations of effects, with the variance of the error of each.

        Parameters
        ----------
        weights : mapping of str to float array, shape (m, n_levels)
            Weight of each effect of the terms named; effects of other terms have none.

        Returns
        -------
        (float array, float array), shapes (m,) and (m,)
            Values and variances, in the unit of the records and its square.
        """
        chosen = np.concatenate([np.arange(self.places[name].start, self.places[name].stop) for name in weights])
        rows = np.hstack(list(weights.values()))
        between = self.covariance[np.ix_(chosen, chosen)]
        return rows @ self.estimates[chosen], np.einsum("ij,ij->i", rows @ between, rows)


def solve(y: FloatArray, terms: Sequence[Term], residual: FloatArray) -> Effects:
    """Estimates of all effects of a mixed model with given variances.

    Parameters
    ----------
    y : float array, shape (n_records,)
        Records, in any one unit.
    terms : sequence of Term
        Names differ. Where flat effects depend on each other, those found last are set to 0: terms are gone through as
        given, the effects of each from the last to the first.
    residual : float array, shape (n_records,) or (n_records, n_records)
        Variances of the residuals, or their covariance; in squared units of the records.

    Returns
    -------
    Effects
        Of all terms.

    Raises
    ------
    SizeError
        SIZ-204 if a covariance of residuals or of random effects is not positive definite.

    Notes
    -----
    Dense: time grows with the cube of the number of effects, memory with its square; made for up to about 5,000.

    Examples
    --------
    >>> import numpy as np
    >>> sires = Term.random("sire", np.array([[1.0, 0.0], [1.0, 0.0], [0.0, 1.0]]), np.eye(2) / 4.0)
    >>> found = solve(np.array([3.0, 5.0, 8.0]), [Term.fixed("mean", np.ones((3, 1))), sires], np.full(3, 4.0))
    >>> found.of("sire").round(4).tolist(), found.of("mean").round(4).tolist()
    ([-1.1429, 1.1429], [5.7143])
    """
    design = np.hstack([term.design for term in terms])
    ends = np.cumsum([term.design.shape[1] for term in terms]).tolist()
    places = {term.name: slice(end - term.design.shape[1], end) for term, end in zip(terms, ends, strict=True)}
    assert len(places) == len(terms), "each term has a name of its own"
    whitened = without_covariance(np.column_stack([y, design]), residual)
    left = whitened[:, 1:].T @ whitened[:, 1:]
    for term in terms:
        left[places[term.name], places[term.name]] += term.precision
    kept = _kept(left, terms, places)
    covariance = np.zeros_like(left)
    covariance[np.ix_(kept, kept)] = inverse(left[np.ix_(kept, kept)], "the random effects")
    is_set = np.ones(len(left), dtype=np.bool_)
    is_set[kept] = False
    return Effects(places, covariance @ (whitened[:, 1:].T @ whitened[:, 0]), covariance, is_set)


def without_covariance(rows: FloatArray, residual: FloatArray) -> FloatArray:
    """Rows of records, their residuals made independent and of variance 1.

    Parameters
    ----------
    rows : float array, shape (n_records, k)
        Any columns.
    residual : float array, shape (n_records,) or (n_records, n_records)
        Variances or covariance of the residuals.

    Returns
    -------
    float array, shape (n_records, k)
        L^-1 rows with R = L L'.

    Raises
    ------
    SizeError
        SIZ-204 if the covariance is not positive definite.
    """
    if residual.ndim == 1:
        if not bool((residual > 0.0).all()):
            raise not_positive("the residuals", f"smallest variance {residual.min():.6g}")
        return rows / np.sqrt(residual)[:, None]
    try:
        factor = np.linalg.cholesky(residual)
    except np.linalg.LinAlgError as fault:
        raise not_positive("the residuals", str(fault)) from fault
    found: FloatArray = np.linalg.solve(factor, rows)
    return found


def inverse(matrix: FloatArray, what: str) -> FloatArray:
    """Inverse of a positive definite matrix, scaled to a unit diagonal on the way.

    Parameters
    ----------
    matrix : float array, shape (n, n)
        Symmetric.
    what : str
        Of what it is the covariance or precision, for the message.

    Returns
    -------
    float array, shape (n, n)
        Symmetric.

    Raises
    ------
    SizeError
        SIZ-204 if it is not positive definite.
    """
    diagonal = matrix.diagonal()
    if not bool((diagonal > 0.0).all()):
        raise not_positive(what, f"smallest diagonal entry {diagonal.min():.6g}")
    scale = 1.0 / np.sqrt(diagonal)
    scaled = matrix * np.outer(scale, scale)
    try:
        np.linalg.cholesky(scaled)
    except np.linalg.LinAlgError as fault:
        raise not_positive(what, str(fault)) from fault
    found: FloatArray = np.linalg.inv(scaled) * np.outer(scale, scale)
    return (found + found.T) / 2.0


def crossed(first: FloatArray, second: FloatArray) -> FloatArray:
    """Kronecker product: the second matrix times each entry of the first."""
    return np.kron(first, second).astype(np.float64)


def not_positive(what: str, seen: str) -> SizeError:
    """The error of a covariance that cannot be one."""
    return SizeError(
        Fault(
            "SIZ-204",
            f"The covariance of {what} is not positive definite: {seen}.",
            "Give variances above 0 and correlations between -1 and 1; leave an effect without variance out.",
            field="variances",
        )
    )


def _kept(left: FloatArray, terms: Sequence[Term], places: Mapping[str, slice]) -> npt.NDArray[np.int64]:
    """Effects that the records can tell apart: all that are not flat, and flat ones that depend on no other."""
    held = np.flatnonzero(~np.concatenate([term.is_flat for term in terms]))
    flat = np.concatenate([np.flatnonzero(term.is_flat)[::-1] + places[term.name].start for term in terms])
    across = left[np.ix_(held, flat)]
    inner = inverse(left[np.ix_(held, held)], "the random effects") if len(held) else np.zeros((0, 0))
    alone = left[np.ix_(flat, flat)] - across.T @ inner @ across
    independent = [int(flat[number]) for number in _independent(alone, left[flat, flat])]
    return np.sort(np.concatenate([held, np.array(independent, dtype=np.int64)]))


def _independent(matrix: FloatArray, own: FloatArray) -> list[int]:
    """Rows of a non-negative definite matrix that depend on none before them, by elimination."""
    rest = matrix.copy()
    found = []
    for number in range(len(rest)):
        pivot = rest[number, number]
        if pivot > DEPENDENT * own[number]:
            found.append(number)
            column = rest[:, number].copy()
            rest -= np.outer(column, column) / pivot
    return found
