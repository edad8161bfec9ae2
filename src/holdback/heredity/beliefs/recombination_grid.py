"""Recombination fractions to work a sex-linked locus out at, since r is not known well."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holdback.species.model import SexLinkage

POINTS = 24
"""Points of the grid; each carries the same prior weight."""

_FINE = 4000


@dataclass(frozen=True, slots=True)
class Grid:
    """Recombination fractions in [0, 0.5] with prior weights that sum to 1."""

    r: tuple[float, ...]
    weights: tuple[float, ...]


AUTOSOMAL = Grid((0.5,), (1.0,))
"""The one point of a locus without sex linkage."""


def grid_of(linkage: SexLinkage | None, points: int = POINTS) -> Grid:
    """Grid that carries the beta prior of a locus, cut at one half.

    Parameters
    ----------
    linkage : SexLinkage or None
        Beta prior on r; None gives the one point of an autosomal locus.
    points : int
        Number of points: the middles of as many equally likely intervals.

    Examples
    --------
    >>> grid_of(None).r
    (0.5,)
    """
    if linkage is None:
        return AUTOSOMAL
    middles = (np.arange(_FINE) + 0.5) * 0.5 / _FINE
    log_density = (linkage.alpha - 1.0) * np.log(middles) + (linkage.beta - 1.0) * np.log1p(-middles)
    below = np.cumsum(np.exp(log_density - log_density.max()))
    r = np.interp((np.arange(points) + 0.5) / points, below / below[-1], middles)
    return Grid(tuple(r.tolist()), (1.0 / points,) * points)
