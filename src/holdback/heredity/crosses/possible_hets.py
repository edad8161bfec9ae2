"""Possible hets: the chance that a normal-looking animal carries one copy of a recessive.

For one gene with a wild type and one recessive allele, no other relative known. Siblings are tied to each other through
their parents; once a clutch has shown anything, the whole pedigree has to be asked.
"""

from __future__ import annotations

import math


def het_if_normal(sire_het: float, dam_het: float) -> float:
    """Chance that a normal-looking young of two normal-looking parents is het.

    Parameters
    ----------
    sire_het, dam_het : float
        Chance that each parent is het, in [0, 1].

    Returns
    -------
    float
        ``(a + b - 2ab) / (1 - ab)`` with a and b half the chances.

    Examples
    --------
    >>> round(het_if_normal(1.0, 1.0), 6), round(het_if_normal(1.0, 0.5), 6)
    (0.666667, 0.571429)
    """
    a, b = sire_het / 2.0, dam_het / 2.0
    return (a + b - 2.0 * a * b) / (1.0 - a * b)


def het_after_normals(prior: float, normals: int, *, mate_het: float | None = None) -> float:
    """Chance that an animal is het after normal-looking young only.

    Parameters
    ----------
    prior : float
        Chance before, in [0, 1].
    normals : int
        Normal-looking young counted, all by one mate; slugs and losses are not counted.
    mate_het : float or None
        None: the mate shows the recessive. Else the chance that the mate is het; all young share the mate, so the
        chance mixes over it.

    Returns
    -------
    float
        Chance after.

    Examples
    --------
    >>> round(het_after_normals(2 / 3, 3), 6), round(het_after_normals(2 / 3, 4, mate_het=0.5), 6)
    (0.2, 0.568297)
    """
    all_normal = 0.5**normals if mate_het is None else mate_het * 0.75**normals + 1.0 - mate_het
    return prior * all_normal / (prior * all_normal + 1.0 - prior)


def normals_needed(prior: float, below: float, *, mate_shows: bool) -> int:
    """Least number of normal-looking young that brings the chance of being het under a bound.

    Parameters
    ----------
    prior, below : float
        Chance before, and bound, in (0, 1).
    mate_shows : bool
        True: the mate shows the recessive. False: the mate is a proven het.

    Examples
    --------
    >>> normals_needed(2 / 3, 0.05, mate_shows=True), normals_needed(2 / 3, 0.05, mate_shows=False)
    (6, 13)
    """
    if prior < below:
        return 0
    falls_by = math.log(0.5 if mate_shows else 0.75)
    odds_now, odds_wanted = prior / (1.0 - prior), below / (1.0 - below)
    return max(0, math.floor(math.log(odds_wanted / odds_now) / falls_by + 1e-12) + 1)


def het_in_population(frequency: float) -> float:
    """Chance that a normal-looking animal of a randomly mating population is het: ``2x / (1 + x)``.

    Parameters
    ----------
    frequency : float
        Frequency x of the recessive allele, in [0, 1).

    Examples
    --------
    >>> round(het_in_population(0.05), 6)
    0.095238
    """
    return 2.0 * frequency / (1.0 + frequency)
