"""What a keeper's word for the status of an animal says of where it is."""

from __future__ import annotations

GONE = frozenset({"dead", "died", "died in egg", "deceased", "euthanised", "euthanized", "put down"})
"""Words that say an animal no longer lives; its tag may be used again."""

ELSEWHERE = frozenset({"sold", "given away", "gave away", "traded", "returned", "lost", "escaped", "rehomed"})
"""Words that say an animal lives with somebody else, or nobody knows where."""


def lives(status: str) -> bool:
    """Whether an animal of this status is alive, as far as the word tells."""
    return status.strip().casefold() not in GONE


def is_here(status: str) -> bool:
    """Whether an animal of this status can be bred from here, as far as the word tells.

    Examples
    --------
    >>> is_here("breeder"), is_here(""), is_here("Sold"), is_here("died")
    (True, True, False, False)
    """
    return lives(status) and status.strip().casefold() not in ELSEWHERE
