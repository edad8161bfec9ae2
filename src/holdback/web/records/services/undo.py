"""Take changes back."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from itertools import groupby

from holdback.errors import Fault, RecordError
from holdback.web.records.derive import derive, forget
from holdback.web.records.models import Animal, Change, Record
from holdback.web.records.services.animals import taken_faults
from holdback.web.records.services.deed import CHUNK, Deed, deed
from holdback.web.records.state import model_of, restore, state

SHOWN = 20
"""Faults told at most: thousands of rows may stand in the way of one batch."""


def undo(what: Change | uuid.UUID, *, who: str, batch: uuid.UUID | None = None) -> list[Change]:
    """The log rows that took something back.

    Parameters
    ----------
    what : Change or UUID
        One change, or a batch: everything in it that is not taken back already.
    who : str
        Who takes it back.
    batch : UUID, optional
        Batch of the new rows.

    Raises
    ------
    RecordError
        REC-020 where a record was changed again since; REC-021 where all is taken back already; REC-022 where there is
        no such batch; REC-003 where a record to be deleted is named by another; REC-019 where a tag is in use again.
        Then nothing is taken back.

    Notes
    -----
    Taking back is a change like any other: it can be taken back itself.
    """
    changes = [what] if isinstance(what, Change) else list(Change.objects.filter(batch=what))
    if not changes:
        raise RecordError(Fault("REC-022", "there is no such batch of changes.", "Look at the log again."))
    with deed("undo", who=who, batch=batch) as done:
        undone = _undone(changes)
        left = [change for change in changes if change.pk not in undone]
        if not left:
            raise RecordError(Fault("REC-021", "this was taken back already.", "Nothing is left to do."))
        left.sort(key=lambda change: -change.pk)
        animals: dict[uuid.UUID, Animal] = {}
        leaving = {change.record for change in left if _kind(change) == "delete"}
        for (model, kind), group in groupby(left, key=lambda change: (change.model, _kind(change))):
            records = _take_back(done, model_of(model), kind, list(group), leaving)
            animals.update({record.pk: record for record in records if isinstance(record, Animal)})
        derive([animal for animal in animals.values() if not animal._state.adding])
    return done.changes


def _kind(change: Change) -> str:
    """What has to be done to take a change back."""
    if change.before is None:
        return "delete"
    return "make" if change.after is None else "change"


def _undone(changes: Sequence[Change]) -> set[int]:
    """Keys of those changes that are taken back already."""
    keys = [change.pk for change in changes]
    found: set[int] = set()
    for start in range(0, len(keys), CHUNK):
        part = Change.objects.filter(pk__in=keys[start : start + CHUNK], undone_by__isnull=False)
        found.update(part.values_list("pk", flat=True))
    return found


def _take_back(
    done: Deed, model: type[Record], kind: str, changes: list[Change], leaving: set[uuid.UUID]
) -> list[Record]:
    """Take back neighbouring changes of one kind to records of one model, latest first.

    `leaving` holds the keys of all records that the whole undo deletes: they may name each other.
    """
    if kind == "make":
        return _make_again(done, model, changes)
    records = _present(model, [change.record for change in changes])
    faults: list[Fault] = []
    for change in changes:
        record = records.get(change.record)
        if fault := _changed_since(change, record):
            faults.append(fault)
        elif record is not None and kind == "change":
            _set_back(done, record, change)
    if faults:
        raise RecordError(faults[:SHOWN])
    if kind == "delete":
        _delete(done, [records[change.record] for change in changes], changes, leaving)
    return list(records.values())


def _set_back(done: Deed, record: Record, change: Change) -> None:
    """Give a record's columns the values from before a change."""
    before = change.before or {}
    restore(record, before)
    _refuse_twins([record])
    record.save(update_fields=[*before, *record.computed])
    done.note(record, before=change.after, after=before, undoes=change)


def _present(model: type[Record], keys: Sequence[uuid.UUID]) -> dict[uuid.UUID, Record]:
    """Records by key."""
    found: dict[uuid.UUID, Record] = {}
    for start in range(0, len(keys), CHUNK):
        found.update(model._default_manager.in_bulk(keys[start : start + CHUNK]))
    return found


def _changed_since(change: Change, record: Record | None) -> Fault | None:
    """REC-020 if a record is no longer as the change left it."""
    if record is None:
        what = f"{change.label or change.model} is not there any more."
        return Fault("REC-020", what, "Take the later change back first.", animal=change.label)
    after = change.after or {}
    present = state(record, after)
    differing = sorted(name for name in after if present[name] != after[name])
    if not differing:
        return None
    return Fault(
        "REC-020",
        f"{change.label or change.model} was changed again since ({', '.join(differing)}).",
        "Take the later change back first.",
        field=differing[0],
        animal=change.label,
    )


def _make_again(done: Deed, model: type[Record], changes: list[Change]) -> list[Record]:
    """Insert deleted records again, under their old keys."""
    records = []
    for change in changes:
        record = model(id=change.record)
        restore(record, change.before or {})
        records.append(record)
    _refuse_twins(records)
    model._default_manager.bulk_create(records, batch_size=CHUNK)
    for record, change in zip(records, changes, strict=True):
        done.note(record, before=None, after=change.before, undoes=change)
    return records


def _delete(done: Deed, records: list[Record], changes: list[Change], leaving: set[uuid.UUID]) -> None:
    """Delete records that a change had made, with what was derived from them."""
    if isinstance(records[0], Animal):
        forget([record.pk for record in records])
    done.delete(*records, undoes=changes, leaving=leaving)
    for record in records:
        record._state.adding = True


def _refuse_twins(records: Sequence[Record]) -> None:
    """REC-019 where an animal that comes back bears a tag that is in use again."""
    faults = [fault for one in records if isinstance(one, Animal) for fault in taken_faults(one)]
    if faults:
        raise RecordError(faults[:SHOWN])
