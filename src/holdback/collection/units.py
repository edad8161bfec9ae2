"""Units of measurements, exact by definition, and a reading in the unit the engine counts in."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from holdback.collection.model import Measurement, Trait

MASS_IN_G: Mapping[str, float] = MappingProxyType({"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237})
"""Gram in one unit of mass; ounce and pound are the international avoirdupois ones, exact since 1959."""

LENGTH_IN_CM: Mapping[str, float] = MappingProxyType({"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54})
"""Centimetre in one unit of length; the international inch, exact since 1959."""


def units_of(trait: Trait) -> Mapping[str, float]:
    """Units that a trait may be typed in, with their size in gram or centimetre."""
    return MASS_IN_G if trait is Trait.MASS else LENGTH_IN_CM


def in_base_unit(measurement: Measurement) -> float:
    """Value of a measurement: gram for a mass, centimetre for a length.

    Parameters
    ----------
    measurement : Measurement
        Reading of a checked collection.

    Raises
    ------
    KeyError
        If the unit does not fit the trait, which a checked collection rules out.

    Examples
    --------
    >>> from holdback.collection.model import PartialDate
    >>> round(in_base_unit(Measurement("22-11", PartialDate(2026, 3, 2), Trait.MASS, 106.2, "oz")), 1)
    3010.7
    """
    return measurement.value * units_of(measurement.trait)[measurement.unit]
