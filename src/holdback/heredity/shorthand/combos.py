"""Trade names for several genes, taken apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.heredity.shorthand.words import squashed
from holdback.species.model import WILD, Allele, Combo

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Ingredient = tuple[Allele, int, bool]
"""Allele, number of copies that the combo states, and whether the name often leaves it out."""


def ingredients(combo: Combo, catalogue: Catalogue) -> list[Ingredient]:
    """Alleles of a combo with their copies, in file order.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> regius = load()
    >>> sorted((allele.name, n) for allele, n, _ in ingredients(regius.find("Killer Bee"), regius))
    [('Pastel', 2), ('Spider', 1)]
    """
    found: list[Ingredient] = []
    for stated in combo.genotypes.values():
        for key in dict.fromkeys(stated):
            if key != WILD:
                found.append((catalogue.alleles[key], stated.count(key), key in combo.optional))
    listed = {allele.key for allele, _, _ in found}
    found.extend((catalogue.alleles[key], 1, True) for key in combo.optional if key not in listed)
    return found


def _labels(allele: Allele) -> set[str]:
    return {squashed(label) for label in (allele.name, *allele.aliases)}


def is_literal(combo: Combo, text: str, catalogue: Catalogue) -> bool:
    """True where the name only lists its genes ("Banana Clown", "Super Enchi")."""
    labels = []
    for allele, n_copies, _ in ingredients(combo, catalogue):
        plain = _labels(allele)
        labels.append({f"super{label}" for label in plain} if n_copies == 2 and not _recessive(allele) else plain)
    return _spelled(squashed(text), labels)


def _recessive(allele: Allele) -> bool:
    from holdback.heredity.shorthand.tokens import is_recessive

    return is_recessive(allele)


def _spelled(text: str, labels: list[set[str]]) -> bool:
    """True where the text is one label of each set, in any order."""
    if not labels:
        return not text
    return any(
        text.startswith(label) and _spelled(text[len(label) :], labels[:place] + labels[place + 1 :])
        for place, choice in enumerate(labels)
        for label in choice
    )


def opening_ingredient(combo: Combo, text: str, catalogue: Catalogue) -> str | None:
    """Key of the ingredient that a name opens with ("Lesser Bee"), which a "super" before it binds to; else None."""
    key = squashed(text)
    opening = [
        (len(label), allele.key)
        for allele, n_copies, _ in ingredients(combo, catalogue)
        for label in _labels(allele)
        if n_copies == 1 and key.startswith(label)
    ]
    return max(opening)[1] if opening else None
