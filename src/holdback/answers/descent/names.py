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
    r"""A share in whole percent; with tenths below 10, and as the trade writes exact halves and quarters.

    Examples
    --------
    >>> [percent(share).replace("\u00a0", " ") for share in (0.375, 0.0625, 0.0521, 0.6618)]
    ['37.5 %', '6.25 %', '5.2 %', '66 %']
    """
    value = 100 * share
    if value < 20 and abs(4 * value - round(4 * value)) < 1e-9:
        text = f"{value:.2f}".rstrip("0").removesuffix(".")
    elif value < 10 or abs(2 * value - round(2 * value)) < 1e-9:
        text = f"{value:.1f}".removesuffix(".0")
    else:
        text = f"{value:.0f}"
    return f"{text}\u00a0%"
