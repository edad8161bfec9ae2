"""Shares that differ between groups: eggs of one dam, or of one clutch, fare alike.

The rate of a group is drawn from a Beta law with mean mu and clumping rho, the correlation of two members of a group
(``s = 1 / rho - 1``; alpha ``mu s``, beta ``(1 - mu) s``). Neither mu nor rho is known: both are held on a grid, each
point with its posterior weight, and everything is mixed over the grid.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

N_MEANS = 31
N_NODES = 96
POWER = 16.0
_CLUMPING_WEIGHTS = np.array([0.25, 0.5, 0.25])
_NO_GROUPS = np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, eq=False)
class ClumpedRate:
    """Law of the rate of a group, mixed over a grid.

    Parameters
    ----------
    alpha, beta : array of shape (n_points,)
        Beta law of the group's rate at each point.
    weights : array of shape (n_points,)
        Posterior chance of each point; they sum to 1.
    n_own : int
        Counted in the keeper's own groups.
    """

    alpha: Floats
    beta: Floats
    weights: Floats
    n_own: int = 0

    @classmethod
    def learned(
        cls,
        mean: float,
        sd: float,
        clumping: tuple[float, float, float],
        *,
        k: Ints = _NO_GROUPS,
        n: Ints = _NO_GROUPS,
    ) -> ClumpedRate:
        """Rate of a group of which nothing is counted yet.

        Parameters
        ----------
        mean, sd : float
            Of the prior law of mu, a Beta law.
        clumping : tuple of float
            Low, middle and high value of rho, of weights a quarter, a half and a quarter before the records.
        k, n : int array, shape (n_groups,)
            Of each own group: those with it, and all.
        """
        grid, prior = _beta_grid(mean, sd)
        mu = np.repeat(grid, len(clumping))
        size = np.tile(1 / np.array(clumping) - 1, len(grid))
        weights = np.outer(prior, _CLUMPING_WEIGHTS).ravel()
        alpha, beta = mu * size, (1 - mu) * size
        if n.sum() > 0:
            rises = _log_rise(alpha, int(k.max()))[:, k] + _log_rise(beta, int((n - k).max()))[:, n - k]
            log_likelihood = (rises - _log_rise(size, int(n.max()))[:, n]).sum(axis=1)
            weights = weights * np.exp(log_likelihood - log_likelihood.max())
        return cls(alpha, beta, weights / weights.sum(), int(n.sum()))

    @property
    def mean(self) -> float:
        """Expected rate."""
        return float(self.weights @ (self.alpha / (self.alpha + self.beta)))

    def of_group(self, k: int, n: int) -> ClumpedRate:
        """Rate of an own group that is among those it was learned from: k of its n have it."""
        return replace(self, alpha=self.alpha + k, beta=self.beta + n - k)

    def nodes(self) -> tuple[Floats, Floats]:
        """Rates and weights that hold the law for sums over it, each of shape (n_nodes,).

        Notes
        -----
        Gauss-Legendre in t, with the rate ``t^p / (t^p + (1 - t)^p)``: that flattens the peaks of a Beta law at 0 and
        1. The mean holds to some 0.0005.
        """
        rates, table = self._by_point
        weights = self.weights @ table
        return rates, weights / weights.sum()

    @cached_property
    def _by_point(self) -> tuple[Floats, Floats]:
        """Rates, and their weights at each point of the grid, shape (n_points, n_nodes)."""
        points, widths = np.polynomial.legendre.leggauss(N_NODES)
        t = (points + 1) / 2
        log_rate, log_rest = POWER * np.log(t), POWER * np.log1p(-t)
        total = np.logaddexp(log_rate, log_rest)
        log_rate, log_rest = log_rate - total, log_rest - total
        log_slope = log_rate + log_rest - np.log(t) - np.log1p(-t)
        norm = np.array([_log_beta(a, b) for a, b in zip(self.alpha, self.beta, strict=True)])
        log_density = np.outer(self.alpha - 1, log_rate) + np.outer(self.beta - 1, log_rest) - norm[:, None]
        rates = np.clip(np.exp(log_rate), 1e-12, 1 - 1e-12)
        return rates, widths * np.exp(log_density + log_slope)

    def chances(self, n: int) -> Floats:
        """Chances of 0 to n among n of the group, shape (n + 1,): beta-binomial, mixed over the grid."""
        if n not in self._chances:
            self._chances[n] = self._beta_binomial(n)
        return self._chances[n]

    @cached_property
    def _chances(self) -> dict[int, Floats]:
        return {}

    def _beta_binomial(self, n: int) -> Floats:
        counts = np.arange(n + 1)
        ways = np.array([math.log(math.comb(n, k)) for k in counts])
        rises = _log_rise(self.alpha, n)[:, counts] + _log_rise(self.beta, n)[:, n - counts]
        log_chances = ways + rises - _log_rise(self.alpha + self.beta, n)[:, [n]]
        return np.asarray(self.weights @ np.exp(log_chances), dtype=np.float64)

    def draw_points(self, rng: np.random.Generator, n: int) -> Ints:
        """Grid points drawn by their weights, shape (n,)."""
        return rng.choice(len(self.weights), size=n, p=self.weights)

    def draw(self, rng: np.random.Generator, points: Ints, log_likelihood: Floats | None = None) -> Floats:
        """Rate of the group at each of the drawn points, of their shape.

        Parameters
        ----------
        rng : Generator
            Random numbers.
        points : int array
            Of `draw_points`.
        log_likelihood : array of shape (n_nodes,), optional
            What else was seen of the group, at the rates of `nodes`.
        """
        if log_likelihood is None:
            return rng.beta(self.alpha[points], self.beta[points])
        rates, table = self._by_point
        upto = np.cumsum(table * np.exp(log_likelihood - log_likelihood.max()), axis=1)
        upto /= upto[:, -1:]
        u = rng.random(len(points))
        index = np.minimum((upto[points] < u[:, None]).sum(axis=1), len(rates) - 1)
        return np.asarray(rates[index], dtype=np.float64)


def _beta_grid(mean: float, sd: float) -> tuple[Floats, Floats]:
    """Points and weights that hold a Beta law of a mean and a standard deviation, even in the logit."""
    size = mean * (1 - mean) / sd**2 - 1
    width = sd / (mean * (1 - mean))
    centre = math.log(mean / (1 - mean))
    logits = centre + width * np.linspace(-6, 6, N_MEANS)
    points = 1 / (1 + np.exp(-logits))
    log_weights = mean * size * np.log(points) + (1 - mean) * size * np.log1p(-points)
    weights = np.exp(log_weights - log_weights.max())
    return points, weights / weights.sum()


def _log_rise(start: Floats, most: int) -> Floats:
    """Logarithm of ``start (start + 1) ... (start + k - 1)`` for k from 0 to `most`, shape (n_points, most + 1)."""
    steps = np.log(start[:, None] + np.arange(most))
    return np.concatenate([np.zeros((len(start), 1)), np.cumsum(steps, axis=1)], axis=1)


def _log_beta(a: float, b: float) -> float:
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def binomials(n: int, rates: Floats) -> Floats:
    """Chances of 0 to n at each of some rates, shape (n_rates, n + 1)."""
    counts = np.arange(n + 1)
    ways = np.array([math.comb(n, k) for k in counts], dtype=np.float64)
    return np.asarray(ways * rates[:, None] ** counts * (1 - rates[:, None]) ** (n - counts))


def sum_of(parts: Sequence[Floats]) -> Floats:
    """Chances of the sum of numbers that do not depend on each other given the rate: one row a rate."""
    total = np.ones((len(parts[0]), 1))
    for part in parts:
        longer = np.zeros((len(total), total.shape[1] + part.shape[1] - 1))
        for k in range(part.shape[1]):
            longer[:, k : k + total.shape[1]] += total * part[:, [k]]
        total = longer
    return total
