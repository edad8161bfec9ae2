"""The restricted likelihood of variances, its first derivatives and its average information.

y = X b + sum_j Z_j u_j + e with V = sum_k theta_k V_k and P = V^-1 - V^-1 X (X' V^-1 X)^-1 X' V^-1:

    l = -1/2 (log|V| + log|X' V^-1 X| + y' P y + (n - p) log 2 pi)
    dl / d theta_k = -1/2 (tr P V_k - y' P V_k P y)
    average information_jk = 1/2 y' P V_j P V_k P y

A variance of part a has V_k = Z_a A Z_a', a covariance of parts a and b Z_a A Z_b' + Z_b A Z_a'.

References
----------
Patterson and Thompson (1971), Recovery of inter-block information when block sizes are unequal. Biometrika 58:545.
Gilmour, Thompson and Cullis (1995), Average information REML. Biometrics 51:1440.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.size.mixed_model.covariance_parameters import Layout
from holdback.size.mixed_model.equations import without_covariance
from holdback.size.mixed_model.random_effect import RandomEffect

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class RestrictedLikelihood:
    """Records and their model, residuals made independent and of one variance.

    Parameters
    ----------
    y : float array, shape (n_records,)
        Records.
    fixed : float array, shape (n_records, p)
        Design of the fixed effects, of full rank.
    effects : tuple of RandomEffect
        Random effects.
    constant : float
        What the log-likelihood of the records has more than that of y.
    """

    y: FloatArray
    fixed: FloatArray
    effects: tuple[RandomEffect, ...]
    constant: float

    @classmethod
    def of(
        cls, y: FloatArray, fixed: FloatArray, effects: Sequence[RandomEffect], residual_shape: FloatArray | None
    ) -> RestrictedLikelihood:
        """Of records whose residuals have a known covariance up to one variance; see `reml`."""
        if residual_shape is None:
            return cls(y, fixed, tuple(effects), 0.0)
        whitened = without_covariance(np.column_stack([y, fixed]), residual_shape)
        rotated = [
            RandomEffect(
                one.name, tuple(without_covariance(part, residual_shape) for part in one.designs), one.relationship
            )
            for one in effects
        ]
        log_det = np.log(residual_shape).sum() if residual_shape.ndim == 1 else np.linalg.slogdet(residual_shape)[1]
        return cls(whitened[:, 0], whitened[:, 1:], tuple(rotated), -0.5 * float(log_det))

    @cached_property
    def layout(self) -> Layout:
        """Order of the parameters."""
        return Layout(tuple(one.n_parts for one in self.effects))

    @cached_property
    def scales(self) -> FloatArray:
        """Value of each parameter at which it alone explains what fixed effects leave, shape (n_parameters,)."""
        rest = self.y - self.fixed @ np.linalg.lstsq(self.fixed, self.y, rcond=None)[0]
        variance = float(rest @ rest) / (len(self.y) - self.fixed.shape[1])
        sizes = [
            np.array([np.einsum("ij,ij->", part, one.related(part.T).T) / len(self.y) for part in one.designs])
            for one in self.effects
        ]
        return self.layout.vector([variance * np.diag(1.0 / size) for size in sizes], variance)

    def at(self, parameters: FloatArray) -> Point | None:
        """The likelihood at some parameters; None where V is not positive definite."""
        covariance = np.diag(np.full(len(self.y), parameters[-1]))
        for effect, between in zip(self.effects, self.layout.matrices(parameters), strict=True):
            for row, part in zip(between, effect.designs, strict=True):
                mixed = sum(weight * other for weight, other in zip(row, effect.designs, strict=True))
                covariance += part @ effect.related(np.asarray(mixed).T)
        try:
            factor = np.linalg.cholesky(covariance)
        except np.linalg.LinAlgError:
            return None
        inverse = np.linalg.inv(covariance)
        weighted = inverse @ self.fixed
        information = self.fixed.T @ weighted
        fixed_covariance = np.linalg.inv(information).astype(np.float64)
        projection = inverse - weighted @ fixed_covariance @ weighted.T
        rest = projection @ self.y
        n_free = len(self.y) - self.fixed.shape[1]
        value = self.constant - 0.5 * (
            2.0 * np.log(factor.diagonal()).sum()
            + np.linalg.slogdet(information)[1]
            + self.y @ rest
            + n_free * np.log(2.0 * np.pi)
        )
        return Point(
            self, parameters, float(value), projection, rest, fixed_covariance @ weighted.T @ self.y, fixed_covariance
        )


@dataclass(frozen=True, eq=False)
class Point:
    """The likelihood at one set of parameters.

    Parameters
    ----------
    likelihood : RestrictedLikelihood
        Of which.
    parameters : float array, shape (n_parameters,)
        Where.
    value : float
        Log-likelihood.
    projection : float array, shape (n_records, n_records)
        P.
    rest : float array, shape (n_records,)
        P y.
    fixed : float array, shape (p,)
        Estimates of the fixed effects.
    fixed_covariance : float array, shape (p, p)
        Of their errors.
    """

    likelihood: RestrictedLikelihood
    parameters: FloatArray
    value: float
    projection: FloatArray
    rest: FloatArray
    fixed: FloatArray
    fixed_covariance: FloatArray

    @cached_property
    def score(self) -> FloatArray:
        """Derivatives of the log-likelihood, shape (n_parameters,)."""
        traces = [self._traces(effect) for effect in self.likelihood.effects]
        squares = [
            np.array([[one @ other for other in self._related_rests[number]] for one in self._rests[number]])
            for number in range(len(traces))
        ]
        slopes = [
            0.5 * (squares[effect][row, column] - traces[effect][row, column]) * (1.0 if row == column else 2.0)
            for effect, row, column in self.likelihood.layout.places
        ]
        return np.array([*slopes, 0.5 * (self.rest @ self.rest - np.trace(self.projection))])

    @cached_property
    def information(self) -> FloatArray:
        """Average information, shape (n_parameters, n_parameters)."""
        columns = []
        for number, row, column in self.likelihood.layout.places:
            designs, related = self.likelihood.effects[number].designs, self._related_rests[number]
            one_way = designs[row] @ related[column]
            columns.append(one_way if row == column else one_way + designs[column] @ related[row])
        working = np.column_stack([*columns, self.rest])
        found: FloatArray = 0.5 * working.T @ self.projection @ working
        return found

    def predictions(self, number: int) -> FloatArray:
        """Predicted effect of each level (BLUP), shape (n_levels, n_parts)."""
        between = self.likelihood.layout.matrices(self.parameters)[number]
        return np.column_stack(self._related_rests[number]) @ between

    @cached_property
    def _rests(self) -> list[list[FloatArray]]:
        """Z' P y of each part of each effect."""
        return [[part.T @ self.rest for part in effect.designs] for effect in self.likelihood.effects]

    @cached_property
    def _related_rests(self) -> list[list[FloatArray]]:
        """A Z' P y of each part of each effect."""
        effects = self.likelihood.effects
        return [[one.related(rest) for rest in rests] for one, rests in zip(effects, self._rests, strict=True)]

    def _traces(self, effect: RandomEffect) -> FloatArray:
        """Tr P Z_a A Z_b' of all parts."""
        projected = [self.projection @ part for part in effect.designs]
        related = [effect.related(part.T).T for part in effect.designs]
        return np.array([[float(np.einsum("ij,ij->", one, other)) for other in related] for one in projected])
