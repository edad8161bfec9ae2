"""Usefulness of a cross: where the best young of a few can be expected, and not only their mean.

U = mu + i h sigma: mu is the mean breeding value of the young, sigma the spread that meiosis gives them, h the accuracy
with which the best is picked (the root of the heritability where each is judged by its own record), i how far the best
of so many stand out (`holdback.size.intensity`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.decisions.stock import Stock
from holdback.season.outlook import CountLaw
from holdback.size.intensity import intensity


@dataclass(frozen=True, slots=True)
class Promise:
    """What the best young of a cross can be expected to be.

    Parameters
    ----------
    sire, dam : str
        Animal ids.
    mean : float
        Mean breeding value of the young, in the unit of the values given.
    spread : float
        Standard deviation that meiosis gives them, same unit.
    best : float
        Expected breeding value of the one that is picked.
    """

    sire: str
    dam: str
    mean: float
    spread: float
    best: float


def usefulness(mean: float, spread: float, *, stands_out: float, accuracy: float) -> float:
    """Expected breeding value of the young that are picked (Schnell & Utz 1975).

    Parameters
    ----------
    mean, spread : float
        Mean and standard deviation of the young's breeding values.
    stands_out : float
        Selection intensity, in standard deviations.
    accuracy : float
        Correlation of what they are picked by with the breeding value, in [0, 1].

    Examples
    --------
    >>> round(usefulness(100, 4, stands_out=1.3998, accuracy=math.sqrt(0.4)), 3)
    103.541
    """
    return mean + stands_out * accuracy * spread


def spread_within(additive_sd: float, sire_inbreeding: float, dam_inbreeding: float) -> float:
    """Standard deviation of breeding values within a clutch.

    Parameters
    ----------
    additive_sd : float
        Standard deviation of breeding values in the base.
    sire_inbreeding, dam_inbreeding : float
        Inbreeding coefficients: an inbred parent has less left to deal out.

    Notes
    -----
    Variance is half of the additive one, times 1 less the mean inbreeding of the parents (Falconer & Mackay 1996).

    Examples
    --------
    >>> spread_within(2.0, 0.5, 0.5)
    1.0
    """
    return additive_sd * math.sqrt((1 - (sire_inbreeding + dam_inbreeding) / 2) / 2)


def best_of(law: CountLaw) -> float:
    """Selection intensity of the best one of a clutch of uncertain size, given that there is at least one young.

    Parameters
    ----------
    law : CountLaw
        Living young of a clutch.

    Notes
    -----
    Mixed over the numbers: the best of the mean number would be too much, as each further young adds less.
    """
    some = [(n, float(chance)) for n, chance in enumerate(law.chances) if n > 0 and chance > 0]
    total = math.fsum(chance for _, chance in some)
    return math.fsum(chance * intensity(n, 1) for n, chance in some) / total


def promises(stock: Stock, pairs: Sequence[tuple[str, str]], *, accuracy: float) -> tuple[Promise, ...]:
    """Crosses by the best single young that one clutch can be expected to give, the best first.

    Parameters
    ----------
    stock : Stock
        Animals with breeding values; pairs with one that has none are left out.
    pairs : sequence of (str, str)
        Sire and dam.
    accuracy : float
        Correlation of what young are picked by with the breeding value, in [0, 1].
    """
    found = []
    for sire, dam in pairs:
        rows = stock.index(sire), stock.index(dam)
        mean = float(sum(stock.size_mean[row] for row in rows)) / 2
        law = stock.young[rows[1]]
        if math.isnan(mean) or not law.chances[1:].any():
            continue
        inbred = [2 * float(stock.kinship[row, row]) - 1 for row in rows]
        spread = spread_within(stock.breeding.additive_sd, *inbred)
        best = usefulness(mean, spread, stands_out=best_of(law), accuracy=accuracy)
        found.append(Promise(sire, dam, mean, spread, best))
    return tuple(sorted(found, key=lambda one: (-one.best, one.sire, one.dam)))
