"""After a change to the catalogue: hold it together, and read again what it may read differently."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from holdback.errors import RecordError, SpeciesError
from holdback.web.records.derive import CHUNK, derive
from holdback.web.records.models import Animal, Change, GeneChange
from holdback.web.records.overlay import catalogue

_NAMES = ("name", "two_copies_name", "label", "word")
_LISTS_OF_NAMES = ("aliases", "alleles")


def settle_catalogue(changes: Sequence[Change], touched: Sequence[GeneChange]) -> None:
    """Refuse changes with which the catalogue cannot be made; read the texts that name what changed again.

    Parameters
    ----------
    changes : sequence of Change
        Log rows of the changes to genes.
    touched : sequence of GeneChange
        The rows themselves, one for each change.

    Raises
    ------
    RecordError
        With the faults of the catalogue (SPE codes).
    """
    words: dict[str, set[str]] = {}
    for change, gene in zip(changes, touched, strict=True):
        found = words.setdefault(gene.species, set())
        found.update(_words(gene.key, [(change.before or {}).get("patch"), (change.after or {}).get("patch")]))
    for species, found in words.items():
        try:
            genes = catalogue(species)
        except SpeciesError as fault:
            raise RecordError(fault.faults) from fault
        for entry in genes.names().values():
            if _plain(str(getattr(entry, "key", ""))) in found:
                found.update(_plain(name) for name in (getattr(entry, "name", ""), *getattr(entry, "aliases", ())))
        derive(_animals_naming(found - {""}, species))


def _words(key: str, patches: Iterable[Any]) -> Iterator[str]:
    """Names under which a patch may stand in a text."""
    yield _plain(key)
    for patch in patches:
        if not isinstance(patch, Mapping):
            continue
        for field in _NAMES:
            yield _plain(str(patch.get(field, "")))
        for field in _LISTS_OF_NAMES:
            yield from (_plain(str(name)) for name in patch.get(field, ()))


def _plain(text: str) -> str:
    """Letters and digits only, case folded: as lax as the reader of the texts is, or laxer."""
    return "".join(letter for letter in text.casefold() if letter.isalnum())


def _animals_naming(words: set[str], species: str) -> list[Animal]:
    """Animals of which the genes as typed hold one of the words."""
    texts = Animal.objects.filter(species=species).exclude(genes_text="").values_list("pk", "genes_text")
    keys = [key for key, text in texts if any(word in _plain(text) for word in words)]
    parts = (keys[start : start + CHUNK] for start in range(0, len(keys), CHUNK))
    return [animal for part in parts for animal in Animal.objects.filter(pk__in=part)]
