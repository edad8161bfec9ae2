"""What records say of a heritability beyond what is assumed of it.

With V = s2p (h2 K + (1 - h2) I) the total variance s2p comes out of the restricted likelihood: maximised, or integrated
with the density 1 / s2p, it leaves the same function of h2,

    l(h2) = -1/2 (log|V0| + log|X' V0^-1 X| + (n - p) log y' P0 y),     V0 = h2 K + (1 - h2) I.

With a Beta density for h2 the posterior is one curve on (0, 1), summed on a grid.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError
from holdback.size.mixed_model.equations import without_covariance
from holdback.size.mixed_model.random_effect import RandomEffect

FloatArray = npt.NDArray[np.float64]

LITTLE = 0.1
"""Divergence from the prior, in nats, below which records say almost nothing: own choice. A normal density that narrows
to 0.7 of its sd, or moves by 0.45 of it, diverges by as much."""

INSIDE = 0.05
"""Probability left out on each side of the interval."""


@dataclass(frozen=True, eq=False)
class HeritabilityPosterior:
    """Probability of each heritability.

    Parameters
    ----------
    grid : float array, shape (n_points,)
        Midpoints of equal cells of (0, 1).
    density : float array, shape (n_points,)
        Mean 1 over the cells.
    prior_density : float array, shape (n_points,)
        The same of the prior.
    mean, sd : float
        Of the posterior.
    low, high : float
        Between them 90 %, with 5 % on either side.
    prior_mean, prior_sd : float
        Of the prior.
    divergence : float
        Kullback-Leibler divergence of the posterior from the prior, in nats; 0 where records say nothing.
    """

    grid: FloatArray
    density: FloatArray
    prior_density: FloatArray
    mean: float
    sd: float
    low: float
    high: float
    prior_mean: float
    prior_sd: float
    divergence: float

    @property
    def says_little(self) -> bool:
        """Whether records say almost nothing beyond the prior."""
        return self.divergence < LITTLE


def heritability_posterior(
    log_likelihood: Callable[[float], float], *, prior: tuple[float, float], n_points: int = 1000
) -> HeritabilityPosterior:
    """Posterior of a heritability on a grid.

    Parameters
    ----------
    log_likelihood : function of float to float
        Of a heritability in (0, 1), up to a constant; see `heritability_log_likelihood`.
    prior : (float, float)
        Parameters a and b of its Beta density; (1, 1) is flat.
    n_points : int
        Points of the grid.

    Returns
    -------
    HeritabilityPosterior
        With mean, sd and 90 % interval.

    Raises
    ------
    SizeError
        SIZ-208 if a or b is not above 0.

    Examples
    --------
    >>> nothing = heritability_posterior(lambda h2: 0.0, prior=(2.0, 4.0))
    >>> round(nothing.mean, 3), round(nothing.sd, 3), round(nothing.low, 3), nothing.says_little
    (0.333, 0.178, 0.076, True)
    """
    if not min(prior) > 0.0:
        raise SizeError(
            Fault("SIZ-208", f"No Beta density has the parameters {prior}.", "Give two above 0.", field="prior")
        )
    a, b = prior
    grid = (np.arange(n_points) + 0.5) / n_points
    assumed = _masses((a - 1.0) * np.log(grid) + (b - 1.0) * np.log1p(-grid))
    said = np.array([log_likelihood(float(h2)) for h2 in grid])
    found = _masses(np.log(assumed) + said)
    mean = float(grid @ found)
    sd = float(np.sqrt((grid - mean) ** 2 @ found))
    low, high = _quantiles(found, (INSIDE, 1.0 - INSIDE))
    positive = found > 0.0
    divergence = float(found[positive] @ np.log(found[positive] / assumed[positive]))
    prior_sd = float(np.sqrt(a * b / ((a + b) ** 2 * (a + b + 1.0))))
    return HeritabilityPosterior(
        grid, found * n_points, assumed * n_points, mean, sd, low, high, a / (a + b), prior_sd, divergence
    )


def heritability_log_likelihood(
    y: FloatArray, fixed: FloatArray, additive: RandomEffect, *, residual_shape: FloatArray | None = None
) -> Callable[[float], float]:
    """Restricted log-likelihood of a heritability, the total variance taken out.

    Parameters
    ----------
    y : float array, shape (n_records,)
        Records, one of each animal.
    fixed : float array, shape (n_records, p)
        Design of the fixed effects, of full rank.
    additive : RandomEffect
        Breeding values, of one part.
    residual_shape : float array, shape (n_records,) or (n_records, n_records), optional
        Covariance of residuals up to their variance; the identity where not given.

    Returns
    -------
    function of float to float
        Of h2 in (0, 1), that is s2a / (s2a + s2e) with s2a the variance in animals that are not inbred; up to a
        constant.

    Raises
    ------
    SizeError
        SIZ-204 if the covariance of residuals is not positive definite.

    Notes
    -----
    K = Z A Z' is split into eigenvectors once; each h2 takes time with the number of records after that.
    """
    shape = np.ones(len(y)) if residual_shape is None else residual_shape
    (design,) = additive.designs
    whitened = without_covariance(np.column_stack([y, fixed, design]), shape)
    own = whitened[:, 1 + fixed.shape[1] :]
    values, vectors = np.linalg.eigh(own @ additive.related(own.T))
    turned_y, turned_fixed = vectors.T @ whitened[:, 0], vectors.T @ whitened[:, 1 : 1 + fixed.shape[1]]
    n_free = len(y) - fixed.shape[1]

    def log_likelihood(h2: float) -> float:
        variances = h2 * np.maximum(values, 0.0) + (1.0 - h2)
        weighted = turned_fixed / variances[:, None]
        information = turned_fixed.T @ weighted
        rest = turned_y - turned_fixed @ np.linalg.solve(information, weighted.T @ turned_y)
        log_det = np.log(variances).sum() + np.linalg.slogdet(information)[1]
        return -0.5 * float(log_det + n_free * np.log(rest @ (rest / variances)))

    return log_likelihood


def _masses(logarithms: FloatArray) -> FloatArray:
    """Probabilities that sum to 1 from their logarithms up to a constant."""
    weights = np.exp(logarithms - logarithms.max())
    found: FloatArray = weights / weights.sum()
    return found


def _quantiles(masses: FloatArray, chances: tuple[float, float]) -> tuple[float, float]:
    """Quantiles of a density that is even within each cell."""
    edges = np.linspace(0.0, 1.0, len(masses) + 1)
    low, high = np.interp(chances, np.append(0.0, np.cumsum(masses)), edges)
    return float(low), float(high)
