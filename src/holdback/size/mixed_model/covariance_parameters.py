"""The variances and covariances of a model as one vector, and the space in which they can be.

In order: of each effect the lower triangle of G0 row by row, then the variance of residuals. Every G0 is non-negative
definite and the residual variance is not negative.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

SINGULAR = 1e-7
"""Smallest eigenvalue of a G0, as a part of what it would be if records varied by it alone, that counts as 0."""


@dataclass(frozen=True)
class Layout:
    """Where each variance and covariance stands.

    Parameters
    ----------
    sizes : tuple of int
        Number of parts of each effect.
    """

    sizes: tuple[int, ...]

    @cached_property
    def places(self) -> tuple[tuple[int, int, int], ...]:
        """Effect, row and column of each parameter before the residual variance; rows not before columns."""
        return tuple(
            (effect, row, column)
            for effect, size in enumerate(self.sizes)
            for row in range(size)
            for column in range(row + 1)
        )

    def matrices(self, parameters: FloatArray) -> list[FloatArray]:
        """G0 of each effect, shapes (n_parts, n_parts)."""
        found = [np.zeros((size, size)) for size in self.sizes]
        for value, (effect, row, column) in zip(parameters[:-1], self.places, strict=True):
            found[effect][row, column] = found[effect][column, row] = value
        return found

    def vector(self, matrices: Sequence[FloatArray], residual: float) -> FloatArray:
        """Parameters of some G0 and a residual variance, shape (n_parameters,)."""
        return np.array([*(matrices[effect][row, column] for effect, row, column in self.places), residual])

    def nearest_within(self, parameters: FloatArray) -> FloatArray:
        """Parameters with negative eigenvalues of each G0, and a negative residual variance, taken as 0."""
        return self.vector([_non_negative(one) for one in self.matrices(parameters)], max(float(parameters[-1]), 0.0))

    def pinned(self, parameters: FloatArray, score: FloatArray) -> npt.NDArray[np.bool_]:
        """Variances of effects of one part, and of residuals, that are 0 and would be less if they could.

        Parameters
        ----------
        parameters, score : float array, shape (n_parameters,)
            Where, and the derivative of the log-likelihood there.
        """
        alone = np.array([self.sizes[effect] == 1 for effect, _, _ in self.places] + [True])
        found: npt.NDArray[np.bool_] = alone & (parameters <= 0.0) & (score < 0.0)
        return found

    def singular(self, parameters: FloatArray, scales: FloatArray) -> list[bool]:
        """Whether each effect, and the residuals at last, is at the boundary of the space.

        Parameters
        ----------
        parameters : float array, shape (n_parameters,)
            Where.
        scales : float array, shape (n_parameters,)
            Values at which each variance alone would explain the records.
        """
        units = [np.sqrt(one.diagonal()) for one in self.matrices(scales)]
        found = [
            bool(np.linalg.eigvalsh(one / np.outer(unit, unit)).min() <= SINGULAR)
            for one, unit in zip(self.matrices(parameters), units, strict=True)
        ]
        return [*found, bool(parameters[-1] <= SINGULAR * scales[-1])]


def _non_negative(matrix: FloatArray) -> FloatArray:
    """The nearest non-negative definite matrix."""
    values, vectors = np.linalg.eigh(matrix)
    if values.min() >= 0.0:
        return matrix
    found: FloatArray = (vectors * np.maximum(values, 0.0)) @ vectors.T
    return found
