"""Write many records at once, as an import does: added, or changed where the id is known."""

from __future__ import annotations

import uuid
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from holdback.collection.model import Records
from holdback.web.records.marks import marks
from holdback.web.records.overlay import SPECIES
from holdback.web.records.services.deed import deed
from holdback.web.records.services.merge_rows import plan_of

Progress = Callable[[int, int], None]
"""Called with rows done and rows in all; may raise to stop."""


@dataclass(frozen=True)
class Written:
    """What a bulk write did.

    Parameters
    ----------
    batch : UUID
        Batch to undo it by.
    added, changed, same : mapping of str to int
        Rows by table (animals, lines, measurements, ...): new ones, known ones that changed, known ones that did not.
    """

    batch: uuid.UUID
    added: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    same: Counter[str] = field(default_factory=Counter)


def write_records(
    records: Records,
    *,
    who: str,
    species: str = SPECIES,
    batch: uuid.UUID | None = None,
    progress: Progress | None = None,
) -> Written:
    """Records of a file, all written or none.

    Parameters
    ----------
    records : Records
        What was read; need not be complete: parents and clutches may be on record already.
    who : str
        Who imports them.
    species : str
        Species of animals that are new.
    batch : UUID, optional
        Batch of the changes.
    progress : callable, optional
        Called with rows prepared and rows in all while they are prepared, and once more when all are written. If it
        raises, nothing is written.

    Raises
    ------
    RecordError
        With the faults found, first of all those of single fields, then those of the records against each other.

    Notes
    -----
    A value that is empty or unknown in the file never overwrites one on record. Animals and clutches are known by
    their id; eggs by clutch and mark; line claims by animal and line; matings by the two animals and the first day;
    a measurement or an event that is on record already is not added again.

    The rows are prepared before the transaction begins, so that other writers wait only for the writing itself. If
    somebody wrote meanwhile they are prepared anew inside it.
    """
    prepared = marks()
    plan = plan_of(records, species=species, progress=progress)
    with deed("import", who=who, batch=batch) as done:
        if marks() != prepared:
            plan = plan_of(records, species=species)
        plan.refuse()
        plan.write(done)
    if progress:
        progress(plan.total, plan.total)
    return Written(done.batch, plan.added, plan.changed, plan.same)
