"""What a keeper wrote of the state an animal was weighed in, read loosely."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

GRAVID = "gravid"
AFTER_LAYING = "after laying"
IN_SHED = "in shed"
FED = "fed"
EMPTY = "empty"

_WORDS: Mapping[str, str] = MappingProxyType(
    {
        EMPTY: r"before (?:feeding|(?:a |the )?meal|food)|(?:not|un|before being) ?fed|fasted|fasting|empty",
        AFTER_LAYING: r"(?:after|post)[ -]?(?:lay|laying|laid|clutch|eggs?|oviposition)|laid|spent|off (?:her )?eggs",
        GRAVID: r"gravid|eggs?[ -]?bound|pre[ -]?lay(?:ing)?|before laying|ovulat\w*|follic\w*|building|with eggs",
        IN_SHED: r"(?:in|pre|mid)[ -]?shed|shedding|in blue|opaque|blue",
        FED: r"(?:after|post|just|recently)[ -]?(?:fed|feeding|meal|food)|fed|full|with (?:a )?meal|ate|digesting",
    }
)
"""Tried in this order; a word counts only by itself, so that "unfed" is not "fed"."""

_PATTERNS = tuple((state, re.compile(rf"(?<![a-z])(?:{pattern})(?![a-z])")) for state, pattern in _WORDS.items())
_NEGATED = re.compile(r"(?<![a-z])(?:not|no|isn.?t|never)\s+(?:in\s+|yet\s+)?\w+")


@lru_cache(maxsize=1024)
def state_of(condition: str) -> str:
    """One of the states of this module; empty where nothing of the kind is written.

    Parameters
    ----------
    condition : str
        As typed.

    Examples
    --------
    >>> state_of("Post-lay"), state_of("not gravid"), state_of("three readings"), state_of("not fed")
    ('after laying', '', '', 'empty')
    """
    text = " ".join(condition.casefold().split())
    if not text:
        return ""
    if (found := _first(text)) == EMPTY:
        return found
    return _first(_NEGATED.sub(" ", text))


def _first(text: str) -> str:
    return next((state for state, pattern in _PATTERNS if pattern.search(text)), "")
