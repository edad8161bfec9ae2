"""Map functions, and recombination fractions estimated from counted young.

Notation: r is the recombination fraction, d the map distance in Morgan (1 Morgan = 100 cM).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


def recombination_across(first: float, second: float) -> float:
    """Recombination fraction over two neighbouring intervals without interference.

    Examples
    --------
    >>> round(recombination_across(0.1, 0.2), 12)
    0.26
    """
    return first + second - 2.0 * first * second


def haldane(distance: float) -> float:
    """Recombination fraction at a map distance, without interference.

    Parameters
    ----------
    distance : float
        Map distance in Morgan, at least 0.

    Returns
    -------
    float
        ``(1 - exp(-2d)) / 2``, in [0, 0.5).

    References
    ----------
    Haldane (1919), The combination of linkage values, and the calculation of distances between the loci.

    Examples
    --------
    >>> round(haldane(0.1), 5)
    0.09063
    """
    return -0.5 * math.expm1(-2.0 * distance)


def haldane_distance(r: float) -> float:
    """Map distance in Morgan from a recombination fraction below 0.5; the inverse of `haldane`."""
    return -0.5 * math.log1p(-2.0 * r)


def kosambi(distance: float) -> float:
    """Recombination fraction at a map distance, with Kosambi's interference.

    Notes
    -----
    Not a Markov model along the chromosome: for two loci only.

    References
    ----------
    Kosambi (1944), The estimation of map distances from recombination values.

    Examples
    --------
    >>> round(kosambi(0.1), 5)
    0.09869
    """
    return 0.5 * math.tanh(2.0 * distance)


def kosambi_distance(r: float) -> float:
    """Map distance in Morgan from a recombination fraction below 0.5; the inverse of `kosambi`."""
    return 0.5 * math.atanh(2.0 * r)


@dataclass(frozen=True, slots=True)
class Recombination:
    """An estimated recombination fraction with its standard error."""

    r: float
    se: float


def from_test_cross(parental: int, recombinant: int) -> Recombination:
    """Recombination fraction from a double het put to an animal with two copies of neither.

    Parameters
    ----------
    parental, recombinant : int
        Young that carry a parental, and young that carry a new combination.

    Returns
    -------
    Recombination
        Share of recombinants and its binomial standard error.

    Examples
    --------
    >>> estimate = from_test_cross(2534, 305)
    >>> round(estimate.r, 6), round(estimate.se, 6)
    (0.107432, 0.005812)
    """
    total = parental + recombinant
    r = recombinant / total
    return Recombination(r, math.sqrt(r * (1.0 - r) / total))


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """Three loci in order: the two recombination fractions and how far one crossing keeps another away.

    Parameters
    ----------
    first, second : float
        Recombination fractions of the two intervals.
    coincidence, interference : float
        Double crossings seen over those expected without interference, and one minus that.
    """

    first: float
    second: float
    coincidence: float
    interference: float


def three_point(parental: int, first: int, second: int, double: int) -> ThreePoint:
    """Recombination fractions from a three-locus test cross.

    Parameters
    ----------
    parental, first, second, double : int
        Young without crossing, with one in the first interval, with one in the second, with both.

    Returns
    -------
    ThreePoint
        Fractions, coincidence and interference.
    """
    total = parental + first + second + double
    left, right = (first + double) / total, (second + double) / total
    coincidence = double / total / (left * right)
    return ThreePoint(left, right, coincidence, 1.0 - coincidence)


def f2_coupling(counts: Sequence[int]) -> Recombination:
    """Recombination fraction from the young of two double hets in coupling, by maximum likelihood.

    Parameters
    ----------
    counts : sequence of int, shape (4,)
        Young that show both, the first only, the second only, neither.

    Returns
    -------
    Recombination
        Estimate, equal in both sexes, with its standard error from the information at the estimate.

    Notes
    -----
    With ``theta = (1 - r)^2`` the classes have chances ``(2 + theta, 1 - theta, 1 - theta, theta) / 4``, and the
    likelihood equation is the quadratic ``n t^2 - (a - 2b - 2c - d) t - 2d = 0``.

    References
    ----------
    Rao (1973), Linear Statistical Inference, section 5g.
    """
    a, b, c, d = counts
    n = a + b + c + d
    linear = a - 2 * b - 2 * c - d
    theta = (linear + math.sqrt(linear * linear + 8.0 * n * d)) / (2.0 * n)
    information = n * (1.0 + 2.0 * theta) / (2.0 * theta * (1.0 - theta) * (2.0 + theta))
    root = math.sqrt(theta)
    return Recombination(1.0 - root, math.sqrt(1.0 / information) / (2.0 * root))


def f2_coupling_steps(counts: Sequence[int], start: float, steps: int) -> tuple[float, ...]:
    """Theta after each step of expectation and maximisation, from a start; see `f2_coupling`.

    References
    ----------
    Dempster, Laird & Rubin (1977), Maximum likelihood from incomplete data via the EM algorithm.

    Examples
    --------
    >>> [round(theta, 9) for theta in f2_coupling_steps((125, 18, 20, 34), 0.5, 2)]
    [0.608247423, 0.62432105]
    """
    a, b, c, d = counts
    theta, path = start, []
    for _ in range(steps):
        filled = a * theta / (2.0 + theta)
        theta = (filled + d) / (filled + b + c + d)
        path.append(theta)
    return tuple(path)


def phase_after_test_cross(r: float, parental: int, recombinant: int, prior: float = 0.5) -> float:
    """Probability of a phase once test-cross young are counted.

    Parameters
    ----------
    r : float
        Recombination fraction in [0, 0.5].
    parental, recombinant : int
        Young that are parental, and recombinant, under that phase.
    prior : float
        Probability of the phase before.

    Examples
    --------
    >>> round(phase_after_test_cross(0.1, 3, 0), 6)
    0.99863
    """
    this = prior * (1.0 - r) ** parental * r**recombinant
    other = (1.0 - prior) * r**parental * (1.0 - r) ** recombinant
    return this / (this + other)
