"""Answers over the whole collection, with what every animal carries worked out once for all threads."""

from __future__ import annotations

import copy
import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from holdback.bridge.cached import Shelf, catalogue_of_records, collection_of_records, records_fingerprint
from holdback.collection.model import Sex
from holdback.web.records.overlay import SPECIES
from holdback.web.records.queries import present_animals

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.heredity.beliefs import Memory

IN_REQUEST = 400
"""Animals up to which a page works out what it needs before it answers; beyond, a job does and the page says so.

An entangled pedigree of a thousand takes a minute before it is even known that it has to be sampled.
"""

CONFLICTS_IN_REQUEST = 250
"""The same for looking for records that cannot be true, which asks many questions of the whole collection."""

SIZES_IN_REQUEST = 250
"""The same for sizes, whose curves are fitted to all weights together."""

_shelf = Shelf(2)
_slow = Shelf(8)  # records whose beliefs have to be sampled
_making = threading.RLock()
_memories: dict[str, Memory] = {}


def memory_of(species: str = SPECIES) -> Memory:
    """Where this process keeps what inference worked out for a species, so that a change costs only what it touches."""
    from holdback.heredity.beliefs import Memory

    with _making:
        return _memories.setdefault(species, Memory())


def answers(species: str = SPECIES) -> Answers:
    """Answers over the whole collection; kept until the records or the catalogue change."""
    key = (species, records_fingerprint())
    with _making:
        found: Answers | None = _shelf.get(key)
        if found is None:
            found = _made(species)
            _shelf.put(key, found)
    return found


def answers_with_projects(species: str = SPECIES) -> Answers:
    """Answers over the whole collection with the projects and planned pairings as they are now.

    What is worked out of the animals is kept when only a project changed; `answers` may hold older projects.
    """
    found, collection = answers(species), collection_of_records(species)
    if found.collection is collection:
        return found
    same = copy.copy(found)
    same.collection = collection
    return same


def ready_answers(species: str = SPECIES, *, conflicts: bool = False, sizes: bool = False) -> Answers | None:
    """Answers by the records as they are now, None where a job has to work them out first.

    Parameters
    ----------
    species : str
        Key of the species.
    conflicts : bool
        Whether the records that cannot be true are wanted too.
    sizes : bool
        Whether the sizes of all animals are wanted too.

    Notes
    -----
    A collection of up to `IN_REQUEST` animals (`CONFLICTS_IN_REQUEST` for conflicts, `SIZES_IN_REQUEST` for sizes) is
    worked out here and now, unless its pedigree is so entangled that it has to be sampled; one thread works and the
    others wait for it.
    """
    key = (species, records_fingerprint())
    kept: Answers | None = _shelf.get(key)
    if kept is not None and _is_worked_out(kept, conflicts=conflicts, sizes=sizes):
        return kept
    most = SIZES_IN_REQUEST if sizes else CONFLICTS_IN_REQUEST if conflicts else IN_REQUEST
    if _slow.get(key) or n_animals(species) > most:
        return None
    with _making:
        return _worked_out_now(key, conflicts=conflicts, sizes=sizes)


def _worked_out_now(key: tuple[str, str], *, conflicts: bool, sizes: bool) -> Answers | None:
    """Answers worked out here, None where the pedigree is too entangled to be done exactly."""
    from holdback.heredity.network import Cancelled

    found: Answers | None = _shelf.get(key)
    if found is None or not _is_worked_out(found):
        found = _made(key[0], cancelled=lambda: True)
    try:
        _work_out(found, conflicts=conflicts, sizes=sizes)
    except Cancelled:
        _slow.put(key, True)
        return None
    _shelf.put(key, found)
    return found


def work_out(
    species: str,
    *,
    conflicts: bool = False,
    sizes: bool = False,
    progress: Callable[[float], None],
    beat: Callable[[], None] | None = None,
) -> Answers:
    """Answers by the records as they are now, worked out however long it takes, and kept.

    Parameters
    ----------
    species : str
        Key of the species.
    conflicts : bool
        Whether the records that cannot be true are wanted too.
    sizes : bool
        Whether the sizes of all animals are wanted too.
    progress : callable
        Told the share done, in [0, 1]; what it raises ends the work.
    beat : callable, optional
        Called now and then where sampling takes long; what it raises ends the work.
    """

    def cancelled() -> bool:
        if beat:
            beat()
        return False

    key = (species, records_fingerprint())
    found: Answers | None = _shelf.get(key)
    if found is None or not _is_worked_out(found):
        found = _made(species, progress=progress, cancelled=cancelled)
    _work_out(found, conflicts=conflicts, sizes=sizes)
    _shelf.put(key, found)
    return found


def n_animals(species: str = SPECIES) -> int:
    """Animals on record; one query."""
    return present_animals().filter(species=species).count()


def _made(
    species: str,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Answers:
    from holdback.answers import Answers

    collection, catalogue = collection_of_records(species), catalogue_of_records(species)
    return Answers(collection, catalogue, memory=memory_of(species), progress=progress, cancelled=cancelled)


def _work_out(found: Answers, *, conflicts: bool, sizes: bool) -> None:
    """Have the lazy answers worked out."""
    _ = found.conflicts if conflicts else found.beliefs
    _ = found.descent.inbreeding
    if sizes:
        found.sizes.biggest(Sex.UNKNOWN, is_all=True)  # looks every animal up, which a page of all would wait for


def _is_worked_out(found: Answers, *, conflicts: bool = False, sizes: bool = False) -> bool:
    """Whether the lazy answers are there; they stand among the attributes once they are."""
    if "beliefs" not in vars(found) or (conflicts and "conflicts" not in vars(found)):
        return False
    return not sizes or "evaluation" in vars(found.sizes)
