"""What one more animal of a group is expected to measure: multivariate Student t laws.

With n reference animals of k normal traits and nothing assumed of their mean and spread, one more animal follows a t
law with n - k degrees of freedom about their mean, with scale (1 + 1/n) S / (n - k), S the sums of squares and
products. With many animals it is the normal law; ``df = inf`` is that.

Source: Geisser (1964), Posterior odds for multivariate normal classifications; Aitchison & Dunsmore (1975), Statistical
Prediction Analysis, table 2.3 (both from memory; checked against an integral in `tests/outside/test_size_of_line.py`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]

N_POINTS = 2**13
"""Points of a lattice: enough for the third decimal of an accuracy."""


@dataclass(frozen=True, eq=False)
class Predictive:
    """Law of the traits of one more animal of a group, on the log scale.

    Parameters
    ----------
    mean : float array, shape (n_traits,)
        Expected deviation of each trait from an ordinary animal of the same sex and age.
    scale : float array, shape (n_traits, n_traits)
        Scale matrix, positive definite; the covariance where `df` is infinite.
    df : float
        Degrees of freedom, above 0.

    Raises
    ------
    SizeError
        SIZ-402 if the scale matrix is not positive definite, or the degrees of freedom are not above 0.
    """

    mean: FloatArray
    scale: FloatArray
    df: float = math.inf

    def __post_init__(self) -> None:
        """Refuse a law that is none."""
        is_law = self.df > 0 and np.all(np.isfinite(self.scale)) and np.all(np.linalg.eigvalsh(self.scale) > 0)
        if not is_law:
            raise SizeError(
                Fault("SIZ-402", "The spread of the traits is not positive.", "Give a spread above 0 for each trait.")
            )

    @classmethod
    def of(cls, mean: float, sd: float, df: float = math.inf) -> Predictive:
        """Law of one trait.

        Examples
        --------
        >>> round(float(Predictive.of(0.0, 1.0).log_density(np.array([0.0]))), 4)
        -0.9189
        """
        return cls(np.array([mean]), np.array([[sd * sd]]), df)

    @classmethod
    def of_animals(cls, values: Sequence[Sequence[float]] | FloatArray) -> Predictive:
        """Law of one more animal beside reference animals, nothing assumed of their mean and spread.

        Parameters
        ----------
        values : float array, shape (n_animals, n_traits)
            Deviations of animals of the same sex, age and feeding; the animal in question must not be among them.

        Raises
        ------
        SizeError
            SIZ-401 if there are not at least two animals more than traits.
        """
        table = np.asarray(values, dtype=np.float64)
        n, n_traits = table.shape if table.ndim == 2 else (0, 1)
        _enough(n, n_traits)
        residual = table - table.mean(axis=0)
        return cls(table.mean(axis=0), residual.T @ residual * ((1 + 1 / n) / (n - n_traits)), float(n - n_traits))

    @property
    def n_traits(self) -> int:
        """Number of traits."""
        return len(self.mean)

    def part(self, traits: Sequence[int] | npt.NDArray[np.intp]) -> Predictive:
        """Law of some of the traits; its degrees of freedom stay."""
        kept = np.asarray(traits, dtype=np.intp)
        return Predictive(self.mean[kept], self.scale[np.ix_(kept, kept)], self.df)

    def distance2(self, points: FloatArray) -> FloatArray:
        """Squared distance of points, shape (..., n_traits), from the mean in units of the scale, shape (...)."""
        root = np.linalg.cholesky(self.scale)
        away = np.linalg.solve(root, (points - self.mean).reshape(-1, self.n_traits).T)
        squares: FloatArray = (away**2).sum(axis=0).reshape(points.shape[:-1])
        return squares

    def log_density(self, points: FloatArray) -> FloatArray:
        """Natural log of the density at points, shape (..., n_traits), in one over the product of the traits' units."""
        k, df = self.n_traits, self.df
        half_log_det = float(np.linalg.slogdet(self.scale)[1]) / 2
        squares = self.distance2(points)
        if math.isinf(df):
            return -squares / 2 - half_log_det - k / 2 * math.log(2 * math.pi)
        constant = math.lgamma((df + k) / 2) - math.lgamma(df / 2) - k / 2 * math.log(df * math.pi) - half_log_det
        logs: FloatArray = constant - (df + k) / 2 * np.log1p(squares / df)
        return logs

    def beyond(self, point: FloatArray) -> float:
        """Chance that an animal of the group lies at least as far out as a point, in [0, 1]."""
        half = float(self.distance2(point)) / 2
        mixing = precisions(self.df, (np.arange(512) + 0.5) / 512)
        return float(np.mean([_chi2_tail(self.n_traits, half * one) for one in mixing]))

    def points(self) -> FloatArray:
        """Animals spread evenly over the law, shape (`N_POINTS`, n_traits): the same ones every time."""
        normal, uniform = _lattice(self.n_traits)
        spread = normal / np.sqrt(precisions(self.df, uniform))[:, None]
        return self.mean + spread @ np.linalg.cholesky(self.scale).T


def predictives_alike(
    line: Sequence[Sequence[float]] | FloatArray, other: Sequence[Sequence[float]] | FloatArray
) -> tuple[Predictive, Predictive]:
    """Laws of one more animal of two groups whose spread is taken to be the same.

    Parameters
    ----------
    line, other : float array, shape (n_animals, n_traits)
        Deviations of reference animals, the animal in question not among them.

    Returns
    -------
    Predictive, Predictive
        With n_line + n_other - n_traits - 1 degrees of freedom each.

    Raises
    ------
    SizeError
        SIZ-401 if one group is empty, or both together have not three animals more than traits.
    """
    tables = [np.asarray(one, dtype=np.float64) for one in (line, other)]
    n_line, n_other = (len(one) for one in tables)
    n_traits = tables[0].shape[1] if n_line else 1
    _enough(n_line + n_other - 1 if n_line and n_other else 0, n_traits)
    residuals = [one - one.mean(axis=0) for one in tables]
    df = n_line + n_other - n_traits - 1
    pooled = sum((one.T @ one for one in residuals), np.zeros((n_traits, n_traits))) / df
    first, second = (Predictive(one.mean(axis=0), pooled * (1 + 1 / len(one)), float(df)) for one in tables)
    return first, second


def precisions(df: float, uniform: FloatArray) -> FloatArray:
    """Quantiles of chi square over its degrees of freedom: the law of 1 / spread squared behind a t law.

    Parameters
    ----------
    df : float
        Degrees of freedom; infinite gives ones.
    uniform : float array, shape (n,)
        Probabilities in (0, 1).
    """
    if math.isinf(df):
        return np.ones_like(uniform)
    ends = -(40 / df) - 8 / math.sqrt(df), math.log1p(60 / df + 9 / math.sqrt(df))
    logs = np.linspace(ends[0], ends[1], 8001)
    density = np.exp(df / 2 * (logs - np.exp(logs) + 1))
    total = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    found: FloatArray = np.exp(np.interp(uniform, total / total[-1], logs))
    return found


def _enough(n: int, n_traits: int) -> None:
    """Refuse a law without the reference animals to make it of."""
    if n < n_traits + 2:
        raise SizeError(
            Fault(
                "SIZ-401",
                f"{n} animals are too few to say what {n_traits} of their traits look like in one more.",
                "Weigh more animals of known origin, of the same sex and age and fed alike.",
            )
        )


def _chi2_tail(df: int, half: float) -> float:
    """Upper tail of chi square with a whole number of degrees of freedom at twice `half`, by steps of two."""
    tail, order = (math.erfc(math.sqrt(half)), 0.5) if df % 2 else (math.exp(-half), 1.0)
    while order < df / 2:
        tail += math.exp(order * math.log(half) - half - math.lgamma(order + 1)) if half > 0 else 0.0
        order += 1
    return tail


@lru_cache(maxsize=8)
def _lattice(n_traits: int) -> tuple[FloatArray, FloatArray]:
    """Normal points, shape (n, n_traits), and uniform ones, shape (n,), that fill space evenly.

    The steps are powers of the root of x^(d+1) = x + 1, which generalises the golden ratio to d dimensions.
    """
    n_axes = n_traits + 1
    root = 2.0
    for _ in range(64):
        root = (1 + root) ** (1 / (n_axes + 1))
    steps = root ** -np.arange(1.0, n_axes + 1)
    uniform = (0.5 + np.arange(1, N_POINTS + 1)[:, None] * steps) % 1.0
    inverse = NormalDist().inv_cdf
    normal = np.array([[inverse(one) for one in row] for row in uniform[:, :n_traits].tolist()])
    return normal, np.asarray(uniform[:, n_traits])
