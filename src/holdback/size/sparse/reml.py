"""Variances of large pedigrees by restricted maximum likelihood, on the factorised equations.

References
----------
Gilmour, Thompson and Cullis (1995), Average information REML. Biometrics 51:1440.
Johnson and Thompson (1995), Restricted maximum likelihood estimation of variance components for univariate animal
models using sparse matrix techniques and average information. J. Dairy Sci. 78:449. (titles from memory)
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError
from holdback.size.sparse.conjugate_gradient import Solved
from holdback.size.sparse.factorise import MOST, Factor, Symbolic
from holdback.size.sparse.model import AnimalModel, FloatArray, sums

HALVINGS = 12
"""Times that a step is halved before one of EM is taken."""

SEEN = 1e-10
"""Gain of log-likelihood that stands out of rounding, as a part of its size."""

FLOOR = 1e-6
"""Smallest variance, as a part of the variance within groups; one that comes to it is at the boundary."""

SETTLED = 1e-12
"""Gain of log-likelihood that the next step promises at which there is nothing left to gain."""

BLIND = 1e-8
"""Smallest eigenvalue of the information, scaled to a unit diagonal, that counts as 0."""


@dataclass(frozen=True, eq=False)
class Variances:
    """Both variances with their errors, and what follows from them.

    Parameters
    ----------
    additive, residual : float
        sigma2_a and sigma2_e, in the square of the unit of the values.
    covariance : float array, shape (2, 2)
        Of their errors, from the average information: approximate, and NaN for one at the boundary.
    log_likelihood : float
        Restricted, with the constant (n - p) log 2 pi.
    solved : Solved
        Group effects and breeding values at these variances.
    path : tuple of (float, float)
        Additive and residual variance from the start on.
    is_converged : bool
        Whether nothing was left to gain.
    at_boundary : tuple of str
        ``additive`` or ``residual`` where it came to the smallest that is tried, one millionth of the variance within
        groups: it cannot be told from 0.
    """

    additive: float
    residual: float
    covariance: FloatArray
    log_likelihood: float
    solved: Solved
    path: tuple[tuple[float, float], ...]
    is_converged: bool
    at_boundary: tuple[str, ...]

    @property
    def heritability(self) -> float:
        """Additive part of the variance."""
        return self.additive / (self.additive + self.residual)

    @property
    def heritability_error(self) -> float:
        """Standard error of the heritability, to first order; NaN at the boundary."""
        slope = np.array([self.residual, -self.additive]) / (self.additive + self.residual) ** 2
        return float(np.sqrt(slope @ self.covariance @ slope))


def sparse_reml(model: AnimalModel, *, em_steps: int = 2, max_steps: int = 100, most: int = MOST) -> Variances:
    """Additive and residual variance of a model by restricted maximum likelihood.

    Parameters
    ----------
    model : AnimalModel
        Records and pedigree.
    em_steps : int
        Steps of EM before those of average information.
    max_steps : int
        Steps after which to stop, converged or not.
    most : int
        Entries of the factor from which it is refused.

    Returns
    -------
    Variances
        At the last step.

    Raises
    ------
    SizeError
        SIZ-225 if the records cannot tell the two variances apart; SIZ-221 and SIZ-224 as `factorise` does.

    Notes
    -----
    Exact: the equations are factorised once a step, and the trace comes from the entries of their inverse that A^-1
    needs. A step counts only where the likelihood rises, and is halved until it does.
    """
    spread = variance_within(model)
    likelihood = _Likelihood(model, Symbolic.of(model, most=most), FLOOR * spread)
    point = likelihood.at(np.array([0.5, 0.5]) * spread)
    path, is_converged = [point.variances], False
    while len(path) <= max_steps:
        following, is_converged = (_em_step(point), False) if len(path) <= em_steps else _following(point)
        if following is None:
            break
        point = following
        path.append(point.variances)
    return _result(point, [(float(additive), float(residual)) for additive, residual in path], is_converged)


@dataclass(frozen=True, eq=False)
class _Likelihood:
    model: AnimalModel
    symbolic: Symbolic
    least: float

    def at(self, variances: FloatArray) -> _Point:
        return _Point(self, np.maximum(variances, self.least))

    @cached_property
    def constant(self) -> float:
        """The part of -2 l that is the same for all variances."""
        model = self.model
        fixed = (len(model.values) - model.n_groups) * np.log(2.0 * np.pi)
        return float(fixed + np.log(model.mendelian).sum() - np.log(model.weights).sum())


@dataclass(frozen=True, eq=False)
class _Point:
    """The likelihood at one pair of variances, additive and residual."""

    likelihood: _Likelihood
    variances: FloatArray

    @cached_property
    def factor(self) -> Factor:
        return self.likelihood.symbolic.factor(self.variances[1] / self.variances[0])

    @cached_property
    def solved(self) -> Solved:
        model = self.likelihood.model
        return self.factor.solution(*model.right_side(model.values))

    @cached_property
    def rest(self) -> FloatArray:
        """Residuals of the records."""
        return self._left(self.likelihood.model.values, self.solved)

    @cached_property
    def value(self) -> float:
        """Log-likelihood: log|V| + log|X'V^-1 X| = log|R| + log|G| + log|C|, C = K / sigma2_e."""
        model = self.likelihood.model
        additive, residual = self.variances
        n_free = len(model.values) - model.n_groups
        logs = (n_free - model.n) * np.log(residual) + model.n * np.log(additive) + self.factor.log_determinant
        square = model.values @ (model.weights * self.rest) / residual
        return float(-0.5 * (logs + square + self.likelihood.constant))

    @cached_property
    def score(self) -> FloatArray:
        """Derivatives of the log-likelihood, shape (2,)."""
        model = self.likelihood.model
        additive, residual = self.variances
        values = self.solved.animals
        # lambda tr(A^-1 K^uu), K^uu the animals' part of the inverse of the coefficients
        shown = residual / additive * self._trace()
        of_additive = model.inverse_form(values, values) / additive - (model.n - shown)
        n_free = len(model.values) - model.n_groups
        of_residual = self.rest @ (model.weights * self.rest) / residual - (n_free - model.n + shown)
        return np.array([0.5 * of_additive / additive, 0.5 * of_residual / residual])

    @cached_property
    def information(self) -> FloatArray:
        """Average information, shape (2, 2)."""
        model = self.likelihood.model
        additive, residual = self.variances
        working = np.stack([self.solved.animals[model.animals] / additive, self.rest / residual])
        left = [self._left(one, self.factor.solution(*model.right_side(one))) for one in working]
        found: FloatArray = 0.5 * working @ (model.weights * np.stack(left)).T / residual
        return 0.5 * (found + found.T)

    def _left(self, values: FloatArray, solved: Solved) -> FloatArray:
        """What a solution leaves of the values it was made for: sigma2_e W^-1 P y."""
        model = self.likelihood.model
        return values - solved.groups[model.groups] - solved.animals[model.animals]

    def _trace(self) -> float:
        given = self.likelihood.symbolic.coefficients
        related = given.of_relationship != 0.0
        rows, cols = given.rows[related], given.cols[related]
        twice = np.where(rows == cols, 1.0, 2.0)
        return float((twice * given.of_relationship[related]) @ self.factor.inverse_at(rows, cols))


def _em_step(point: _Point) -> _Point:
    counts = np.array([point.likelihood.model.n, len(point.likelihood.model.values)])
    return point.likelihood.at(point.variances + 2.0 / counts * point.variances**2 * point.score)


def _following(point: _Point) -> tuple[_Point | None, bool]:
    """The next point by average information, else by EM; None if none is better, and whether nothing is left."""
    free = ~_bound(point)
    direction = np.zeros(2)
    direction[free] = np.linalg.lstsq(point.information[np.ix_(free, free)], point.score[free], rcond=None)[0]
    promised = 0.5 * float(direction @ point.score)
    if promised < SETTLED:
        return None, True
    seen = SEEN * max(1.0, abs(point.value))
    # a gain that rounding may hide is not asked for
    gain = seen if promised > 10.0 * seen else -10.0 * seen
    for halving in range(HALVINGS):
        following = point.likelihood.at(point.variances + 0.5**halving * direction)
        if following.value > point.value + gain:
            return following, False
    following = _em_step(point)
    return (following, False) if following.value > point.value + seen else (None, False)


def _bound(point: _Point) -> npt.NDArray[np.bool_]:
    """Which variances are at the smallest that is tried, and held there."""
    held: npt.NDArray[np.bool_] = (point.variances <= point.likelihood.least) & (point.score < 0.0)
    return held


def _result(point: _Point, path: list[tuple[float, float]], is_converged: bool) -> Variances:
    bound = _bound(point)
    free = np.flatnonzero(~bound)
    information = point.information[np.ix_(free, free)]
    unit = np.sqrt(information.diagonal())
    if free.size == 0 or np.linalg.eigvalsh(information / np.outer(unit, unit)).min() < BLIND:
        raise _untold("The records do not tell the additive and the residual variance apart.")
    covariance = np.full((2, 2), np.nan)
    covariance[np.ix_(free, free)] = np.linalg.inv(information)
    names = [name for name, held in zip(("additive", "residual"), bound, strict=True) if held]
    additive, residual = (float(one) for one in point.variances)
    return Variances(additive, residual, covariance, point.value, point.solved, tuple(path), is_converged, tuple(names))


def variance_within(model: AnimalModel) -> float:
    """Variance of the records within groups."""
    n_free = len(model.values) - model.n_groups
    means = sums(model.groups, model.weights * model.values, model.n_groups)
    means /= sums(model.groups, model.weights, model.n_groups)
    apart = model.values - means[model.groups]
    square = float(apart @ (model.weights * apart))
    if n_free <= 0 or square == 0.0:
        raise _untold(f"{len(model.values)} records in {model.n_groups} groups leave no variance to estimate.")
    return square / n_free


def _untold(what: str) -> SizeError:
    return SizeError(Fault("SIZ-225", what, "Give more records of related animals, or fewer groups.", field="records"))
