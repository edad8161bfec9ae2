"""How well a measurement can tell two groups of animals apart at all, before any animal is looked at.

For normal laws of equal spread that are D standard deviations apart (D^2 = difference' S^-1 difference) everything is
closed: area under the curve Phi(D / sqrt 2), correct at the best cut Phi(D / 2), found at a false alarm rate a
Phi(D - z_a). For other laws the animals are ranked by their likelihood ratio, than which no ranking is better (Neyman &
Pearson 1933), over points spread evenly over both laws.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from holdback.size.predictive import Predictive

FloatArray = npt.NDArray[np.float64]

FALSE_ALARMS = 0.05
"""False alarm rate at which "found" is counted."""

_PHI = NormalDist()


@dataclass(frozen=True, slots=True)
class Accuracy:
    """The best that anybody could do with these traits.

    Parameters
    ----------
    ranked : float
        Chance that of one animal of each group the one of the line looks more like it (area under the ROC curve).
    correct : float
        Part put on the right side at the best cut, where half the animals are of the line.
    found : float
        Part of the line found where one in twenty of the others is taken for it.
    apart : float or None
        Standard deviations between the groups; None where their spreads differ.
    """

    ranked: float
    correct: float
    found: float
    apart: float | None


def best_accuracy(line: Predictive, other: Predictive) -> Accuracy:
    """How well the traits tell two groups apart at best.

    Parameters
    ----------
    line, other : Predictive
        Laws of the same traits.

    Returns
    -------
    Accuracy
        Exact for normal laws of equal spread; else to about 0.002.

    Examples
    --------
    >>> best = best_accuracy(Predictive.of(1.5, 1.0), Predictive.of(0.0, 1.0))
    >>> round(best.ranked, 4), round(best.correct, 4), round(best.found, 4), best.apart
    (0.8556, 0.7734, 0.4424, 1.5)
    """
    is_normal = math.isinf(line.df) and math.isinf(other.df)
    if is_normal and np.allclose(line.scale, other.scale, rtol=1e-12, atol=0.0):
        apart = math.sqrt(float(other.distance2(line.mean)))
        return Accuracy(
            ranked=_PHI.cdf(apart / math.sqrt(2)),
            correct=_PHI.cdf(apart / 2),
            found=_PHI.cdf(apart + _PHI.inv_cdf(FALSE_ALARMS)),
            apart=apart,
        )
    points = np.concatenate([line.points(), other.points()])
    return _ranked(line.log_density(points), other.log_density(points))


def _ranked(log_line: FloatArray, log_other: FloatArray) -> Accuracy:
    """Accuracy over points drawn evenly from both laws, from their log densities, each shape (n,)."""
    ratio = log_line - log_other
    order = np.argsort(-ratio, kind="stable")
    of_line = 1 / (1 + np.exp(-ratio[order]))
    of_other = 1 / (1 + np.exp(ratio[order]))
    correct = float(np.maximum(of_line, of_other).mean())
    found = np.concatenate([[0.0], np.cumsum(of_line) / of_line.sum()])
    alarms = np.concatenate([[0.0], np.cumsum(of_other) / of_other.sum()])
    ranked = float(((found[1:] + found[:-1]) / 2 * np.diff(alarms)).sum())
    return Accuracy(ranked, correct, float(np.interp(FALSE_ALARMS, alarms, found)), None)
