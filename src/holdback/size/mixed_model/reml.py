"""Variances by restricted maximum likelihood: a few steps of EM, then average information.

References
----------
Patterson and Thompson (1971), Recovery of inter-block information when block sizes are unequal. Biometrika 58:545.
Gilmour, Thompson and Cullis (1995), Average information REML. Biometrics 51:1440.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError
from holdback.size.mixed_model.random_effect import RandomEffect
from holdback.size.mixed_model.reml_steps import following_point
from holdback.size.mixed_model.restricted_likelihood import Point, RestrictedLikelihood

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class RemlFit:
    """Variances with their errors, and what follows from them.

    Parameters
    ----------
    covariances : mapping of str to float array, shape (n_parts, n_parts)
        G0 of each effect, by its name.
    standard_errors : mapping of str to float array, shape (n_parts, n_parts)
        Of their entries, from the average information: approximate, and NaN at the boundary.
    residual, residual_error : float
        Variance of the residuals and its standard error.
    parameter_covariance : float array, shape (n_parameters, n_parameters)
        Of the errors of the entries of `path`; NaN for those at the boundary.
    log_likelihood : float
        Restricted, with the constant (n - p) log 2 pi.
    fixed : float array, shape (p,)
        Fixed effects.
    fixed_covariance : float array, shape (p, p)
        Of their errors, the variances taken as known.
    predictions : mapping of str to float array, shape (n_levels, n_parts)
        Predicted random effects.
    path : tuple of float array, each of shape (n_parameters,)
        Parameters from the start on, in the order of `covariance_parameters`.
    is_converged : bool
        Whether nothing was left to gain.
    at_boundary : tuple of str
        Effects whose G0 is singular, a variance of 0 for one; ``residual`` for the residuals.
    """

    covariances: Mapping[str, FloatArray]
    standard_errors: Mapping[str, FloatArray]
    residual: float
    residual_error: float
    parameter_covariance: FloatArray
    log_likelihood: float
    fixed: FloatArray
    fixed_covariance: FloatArray
    predictions: Mapping[str, FloatArray]
    path: tuple[FloatArray, ...]
    is_converged: bool
    at_boundary: tuple[str, ...]

    @property
    def criterion(self) -> float:
        """Minus twice the restricted log-likelihood."""
        return -2.0 * self.log_likelihood

    @property
    def n_iterations(self) -> int:
        """Number of steps taken."""
        return len(self.path) - 1

    def variance(self, name: str) -> float:
        """Variance of an effect of one part."""
        return float(self.covariances[name][0, 0])

    def contrast(self, weights: FloatArray) -> tuple[float, float]:
        """A linear combination of fixed effects with its standard error.

        Parameters
        ----------
        weights : float array, shape (p,)
            Weight of each.
        """
        return float(weights @ self.fixed), float(np.sqrt(weights @ self.fixed_covariance @ weights))


def reml(
    y: FloatArray,
    fixed: FloatArray,
    effects: Sequence[RandomEffect],
    *,
    residual_shape: FloatArray | None = None,
    start: FloatArray | None = None,
    em_steps: int = 3,
    max_steps: int = 200,
) -> RemlFit:
    """Variances of random effects by restricted maximum likelihood.

    Parameters
    ----------
    y : float array, shape (n_records,)
        Records.
    fixed : float array, shape (n_records, p)
        Design of the fixed effects, of full rank.
    effects : sequence of RandomEffect
        Each with a name of its own; ``residual`` is taken.
    residual_shape : float array, shape (n_records,) or (n_records, n_records), optional
        Covariance of residuals up to their variance; the identity where not given.
    start : float array, shape (n_parameters,), optional
        Where to begin: of each effect the lower triangle of G0 row by row, then the residual variance. Where not given,
        what the fixed effects leave is shared out evenly.
    em_steps : int
        Steps of EM before those of average information.
    max_steps : int
        Steps after which to stop, converged or not.

    Returns
    -------
    RemlFit
        At the last step.

    Raises
    ------
    SizeError
        SIZ-206 if there are no more records than fixed effects, or some of those depend on others; SIZ-207 if the start
        is outside the space of variances; SIZ-204 if the covariance of residuals is not positive definite.

    Notes
    -----
    Dense: each step takes time with the cube of the number of records; made for up to about 2,000.

    Examples
    --------
    >>> import numpy as np
    >>> y = np.array([10.0, 12.0, 15.0, 17.0, 11.0, 13.0])
    >>> fit = reml(y, np.ones((6, 1)), [RandomEffect.of_levels("cage", ["a", "a", "b", "b", "c", "c"])])
    >>> round(fit.variance("cage"), 4), round(fit.residual, 4)  # (14 - 2) / 2 and 2, as by analysis of variance
    (6.0, 2.0)
    """
    _check_fixed(y, fixed)
    likelihood = RestrictedLikelihood.of(y, fixed, effects, residual_shape)
    point = _start(likelihood, start)
    path, is_converged = [point.parameters], False
    while len(path) <= max_steps and not is_converged:
        following, is_converged = following_point(point, by_em=len(path) <= em_steps)
        if following is None:
            break
        point = following
        path.append(point.parameters)
    return _fit(point, tuple(path), is_converged)


def _start(likelihood: RestrictedLikelihood, start: FloatArray | None) -> Point:
    layout = likelihood.layout
    given = likelihood.scales / (len(likelihood.effects) + 1) if start is None else start
    within = len(given) == len(layout.places) + 1 and np.allclose(layout.nearest_within(given), given)
    point = likelihood.at(given) if within else None
    if point is None:
        raise SizeError(
            Fault(
                "SIZ-207",
                f"Variances cannot be {given.tolist()}.",
                "Start from positive variances, one for each part of an effect with the covariances of its parts in "
                "between, and the residual variance last.",
                field="start",
            )
        )
    return point


def _check_fixed(y: FloatArray, fixed: FloatArray) -> None:
    rank = int(np.linalg.matrix_rank(fixed))
    if rank < fixed.shape[1] or rank >= len(y):
        raise SizeError(
            Fault(
                "SIZ-206",
                f"{len(y)} records and {fixed.shape[1]} fixed effects, {rank} of them independent, leave no variance "
                "to estimate.",
                "Leave out effects that others make up, or give more records.",
                field="fixed",
            )
        )


def _fit(point: Point, path: tuple[FloatArray, ...], is_converged: bool) -> RemlFit:
    layout, names = point.likelihood.layout, [one.name for one in point.likelihood.effects]
    at_boundary = layout.singular(point.parameters, point.likelihood.scales)
    bound = np.array([at_boundary[effect] for effect, _, _ in layout.places] + [at_boundary[-1]])
    errors = np.full((len(bound), len(bound)), np.nan)
    errors[np.ix_(~bound, ~bound)] = np.linalg.inv(point.information[np.ix_(~bound, ~bound)])
    known = errors.diagonal() > 0.0
    sds = np.sqrt(np.where(known, errors.diagonal(), np.nan))
    return RemlFit(
        dict(zip(names, layout.matrices(point.parameters), strict=True)),
        dict(zip(names, layout.matrices(sds), strict=True)),
        float(point.parameters[-1]),
        float(sds[-1]),
        errors,
        point.value,
        point.fixed,
        point.fixed_covariance,
        {name: point.predictions(number) for number, name in enumerate(names)},
        path,
        is_converged,
        tuple(name for name, bounded in zip([*names, "residual"], at_boundary, strict=True) if bounded),
    )
