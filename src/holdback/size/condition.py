"""How heavy an animal is for its length: long is not the same as fat.

The scaled mass index of Peig and Green (2009, from memory) with the exponent 3 of one build at any size, against the
ordinary animal of the species file: M / (M0 (L / L0)^3). An ordinary animal has 1, one a tenth heavier 1.1.
"""

from __future__ import annotations

import math

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Sex, Trait
from holdback.size.plausible import Usual
from holdback.size.readings import Reading, Readings
from holdback.size.shape import Shape
from holdback.species.catalogue import Catalogue

NEAR_DAYS = 120.0
"""A weight and a length further apart say nothing of build."""

LENGTH_SD = 0.025
"""Error of one length from snout to vent, on the logarithm: 2 to 3 % at best (common practice, no source)."""

MASS_SD = 0.05
"""Error of one empty weight, on the logarithm: scale, gut and water (an assumption)."""

NEAR_95 = 1.6448536269514722
"""95th percentile of the normal law; a 90 % range reaches as many standard deviations to either side."""


def build(animal: str, readings: Readings, catalogue: Catalogue) -> Estimate | None:
    """Build of an animal by its last length and the weight that lies nearest to it in time.

    Parameters
    ----------
    animal : str
        Id.
    readings : Readings
        Of the collection.
    catalogue : Catalogue
        For the ordinary animal, and the usual growth between the two days.

    Returns
    -------
    Estimate or None
        Ratio, 1 for an ordinary build, with the 90 % range that the errors of both readings leave. None without a
        length from snout to vent and a weight that counts within `NEAR_DAYS`, or where the species file has no
        ordinary animal.
    """
    shape = Shape.of(catalogue)
    pair = _pair(readings.by_animal.get(animal, ()))
    if shape is None or pair is None:
        return None
    mass, length = pair
    growth = _growth(animal, readings, catalogue, mass.day, length.day)
    log_ratio = math.log(mass.value / shape.mass_g) + growth - 3.0 * math.log(length.value / shape.length_cm)
    sd = math.sqrt(MASS_SD**2 + (3.0 * LENGTH_SD) ** 2 + (growth / 2) ** 2)
    low, high = (math.exp(log_ratio + sign * NEAR_95 * sd) for sign in (-1.0, 1.0))
    ordinary = f"{shape.mass_g:,.0f} g at {shape.length_cm:g} cm ({catalogue.size['ordinary_mass_g'].mark})"
    ground = (
        f"{mass.value:,.0f} g on {mass.measurement.date} at {length.value:.0f} cm on {length.measurement.date}; "
        f"1 is the build of an ordinary animal of {ordinary}."
    )
    return Estimate(math.exp(log_ratio + sd**2 / 2), low, high, "", Basis.MEASURED, ground)


def _pair(readings: tuple[Reading, ...]) -> tuple[Reading, Reading] | None:
    """The weight nearest to the last length that has one near enough, and that length."""
    counted = [one for one in readings if one.counts]
    masses = [one for one in counted if one.measurement.trait is Trait.MASS]
    for length in reversed([one for one in counted if one.measurement.trait is Trait.SNOUT_VENT_LENGTH]):
        apart, at = min(((abs(one.day - length.day), at) for at, one in enumerate(masses)), default=(math.inf, 0))
        if apart <= NEAR_DAYS:
            return masses[at], length
    return None


def _growth(animal: str, readings: Readings, catalogue: Catalogue, start: float, end: float) -> float:
    """Usual growth on the logarithm of mass from one day to another; 0 where its age is not known."""
    hatched = readings.hatched.get(animal)
    usual = Usual.of(catalogue)
    if hatched is None:
        return 0.0
    before, after = (usual.middle(Sex.UNKNOWN, max(day - hatched.middle, 0.0)) for day in (start, end))
    return after - before if before is not None and after is not None else 0.0
