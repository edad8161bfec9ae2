"""What a value was perhaps meant to be: another unit, a figure more or less, two figures swapped."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from holdback.collection.model import Measurement, Trait
from holdback.collection.units import units_of

NEAR = 0.3
"""How far, on the logarithm, a mend may miss what was expected."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One guess.

    Parameters
    ----------
    kind : str
        "unit" or "figure".
    value : float
        In `unit`.
    unit : str
        Unit.
    """

    kind: str
    value: float
    unit: str

    def __str__(self) -> str:
        """As a keeper would type it: ``1,660 g``."""
        return f"{figures(self.value)} {self.unit}"


def mend_of(measurement: Measurement, expected: float) -> Mend | None:
    """The mend that comes nearest to what was expected; None where none comes near.

    Parameters
    ----------
    measurement : Measurement
        As typed.
    expected : float
        Natural logarithm of the expected gram or centimetre.

    Notes
    -----
    A factor of ten and another unit come first, then figures swapped or doubled, then a first figure that was left out,
    which nearly always fits.
    """
    size = units_of(measurement.trait)
    best, least = None, NEAR
    for handicap, mend in _mends(measurement):
        miss = abs(math.log(mend.value * size[mend.unit]) - expected) + handicap
        if miss < least:
            best, least = mend, miss
    return best


def _mends(one: Measurement) -> Iterator[tuple[float, Mend]]:
    """Guesses, each with how much worse it counts than it fits."""
    # On a tape millimetres and centimetres stand side by side; a factor of ten in a mass is rather a figure.
    for_unit = 0.03 if one.trait is Trait.MASS else -0.03
    for factor in (10.0, 0.1, 100.0, 0.01):
        yield 0.0, Mend("figure", one.value * factor, one.unit)
    for unit in units_of(one.trait):
        if unit != one.unit:
            yield for_unit, Mend("unit", one.value, unit)
    for value in _swapped(one.value):
        yield 0.1, Mend("figure", value, one.unit)
    for figure in "123456789":
        yield 0.2, Mend("figure", float(figure + _text(one.value).removeprefix("0")), one.unit)


def _text(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _swapped(value: float) -> Iterator[float]:
    """Values with two neighbouring figures swapped, or one of a pair of equal ones taken out."""
    text = _text(value)
    for at in range(len(text) - 1):
        first, second = text[at], text[at + 1]
        if "." in (first, second):
            continue
        middle = "" if first == second else second
        yield float(text[:at] + middle + first + text[at + 2 :])


def figures(value: float) -> str:
    """Number with commas between thousands and no needless decimals.

    Examples
    --------
    >>> figures(1660.0), figures(58.2), figures(0.165)
    ('1,660', '58.2', '0.165')
    """
    return f"{value:,.0f}" if value >= 1000 or value == round(value) else f"{value:.3g}"
