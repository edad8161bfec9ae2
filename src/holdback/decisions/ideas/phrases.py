"""Small phrases that sentences on ideas share."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.heredity.frequency import in_words

_PLAIN = {0.25: "a quarter of the", 0.5: "half the", 0.75: "three quarters of the", 1.0: "all"}

_NEAR = 0.01


def of_young(chance: float) -> str:
    """Chance among young in words.

    Examples
    --------
    >>> of_young(0.25), of_young(0.497), of_young(1.0), of_young(0.375)
    ('a quarter of the young', 'about half the young', 'all young', '3 in 8 of the young')
    """
    value, words = min(_PLAIN.items(), key=lambda plain: abs(plain[0] - chance))
    if abs(value - chance) < 1e-9:
        return f"{words} young"
    if abs(value - chance) < _NEAR and chance < 1.0 - _NEAR:
        return f"about {words} young"
    return f"{in_words(chance, of='')} of the young"


def listed(names: Sequence[str]) -> str:
    """Names in one phrase.

    Examples
    --------
    >>> listed(["Fire", "Enchi", "Pastel"])
    'Fire, Enchi and Pastel'
    """
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def capital(text: str) -> str:
    """Text with a capital."""
    return text[:1].upper() + text[1:]
