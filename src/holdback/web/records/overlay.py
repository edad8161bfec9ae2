"""The species catalogue with the keeper's changes laid over it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from holdback.web.records.marks import mark_of
from holdback.web.records.models import CATALOGUE, GeneChange

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

SPECIES = "python_regius"
"""Species of a record that names none."""

LISTS = frozenset({"chromosome", "look", "together", "pairing", "not_a_gene", "linkage", "growth", "feeding", "idea"})
"""Tables of a species file that are lists of rows; their rows tell for themselves which they replace."""


def changes_of(species: str) -> dict[str, Any]:
    """All changes to a species in the structure of its file: tables by key, and lists of rows."""
    found: dict[str, Any] = {}
    for kind, key, patch in GeneChange.objects.filter(species=species).values_list("kind", "key", "patch"):
        if kind in LISTS:
            found.setdefault(kind, []).append(patch)
        else:
            found.setdefault(kind, {})[key] = patch
    return found


def catalogue(species: str = SPECIES) -> Catalogue:
    """Catalogue of a species with the keeper's changes; kept until one of them changes."""
    return _catalogue(species, mark_of(CATALOGUE))


@lru_cache(maxsize=8)
def _catalogue(species: str, mark: str) -> Catalogue:
    """Catalogue under a mark; empty where nothing was ever changed."""
    from holdback.species.catalogue import load

    changes = changes_of(species) if mark else {}
    return load(species, changes=changes or None)
