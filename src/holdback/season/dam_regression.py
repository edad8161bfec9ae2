"""A normal law of few records, several of which may be of one dam; mean, spread and dams' share are all uncertain.

Record i of dam j is y = x'b + u_j + e, with u_j ~ N(0, r s2) and e ~ N(0, (1 - r) s2). Given the share r of the
variance that lies between dams, b and s2 have a normal-inverse-gamma law: a prior worth some records is drawn towards
the keeper's own. The share is summed over a grid, each point with its marginal likelihood, so that nothing is plugged
in. With one column of ones, and one record a dam, it is the textbook case of a mean and a variance.

References
----------
Gelman and others, Bayesian Data Analysis, on the conjugate normal regression (cited from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

SHARES = np.linspace(0.025, 0.775, 16)
"""Grid of the share of the variance that lies between dams."""


@dataclass(frozen=True, eq=False)
class Prior:
    """What is taken before any record.

    Parameters
    ----------
    mean : array of shape (p,)
        Coefficients.
    precision : array of shape (p, p)
        Their precision, in records: the covariance is s2 times its inverse.
    nu : float
        Records that the spread is worth.
    scale2 : float
        Typical s2.
    share_weights : array of shape (16,)
        Chances of `SHARES`.
    """

    mean: FloatArray
    precision: FloatArray
    nu: float
    scale2: float
    share_weights: FloatArray


@dataclass(frozen=True, eq=False)
class Sample:
    """Own records.

    Parameters
    ----------
    y : array of shape (n,)
        Measured.
    x : array of shape (n, p)
        Columns.
    dams : sequence of str, n long
        Ids; a record of an unknown dam has an id of its own.
    """

    y: FloatArray
    x: FloatArray
    dams: Sequence[str]


@dataclass(frozen=True, eq=False)
class Mixture:
    """Students' laws with weights: a number yet to be seen.

    Parameters
    ----------
    weight, location, scale : arrays of shape (n_parts,)
        Of each part.
    nu : float
        Degrees of freedom of all.
    """

    weight: FloatArray
    location: FloatArray
    scale: FloatArray
    nu: float

    def density(self, y: FloatArray) -> FloatArray:
        """Density at each of some numbers, array of the shape of `y`."""
        z = (y[..., None] - self.location) / self.scale
        constant = math.lgamma((self.nu + 1) / 2) - math.lgamma(self.nu / 2) - math.log(self.nu * math.pi) / 2
        each = np.exp(constant - (self.nu + 1) / 2 * np.log1p(z**2 / self.nu)) / self.scale
        return np.asarray(each @ self.weight, dtype=float)

    @property
    def mean(self) -> float:
        """Centre."""
        return float(self.weight @ self.location)

    @property
    def widest(self) -> float:
        """Largest scale of a part."""
        return float(self.scale.max())


@dataclass(frozen=True, eq=False)
class Fit:
    """What is known of the coefficients, the spread and the dams after the records.

    Parameters
    ----------
    weight, share, scale2 : arrays of shape (16,)
        Chance of each share, the share, and the typical s2 given it.
    mean : array of shape (16, p)
        Coefficients.
    covariance : array of shape (16, p, p)
        Of the coefficients, in units of s2.
    nu : float
        Degrees of freedom of s2.
    log_evidence : float
        Logarithm of the density of all records, up to what does not depend on columns.
    sums : dict of str to (n, sum of y, sums of columns)
        Of each dam.
    """

    weight: FloatArray
    share: FloatArray
    scale2: FloatArray
    mean: FloatArray
    covariance: FloatArray
    nu: float
    log_evidence: float
    sums: dict[str, tuple[int, float, FloatArray]]

    @classmethod
    def of(cls, sample: Sample, prior: Prior) -> Fit:
        """Prior drawn towards the records."""
        n_records = len(sample.y)
        names, place = np.unique(np.asarray(sample.dams, dtype=object).astype(str), return_inverse=True)
        counts = np.bincount(place, minlength=len(names)).astype(float)
        sum_y = np.bincount(place, weights=sample.y, minlength=len(names))
        sum_x = np.zeros((len(names), len(prior.mean)), dtype=np.float64)
        np.add.at(sum_x, place, sample.x)
        rest = 1 - SHARES
        drawn = SHARES[:, None] / (rest[:, None] + counts * SHARES[:, None])
        columns = sample.x.T @ sample.x - np.einsum("rj,jp,jq->rpq", drawn, sum_x, sum_x, optimize=True)
        across = sample.x.T @ sample.y - np.einsum("rj,jp,j->rp", drawn, sum_x, sum_y, optimize=True)
        squares = float(sample.y @ sample.y) - drawn @ sum_y**2
        precision = prior.precision + columns / rest[:, None, None]
        towards = prior.precision @ prior.mean + across / rest[:, None]
        mean = np.linalg.solve(precision, towards[..., None])[..., 0]
        left = squares / rest + prior.mean @ prior.precision @ prior.mean - np.einsum("rp,rp->r", mean, towards)
        nu = prior.nu + n_records
        total = prior.nu * prior.scale2 + np.maximum(left, 0)
        log_det = (np.log1p(counts * SHARES[:, None] / rest[:, None])).sum(axis=1) + n_records * np.log(rest)
        log_precision = np.linalg.slogdet(precision)[1] - np.linalg.slogdet(prior.precision)[1]
        log_weight = np.log(prior.share_weights) - (log_det + log_precision + nu * np.log(total)) / 2
        top = float(log_weight.max())
        weight = np.exp(log_weight - top)
        sums = {str(name): (int(n), float(y), x) for name, n, y, x in zip(names, counts, sum_y, sum_x, strict=True)}
        return cls(
            weight / weight.sum(),
            SHARES,
            total / nu,
            mean,
            np.linalg.inv(precision),
            nu,
            top + math.log(float(weight.sum())),
            sums,
        )

    def n_of(self, dam: str) -> int:
        """Records of a dam."""
        return self.sums[dam][0] if dam in self.sums else 0

    def foretold(self, x: FloatArray, dam: str = "") -> Mixture:
        """Law of a record yet to be seen of a dam; of any dam where her id is empty or new."""
        n, y, sum_x = self.sums.get(dam, (0, 0.0, np.zeros_like(x)))
        below = 1 - self.share + n * self.share
        pull = self.share / below
        free = x - pull[:, None] * sum_x
        location = np.einsum("rp,rp->r", free, self.mean) + pull * y
        unsure = np.einsum("rp,rpq,rq->r", free, self.covariance, free)
        own = (1 - self.share) * (1 + self.share / below)
        return Mixture(self.weight, location, np.sqrt(self.scale2 * (own + unsure)), self.nu)

    def draw(self, rng: np.random.Generator, n: int) -> Drawn:
        """Sets of shares, spreads and coefficients, as likely as they are held to be."""
        part = rng.choice(len(self.weight), size=n, p=self.weight)
        s2 = self.nu * self.scale2[part] / rng.chisquare(self.nu, n)
        root = np.linalg.cholesky(self.covariance)[part]
        noise = rng.standard_normal((n, self.mean.shape[1]))
        coefficients = self.mean[part] + np.sqrt(s2)[:, None] * np.einsum("npq,nq->np", root, noise)
        return Drawn(self, self.share[part], s2, coefficients)


@dataclass(frozen=True, eq=False)
class Drawn:
    """Sets of parameters; of each set one share, one s2 and the coefficients, arrays of n rows."""

    fit: Fit
    share: FloatArray
    s2: FloatArray
    coefficients: FloatArray

    def means(self, x: FloatArray, dam: str = "") -> tuple[FloatArray, FloatArray]:
        """Mean and standard deviation of a record of a dam in each set, her own level not known better than it is."""
        n, y, sum_x = self.fit.sums.get(dam, (0, 0.0, np.zeros(self.coefficients.shape[1])))
        below = 1 - self.share + n * self.share
        pull = self.share / below
        level = self.coefficients @ x + pull * (y - self.coefficients @ sum_x)
        return level, np.sqrt(self.s2 * (1 - self.share) * (1 + self.share / below))


def share_weights(value: float, low: float, high: float) -> FloatArray:
    """Chances of `SHARES` by a beta law with this mean and about this middle 90 %."""
    a, b = beta_of(value, low, high)
    log_weight = (a - 1) * np.log(SHARES) + (b - 1) * np.log1p(-SHARES)
    weight = np.exp(log_weight - log_weight.max())
    return np.asarray(weight / weight.sum(), dtype=float)


def beta_of(value: float, low: float, high: float) -> tuple[float, float]:
    """Parameters of the beta law with a mean, and a standard deviation as of a normal with this middle 90 %.

    Examples
    --------
    >>> a, b = beta_of(0.7, 0.6, 0.8)
    >>> round(a), round(b)
    (39, 17)
    """
    deviation = max((high - low) / (2 * NORMAL_95), 1e-3)
    worth = max(value * (1 - value) / deviation**2 - 1, 2.0)
    return value * worth, (1 - value) * worth


NORMAL_95 = 1.6448536269514722
"""The normal law is passed in 5 % of the cases here."""


@lru_cache
def student_95(nu: float) -> float:
    """Student's law is passed in 5 % of the cases here, to four figures.

    Examples
    --------
    >>> round(student_95(10.0), 3)
    1.812
    """
    z = np.linspace(0, 60, 60001)
    one = Mixture(np.ones(1), np.zeros(1), np.ones(1), nu).density(z)
    upto = 0.5 + np.concatenate([[0.0], np.cumsum((one[1:] + one[:-1]) / 2)]) * (z[1] - z[0])
    return float(np.interp(0.95, upto, z))
