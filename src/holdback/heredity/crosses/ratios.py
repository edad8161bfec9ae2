"""Do counted young fit a ratio: the chi-squared test and, for small clutches, the exact test.

A ratio that fits badly says that something in the assumption is off (a gene, a parent, deaths not counted), not what.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from holdback.errors import CrossError, Fault

_MOST_TABLES = 2_000_000
"""Most ways of sharing young among classes that the exact test goes through."""


@dataclass(frozen=True, slots=True)
class RatioFit:
    """How well counts fit a ratio.

    Parameters
    ----------
    expected : tuple of float
        Expected counts.
    chi_squared : float
        Sum of ``(seen - expected)^2 / expected``.
    degrees : int
        Degrees of freedom: classes less one.
    p : float
        Chance of a fit at least as bad if the ratio is right.
    exact : bool
        Whether `p` was counted exactly; else it comes from the chi-squared distribution.
    """

    expected: tuple[float, ...]
    chi_squared: float
    degrees: int
    p: float
    exact: bool


def ratio_fit(counts: Sequence[int], ratio: Sequence[float]) -> RatioFit:
    """Chi-squared fit of counts to a ratio.

    Parameters
    ----------
    counts : sequence of int, shape (n_classes,)
        Young counted in each class, none negative.
    ratio : sequence of float, shape (n_classes,)
        Expected ratio, all positive; need not sum to 1.

    Returns
    -------
    RatioFit
        With `p` from the chi-squared distribution; fair where every expected count is about 5 or more.

    Raises
    ------
    CrossError
        If the two differ in length, fewer than two classes are given, or nothing was counted.

    References
    ----------
    Pearson (1900), On the criterion that a given system of deviations...

    Examples
    --------
    >>> fit = ratio_fit((315, 101, 108, 32), (9, 3, 3, 1))
    >>> round(fit.chi_squared, 6), round(fit.p, 4)
    (0.470024, 0.9254)
    """
    expected = _expected(counts, ratio)
    chi_squared = math.fsum((seen - hoped) ** 2 / hoped for seen, hoped in zip(counts, expected, strict=True))
    degrees = len(counts) - 1
    return RatioFit(expected, chi_squared, degrees, _upper_tail(chi_squared, degrees), exact=False)


def exact_ratio_fit(counts: Sequence[int], ratio: Sequence[float]) -> RatioFit:
    """Exact multinomial fit of counts to a ratio: the total chance of all counts no likelier than those seen.

    Parameters
    ----------
    counts, ratio
        As in `ratio_fit`.

    Returns
    -------
    RatioFit
        With an exact `p`, or with the one of `ratio_fit` where the counts are too many to go through.

    Raises
    ------
    CrossError
        As in `ratio_fit`.

    Examples
    --------
    >>> round(exact_ratio_fit((8, 0), (3, 1)).p, 6)
    0.213928
    """
    rough = ratio_fit(counts, ratio)
    n, classes = sum(counts), len(counts)
    if math.comb(n + classes - 1, classes - 1) > _MOST_TABLES:
        return rough
    whole = math.fsum(ratio)
    logs = [math.log(part / whole) for part in ratio]

    def log_chance(table: Sequence[int]) -> float:
        ways = math.lgamma(n + 1) - math.fsum(math.lgamma(count + 1) for count in table)
        return ways + math.fsum(count * log for count, log in zip(table, logs, strict=True))

    bound = log_chance(counts) + 1e-9
    p = math.fsum(math.exp(chance) for table in _tables(n, classes) if (chance := log_chance(table)) <= bound)
    return RatioFit(rough.expected, rough.chi_squared, rough.degrees, min(p, 1.0), exact=True)


def _expected(counts: Sequence[int], ratio: Sequence[float]) -> tuple[float, ...]:
    """Expected counts, after checking what was given."""
    faults = []
    if len(counts) != len(ratio) or len(counts) < 2:
        what = f"{len(counts)} counts stand against a ratio of {len(ratio)} classes."
        faults.append(Fault("CRS-010", what, "Give one count for each class, two classes or more.", field="counts"))
    if any(count < 0 for count in counts) or sum(counts) == 0:
        faults.append(Fault("CRS-011", "no young were counted, or a count is negative.", field="counts"))
    if any(part <= 0 for part in ratio):
        faults.append(Fault("CRS-012", "a class of the ratio is not positive.", "Leave the class out.", field="ratio"))
    if faults:
        raise CrossError(faults)
    scale = sum(counts) / math.fsum(ratio)
    return tuple(part * scale for part in ratio)


def _tables(n: int, classes: int) -> Iterator[tuple[int, ...]]:
    """Every way of sharing n young among classes."""
    if classes == 1:
        yield (n,)
        return
    for first in range(n + 1):
        for rest in _tables(n - first, classes - 1):
            yield (first, *rest)


def _upper_tail(chi_squared: float, degrees: int) -> float:
    """Upper tail of the chi-squared distribution, in closed form for whole degrees of freedom.

    References
    ----------
    Abramowitz & Stegun (1964), 26.4.4 and 26.4.5.
    """
    half = chi_squared / 2.0
    if degrees % 2:
        tail = math.erfc(math.sqrt(half))
        term = math.sqrt(half) * math.exp(-half) / math.gamma(1.5)
        for step in range(1, (degrees + 1) // 2):
            tail += term
            term *= half / (step + 0.5)
        return tail
    tail = term = math.exp(-half)
    for step in range(1, degrees // 2):
        term *= half / step
        tail += term
    return tail
