"""The short code of a record, for labels: made of its permanent key, so it holds through every change of id or tub.

Twelve letters and figures of base32 (RFC 4648, section 6, in small letters) hold the first 60 bits of the key. Of a
random key, 56 of these are random: among 20,000 records two share a code with a chance of 3 in a thousand million.
"""

from __future__ import annotations

import re
import uuid

from holdback.web.records.models import Animal, Clutch, Place

_ALPHABET = "abcdefghijklmnopqrstuvwxyz234567"
_LENGTH, _BITS = 12, 5
_REST = 128 - _LENGTH * _BITS
CODE = re.compile(rf"[a-z2-7]{{{_LENGTH}}}")

Found = Animal | Clutch | Place


def code_of(key: uuid.UUID) -> str:
    """Code of a key.

    Examples
    --------
    >>> code_of(uuid.UUID("00000000-0000-4000-8000-000000000000"))
    'aaaaaaaaabaa'
    """
    number = key.int >> _REST
    return "".join(_ALPHABET[number >> shift & 31] for shift in range(_BITS * (_LENGTH - 1), -1, -_BITS))


def keys_of(code: str) -> tuple[uuid.UUID, uuid.UUID]:
    """First and last key that have a code.

    Raises
    ------
    ValueError
        If it is no code.
    """
    text = code.strip().lower()
    if not CODE.fullmatch(text):
        raise ValueError(f"{code!r} is no code")
    number = 0
    for letter in text:
        number = number << _BITS | _ALPHABET.index(letter)
    return uuid.UUID(int=number << _REST), uuid.UUID(int=(number + 1 << _REST) - 1)


def find_by_code(code: str) -> Found | None:
    """Animal, clutch or place with a code; None where there is none, or where it was removed."""
    try:
        first, last = keys_of(code)
    except ValueError:
        return None
    animals = Animal.objects.filter(pk__gte=first, pk__lte=last, removed_at__isnull=True)[:2]
    clutches = Clutch.objects.filter(pk__gte=first, pk__lte=last, removed_at__isnull=True)[:2]
    found: list[Found] = [*animals, *clutches, *Place.objects.filter(pk__gte=first, pk__lte=last)[:2]]
    return found[0] if len(found) == 1 else None
