"""Chances as natural frequencies: "about 3 in 16"."""

from __future__ import annotations

from fractions import Fraction

_DENOMINATORS = (2, 3, 4, 5, 6, 8, 10, 12, 16)
"""Denominators that a person reads at a glance, simplest first."""


def in_words(chance: float, *, of: str = "eggs") -> str:
    """Chance in words that a breeder reads at a glance.

    Parameters
    ----------
    chance : float
        Probability in [0, 1].
    of : str
        What is counted, in the plural; empty for none.

    Returns
    -------
    str
        "none", "all", "3 in 16 eggs", "about 1 in 3 eggs", "fewer than 1 in 1,000 eggs".

    Notes
    -----
    A fraction with a small denominator is named without "about" only where it is the chance itself. Elsewhere the
    simplest fraction within 6 % of the chance (and of its complement) is taken, down to 1 in 1,000.

    Examples
    --------
    >>> in_words(3 / 16), in_words(0.33), in_words(0.0), in_words(1.0)
    ('3 in 16 eggs', 'about 1 in 3 eggs', 'none', 'all')
    >>> in_words(1 / 64, of=""), in_words(0.0002)
    ('1 in 64', 'fewer than 1 in 1,000 eggs')
    """
    if not 0.0 <= chance <= 1.0 + 1e-9:
        raise ValueError(f"{chance} is no probability")
    if chance <= 1e-12:
        return "none"
    if chance >= 1.0 - 1e-12:
        return "all"
    tail = f" {of}" if of else ""
    if chance < 0.001:
        return f"fewer than 1 in 1,000{tail}"
    if chance > 0.999:
        return f"more than 999 in 1,000{tail}"
    exact = Fraction(chance).limit_denominator(64)
    if abs(float(exact) - chance) < 1e-9 and (exact.denominator in {*_DENOMINATORS, 32, 64} or exact.numerator == 1):
        return f"{exact.numerator} in {exact.denominator}{tail}"
    near = _near(chance)
    return f"about {near.numerator} in {near.denominator:,}{tail}"


def sixteenths(chance: float) -> int:
    """Number of ovals of sixteen to fill for a chance; 0 only where the chance is under one in thirty-two.

    Examples
    --------
    >>> sixteenths(0.25), sixteenths(0.01), sixteenths(0.99)
    (4, 0, 16)
    """
    return min(16, max(0, round(chance * 16)))


def _near(chance: float) -> Fraction:
    """Simplest fraction close to a chance, seen from both ends."""
    for denominator in _DENOMINATORS:
        numerator = round(chance * denominator)
        if not 0 < numerator < denominator:
            continue
        error = abs(numerator / denominator - chance)
        if error <= 0.06 * min(chance, 1.0 - chance):
            return Fraction(numerator, denominator)
    if chance < 0.5:
        return Fraction(1, round(1.0 / chance))
    rest = round(1.0 / (1.0 - chance))
    return Fraction(rest - 1, rest)
