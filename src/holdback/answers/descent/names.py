"""What to call an animal, and nodes that are no animal, in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.collection.collection import Collection

_WORDS = {
    "?which sire of ": "the sire of ",
    "?sire of ": "the unknown sire of ",
    "?dam of ": "the unknown dam of ",
}


def named(collection: Collection, node: str) -> str:
    """Name and id of an animal; words for a parent that is not on record."""
    record = collection.animals.get(node)
    if record is not None:
        return f"{record.name} {record.id}".strip()
    for begin, words in _WORDS.items():
        if node.startswith(begin):
            return words + node.removeprefix(begin)
    return node.lstrip("?")


def listed(words: Sequence[str]) -> str:
    """Words in a row: "a, b and c"."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def percent(share: float) -> str:
    r"""A share in whole percent; with tenths below 10, and where it is a half percent to the point.

    Examples
    --------
    >>> [percent(share).replace("\u00a0", " ") for share in (0.375, 0.0521, 0.6618)]
    ['37.5 %', '5.2 %', '66 %']
    """
    value = 100 * share
    is_half = abs(2 * value - round(2 * value)) < 1e-9
    text = f"{value:.1f}".removesuffix(".0") if 0 < value < 10 or is_half else f"{value:.0f}"
    return f"{text}\u00a0%"
