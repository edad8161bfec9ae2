"""What a keeper's word for the status of an animal says of where it is."""

from __future__ import annotations

from collections.abc import Set

GONE = frozenset({"dead", "died", "deceased", "euthanised", "euthanized", "put down", "stillborn"})
"""Words that say an animal no longer lives; its tag may be used again."""

ELSEWHERE = frozenset({"sold", "given away", "gave away", "traded", "returned", "lost", "escaped", "rehomed"})
"""Words that say an animal lives with somebody else, or nobody knows where."""


def lives(status: str) -> bool:
    """Whether an animal of this status is alive, as far as the word tells.

    Examples
    --------
    >>> lives("holdback"), lives("died in egg"), lives("Dead, 2023")
    (True, False, False)
    """
    return not _begins(status, GONE)


def is_here(status: str) -> bool:
    """Whether an animal of this status can be bred from here, as far as the word tells.

    Examples
    --------
    >>> is_here("breeder"), is_here(""), is_here("Sold 2024-05"), is_here("died")
    (True, True, False, False)
    """
    return lives(status) and not _begins(status, ELSEWHERE)


def _begins(status: str, words: Set[str]) -> bool:
    """Whether a status begins with one of some words, whatever else is written after it."""
    text = " ".join(status.casefold().split())
    return any(text.startswith(word) and not text[len(word) : len(word) + 1].isalpha() for word in words)
