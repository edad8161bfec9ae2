"""Names, numbers and lists as a breeder would say them."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE
from holdback.descent.family import UNKNOWN_SIRE

_MOST_NAMED = 4


def named(collection: Collection, animal: str) -> str:
    """Name and id of an animal; the id alone where it has no name."""
    if animal == UNKNOWN_SIRE:
        return "an animal that is not on record"
    if animal == NO_SIRE:
        return "no sire"
    name = collection.animals[animal].name
    return f"{name} ({animal})" if name else animal


def listed(words: Sequence[str], *, most: int = _MOST_NAMED) -> str:
    """Words with commas and a last "and"; the rest counted where there are many.

    Examples
    --------
    >>> listed(["a", "b", "c"]), listed(list("abcdefg"))
    ('a, b and c', 'a, b, c, d and 3 more')
    """
    if len(words) > most + 1:
        words = [*words[:most], f"{len(words) - most} more"]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def percent(chance: float) -> str:
    """Whole percentage, never 0 or 100 for what is not certain.

    Examples
    --------
    >>> percent(0.996), percent(0.0004), percent(0.667)
    ('over 99 %', 'under 1 %', '67 %')
    """
    if chance > 0.995:
        return "over 99 %" if chance < 1.0 - 1e-9 else "100 %"
    if chance < 0.005:
        return "under 1 %" if chance > 1e-9 else "0 %"
    return f"{round(100.0 * chance)} %"


def verb(count: int, one: str, many: str) -> str:
    """Form of a verb for a number of subjects."""
    return one if count == 1 else many
