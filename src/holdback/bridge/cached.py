"""What was made of the records, kept until they change."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from holdback.bridge.around import keys_named, with_ancestors
from holdback.bridge.scope import Scope
from holdback.bridge.snapshot import records_of
from holdback.collection.collection import Collection
from holdback.web.records.marks import marks
from holdback.web.records.models import ANIMALS, CATALOGUE, PLACES, PROJECTS, READINGS
from holdback.web.records.overlay import SPECIES, catalogue

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Made = TypeVar("Made")
TRIES = 5
"""Times a snapshot is begun anew because somebody wrote meanwhile; then it is taken as it is, and not kept."""


class Shelf:
    """A few values by key, the longest unused forgotten first; safe between threads."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._lock = threading.Lock()
        self._values: OrderedDict[Any, Any] = OrderedDict()

    def get(self, key: Any) -> Any:
        """Value under a key, None if there is none."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: Any, value: Any) -> None:
        """Keep a value."""
        with self._lock:
            self._values[key] = value
            while len(self._values) > self._size:
                self._values.popitem(last=False)


_whole = Shelf(2)  # one species or two; a collection of 20,000 animals takes some 100 MB
_parts = Shelf(64)


def records_fingerprint(*scopes: str) -> str:
    """Text that changes with every change to the records; one query.

    Parameters
    ----------
    *scopes : str
        ``animals``, ``readings``, ``places``, ``catalogue``, all of them if left out; or ``projects``, ``settings``.

    Notes
    -----
    Random marks, renewed in the transaction of each change: equal fingerprints mean equal records, also after a
    backup was restored.
    """
    wanted = scopes or (ANIMALS, READINGS, PLACES, CATALOGUE)
    return "/".join(f"{scope}:{mark}" for scope, mark in sorted(marks(*wanted).items()))


def catalogue_of_records(species: str = SPECIES) -> Catalogue:
    """Species catalogue with the keeper's changes; kept until one of them changes."""
    return catalogue(species)


def collection_of_records(species: str = SPECIES) -> Collection:
    """All records of a species as a Collection; kept until the records change.

    Raises
    ------
    CollectionError
        With all faults, if the records do not hold together.

    Notes
    -----
    One query for the fingerprint when kept, else twenty-three more at most, however many animals there are.
    """
    return _kept(_whole, (species,), lambda: Collection.from_records(records_of(Scope(species)), species=species))


def collection_with_exact_places(species: str = SPECIES) -> Collection:
    """All records with the exact coordinates that the keeper kept; for an export that was asked for, and not kept.

    Raises
    ------
    CollectionError
        With all faults, if the records do not hold together.
    """
    return Collection.from_records(records_of(Scope(species, has_exact_places=True)), species=species)


def collection_around(tags: Sequence[str], species: str = SPECIES) -> Collection:
    """Some animals and all their ancestors as a Collection; kept until the records change.

    Parameters
    ----------
    tags : sequence of str
        Ids or calling names; texts that mean no animal are passed over.
    species : str
        Key of the species.

    Notes
    -----
    Readings, matings and events come along for the animals named only. Three queries a generation, some seventeen more.
    """
    asked = tuple(sorted({tag.strip() for tag in tags}))

    def make() -> Collection:
        keys = keys_named(asked, species=species)
        scope = Scope(species, with_ancestors(keys), keys)
        return Collection.from_records(records_of(scope), species=species)

    return _kept(_parts, (species, asked), make)


def _kept(shelf: Shelf, key: tuple[Any, ...], make: Callable[[], Made]) -> Made:
    """Value from the shelf under the present fingerprint, else made anew.

    The queries of one snapshot are no single transaction (on SQLite that would hold up every writer); instead the
    fingerprint is read again at the end, and a snapshot during which somebody wrote is begun anew.
    """
    before = records_fingerprint(ANIMALS, READINGS, PLACES, PROJECTS)
    found: Made | None = shelf.get((key, before))
    if found is not None:
        return found
    made = make()
    for _ in range(TRIES):
        after = records_fingerprint(ANIMALS, READINGS, PLACES, PROJECTS)
        if after == before:
            shelf.put((key, before), made)
            return made
        before, made = after, make()
    return made
