"""Number and mass of the eggs beside the mass of the dam."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Trait
from holdback.descent.beta_law import incomplete_beta, log_beta
from holdback.season.hatch_records import SET_ASIDE, HatchRecord
from holdback.size.readings import Readings
from holdback.size.state import GRAVID

OWN_MASS_DAYS = 400
"""A weight of her own lies at most so many days before laying."""

BEFORE_LAYING_DAYS = 45
"""A weight with her eggs lies at most so many days before laying (an assumption)."""

LEAST_CLUTCHES = 4


@dataclass(frozen=True, slots=True)
class DamClutch:
    """One clutch beside its dam.

    Parameters
    ----------
    clutch, dam : str
        Ids.
    eggs : int
        Eggs in all.
    clutch_g : float or None
        Mass of all eggs; None unless each was weighed.
    own_g : float or None
        Her last weight before laying that counts: without eggs.
    before_g : float or None
        Her last weight shortly before laying, eggs and all.
    """

    clutch: str
    dam: str
    eggs: int
    clutch_g: float | None
    own_g: float | None
    before_g: float | None


@dataclass(frozen=True, slots=True)
class DamClutches:
    """All clutches beside their dams.

    Parameters
    ----------
    rows : tuple of DamClutch
        In record order.
    mass_share : Estimate or None
        Mass of the eggs in percent of hers before laying, mean over dams; None below two dams.
    eggs_per_100_g : Estimate or None
        How many more eggs go with 100 g more of her own mass; None below `LEAST_CLUTCHES` dams.
    eggs : Estimate or None
        Eggs of a clutch, mean over dams; None below two dams.
    """

    rows: tuple[DamClutch, ...]
    mass_share: Estimate | None
    eggs_per_100_g: Estimate | None
    eggs: Estimate | None


def dam_clutches(collection: Collection, records: Sequence[HatchRecord], readings: Readings) -> DamClutches:
    """Number and mass of eggs beside the mass of the dam.

    Parameters
    ----------
    collection : Collection
        Records.
    records : sequence of HatchRecord
        Clutches; those set aside and those that nobody counted are left out.
    readings : Readings
        Weights, for those that count.

    Notes
    -----
    Clutches of one dam are alike: each dam counts once, with the means of her clutches. Ranges of means are those of
    Student's t; the slope is that of least squares over dams.
    """
    counted = [one for one in records if one.laid and one.dam and one.left_out != SET_ASIDE]
    rows = tuple(_row(collection, one, readings) for one in counted)
    shares = [(row.dam, 100 * row.clutch_g / row.before_g) for row in rows if row.clutch_g is not None and row.before_g]
    sized = [(row.dam, row.own_g, float(row.eggs)) for row in rows if row.own_g is not None]
    return DamClutches(
        rows,
        _mean(_by_dam(shares), "%", "every egg weighed, and she shortly before laying"),
        _slope(_by_dam([(dam, mass) for dam, mass, _ in sized]), _by_dam([(dam, eggs) for dam, _, eggs in sized])),
        _mean(_by_dam([(row.dam, float(row.eggs)) for row in rows]), "eggs", "slugs among the eggs"),
    )


def t_quantile(chance: float, freedom: float) -> float:
    """Quantile of Student's t above the middle, by bisection on the incomplete beta function.

    Parameters
    ----------
    chance : float
        In [0.5, 1).
    freedom : float
        Degrees of freedom, above 0.

    Examples
    --------
    >>> round(t_quantile(0.95, 4), 4)
    2.1318
    """
    a, b = np.array([freedom / 2]), np.array([0.5])
    logs = log_beta(a, b)
    low, high = 0.0, 1e4
    for _ in range(80):
        middle = (low + high) / 2
        at = np.array([freedom / (freedom + middle * middle)])
        below = 1 - 0.5 * float(incomplete_beta(a, b, at, log_beta_ab=logs)[0])
        low, high = (middle, high) if below < chance else (low, middle)
    return (low + high) / 2


def _row(collection: Collection, record: HatchRecord, readings: Readings) -> DamClutch:
    eggs = collection.eggs_of(record.clutch)
    masses = [egg.mass_g for egg in eggs if egg.mass_g is not None]
    is_weighed = len(masses) == len(eggs) == record.laid
    laid = collection.clutches[record.clutch].laid
    own = before = None
    for one in readings.by_animal.get(record.dam, ()) if laid is not None and laid.day else ():
        ago = laid.earliest.toordinal() - one.day if laid is not None else math.inf
        if one.measurement.trait is not Trait.MASS or ago < 0:
            continue
        if one.counts and ago <= OWN_MASS_DAYS:
            own = one.value
        if one.left_out in ("", GRAVID) and 0 < ago <= BEFORE_LAYING_DAYS:
            before = one.value
    return DamClutch(record.clutch, record.dam, record.laid, sum(masses) if is_weighed else None, own, before)


def _by_dam(values: Sequence[tuple[str, float]]) -> dict[str, float]:
    """Mean of each dam."""
    found: dict[str, list[float]] = {}
    for dam, value in values:
        found.setdefault(dam, []).append(value)
    return {dam: sum(each) / len(each) for dam, each in found.items()}


def _mean(by_dam: dict[str, float], unit: str, how: str) -> Estimate | None:
    values = np.array(list(by_dam.values()))
    if len(values) < 2:
        return None
    mean = float(values.mean())
    reach = t_quantile(0.95, len(values) - 1) * float(values.std(ddof=1)) / math.sqrt(len(values))
    return Estimate(mean, mean - reach, mean + reach, unit, Basis.MEASURED, f"{len(values)} dams; {how}")


def _slope(masses: dict[str, float], eggs: dict[str, float]) -> Estimate | None:
    x, y = np.array(list(masses.values())), np.array([eggs[dam] for dam in masses])
    if len(x) < LEAST_CLUTCHES or np.ptp(x) == 0:
        return None
    off = x - x.mean()
    slope = float(off @ y / (off @ off))
    rest = y - y.mean() - slope * off
    error = math.sqrt(float(rest @ rest) / (len(x) - 2) / float(off @ off))
    reach = t_quantile(0.95, len(x) - 2) * error
    ground = f"{len(x)} dams, each with the means of her clutches"
    return Estimate(100 * slope, 100 * (slope - reach), 100 * (slope + reach), "eggs", Basis.MEASURED, ground)
