"""What would follow from a change: it is made, read, and taken back before anybody sees it."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import transaction

from holdback.bridge.answered import CONFLICTS_IN_REQUEST, IN_REQUEST, memory_of
from holdback.bridge.cached import catalogue_of_records, collection_of_records
from holdback.bridge.scope import Scope
from holdback.bridge.snapshot import ids_of, records_of
from holdback.collection.collection import Collection
from holdback.web.records.overlay import SPECIES

if TYPE_CHECKING:
    from holdback.answers.consequences import Consequences


class _TakenBack(Exception):
    """Ends the transaction in which the change was made for a try."""


@dataclass(frozen=True)
class Snapshot:
    """All records of a species at one moment.

    Parameters
    ----------
    collection : Collection
        The records.
    ids : dict of UUID to str
        Id of each animal by its key.
    """

    collection: Collection
    ids: dict[uuid.UUID, str]


def snapshot_now(species: str = SPECIES) -> Snapshot:
    """The records as they are."""
    return Snapshot(collection_of_records(species), ids_of(Scope(species)))


def _tried(species: str) -> Snapshot:
    """The records within the transaction, past the shelf: what is only tried is not kept."""
    scope = Scope(species)
    return Snapshot(Collection.from_records(records_of(scope), species=species), ids_of(scope))


def foreseen(
    change: Callable[[], object], *, species: str = SPECIES, most: int = IN_REQUEST, conflicts: bool | None = None
) -> Consequences | None:
    """What would follow from a change; the records stay as they are.

    Parameters
    ----------
    change : callable
        Makes the change through services, on records that it loads itself: what it loaded keeps the changed values.
    species : str
        Key of the species.
    most : int
        Animals up to which it is worked out, in a family that the change reaches.
    conflicts : bool, optional
        Whether to look for records that cannot be true; left out, in collections of up to `CONFLICTS_IN_REQUEST`.

    Returns
    -------
    Consequences or None
        None where more animals than `most` are connected with those that change: a job has to work it out.

    Raises
    ------
    RecordError
        What the change itself is refused with.

    Notes
    -----
    Writers wait while the change is tried and read, not while its consequences are worked out.
    """
    before = snapshot_now(species)
    tried: list[Snapshot] = []
    try:
        with transaction.atomic():
            change()
            tried.append(_tried(species))
            raise _TakenBack
    except _TakenBack:
        return followed(before, tried[0], most=most, conflicts=conflicts)


def followed(
    before: Snapshot, after: Snapshot, *, most: int = IN_REQUEST, conflicts: bool | None = None
) -> Consequences | None:
    """What followed from a change, by the records before it and after it; parameters as of `foreseen`."""
    from holdback.answers import Answers
    from holdback.answers.consequences import consequences
    from holdback.answers.family_part import family_around, part_of, touched

    was, now = before.collection, after.collection
    if conflicts is None:
        conflicts = max(len(was.animals), len(now.animals)) <= CONFLICTS_IN_REQUEST
    if not conflicts or len(was.animals) > CONFLICTS_IN_REQUEST:
        family = family_around((was, now), touched(was, now))
        was, now = part_of(was, family), part_of(now, family)
    if max(len(was.animals), len(now.animals)) > most:
        return None
    catalogue, memory = catalogue_of_records(was.species), memory_of(was.species)
    renamed = {old: after.ids[key] for key, old in before.ids.items() if key in after.ids and after.ids[key] != old}
    sides = [Answers(side, catalogue, memory=memory) for side in (was, now)]
    return consequences(sides[0], sides[1], conflicts=conflicts, renamed=renamed)
