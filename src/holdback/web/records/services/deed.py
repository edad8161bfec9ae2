"""One deed: a transaction that checks, acts and writes the log.

Every service opens one. What it makes, changes or deletes goes through the deed's methods, which keep before and after;
at the end the log rows are written and the marks of the touched scopes are renewed, all in the same transaction.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from django.db import IntegrityError, connection, transaction
from django.db.models import Model
from django.utils import timezone

from holdback.errors import Fault, RecordError
from holdback.web.records.agreement import refuse_contradictions
from holdback.web.records.models import ANIMALS, READINGS, Animal, Change, Clutch, EggLook, GeneChange, Record, Revision
from holdback.web.records.rereading import settle_catalogue
from holdback.web.records.state import label_of, state

TURN = 4_160_211
"""Key of the lock that a deed holds in PostgreSQL; any number that nothing else of the site uses."""
CHUNK = 500
"""Rows in one statement: SQLite allows 32,766 values in one, an animal has about twenty columns."""


@dataclass
class Deed:
    """What one deed did so far.

    Parameters
    ----------
    name : str
        The deed in words ("add animal").
    who : str
        Who did it.
    batch : UUID
        Deeds with the same batch are undone together.
    """

    name: str
    who: str
    batch: uuid.UUID
    at: dt.datetime = field(default_factory=timezone.now)
    changes: list[Change] = field(default_factory=list)
    scopes: set[str] = field(default_factory=set)
    animals: set[uuid.UUID] = field(default_factory=set)
    """Keys of the animals that a change touched, directly or through a row that names them."""
    clutches: set[uuid.UUID] = field(default_factory=set)
    """The same of clutches."""
    genes: list[GeneChange] = field(default_factory=list)
    """What was changed in the catalogue."""

    def note(self, record: Record, *, before: Any, after: Any, undoes: Change | None = None) -> None:
        """Keep a row for the log."""
        self.scopes.add(record.scope)
        self._touch(record)
        if isinstance(record, GeneChange):
            self.genes.append(record)
        self.changes.append(
            Change(
                batch=self.batch,
                at=self.at,
                who=self.who,
                deed=self.name,
                model=record._meta.model_name or "",
                record=record.pk,
                label=label_of(record),
                before=before,
                after=after,
                undoes=undoes,
            )
        )

    def _touch(self, record: Record) -> None:
        """Remember whom the record is about."""
        if record.scope not in {ANIMALS, READINGS}:
            return
        if isinstance(record, Animal):
            self.animals.add(record.pk)
        elif isinstance(record, Clutch):
            self.clutches.add(record.pk)
        for name in ("animal_id", "dam_id", "sire_id"):
            if key := getattr(record, name, None):
                self.animals.add(key)
        if key := getattr(record, "clutch_id", None):
            self.clutches.add(key)
        if isinstance(record, EggLook):
            self.clutches.add(record.egg.clutch_id)

    def make(self, *records: Record) -> None:
        """Insert records of one model."""
        if not records:
            return
        for record in records:
            record.compute()
        type(records[0])._default_manager.bulk_create(records, batch_size=CHUNK)
        for record in records:
            self.note(record, before=None, after=state(record))

    def change(self, record: Record, **values: Any) -> bool:
        """Change columns of a record (field names, as for the model); False if all were so already."""
        before = state(record)
        for name, value in values.items():
            setattr(record, name, value)
        after = state(record)
        changed = [name for name in after if after[name] != before[name]]
        if not changed:
            return False
        record.compute()
        record.save(update_fields=[*changed, *record.computed])
        self.note(
            record, before={name: before[name] for name in changed}, after={name: after[name] for name in changed}
        )
        return True

    def delete(self, *records: Record, undoes: Sequence[Change] = (), leaving: Iterable[uuid.UUID] = ()) -> None:
        """Delete records of one model that nothing else refers to.

        Parameters
        ----------
        *records : Record
            The records.
        undoes : sequence of Change
            For each record the change that made it, where this takes it back.
        leaving : iterable of UUID
            Keys of records that go in the same deed: they may still refer to these.
        """
        if not records:
            return
        model = type(records[0])
        refuse_if_referred(records, leaving)
        keys = [record.pk for record in records]
        for start in range(0, len(keys), CHUNK):
            # Not `delete()`: that would ask about every relation again, and refuse rows that refer to each other.
            part = model._default_manager.filter(pk__in=keys[start : start + CHUNK])
            part._raw_delete(part.db)
        for index, record in enumerate(records):
            self.note(record, before=state(record), after=None, undoes=undoes[index] if undoes else None)

    def close(self) -> None:
        """Write the log, renew the marks, and refuse what makes no collection or no catalogue."""
        Change.objects.bulk_create(self.changes, batch_size=CHUNK)
        for scope in sorted(self.scopes):
            Revision.objects.update_or_create(scope=scope, defaults={"mark": uuid.uuid4()})
        refuse_contradictions(self.animals, self.clutches)
        if self.genes:
            settle_catalogue([change for change in self.changes if change.model == "genechange"], self.genes)


def take_turn() -> None:
    """Wait until no other deed is under way; it holds until the transaction ends.

    What a deed checks would else be changed by another between the check and the writing: two phones would both find
    that nothing is written yet. SQLite has one writer at a time by itself.
    """
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [TURN])


@contextmanager
def deed(name: str, *, who: str, batch: uuid.UUID | None = None) -> Iterator[Deed]:
    """A deed in a transaction.

    Parameters
    ----------
    name : str
        The deed in words.
    who : str
        Who does it; not empty.
    batch : UUID, optional
        Batch that it belongs to; a new one if left out.

    Raises
    ------
    RecordError
        REC-001 if nobody is named; REC-002 if the database refuses what the checks let pass (two writers at once).
    """
    if not who.strip():
        raise RecordError(Fault("REC-001", "nobody is named as the writer.", "Say who makes the change.", field="who"))
    done = Deed(name, who.strip()[:120], batch or uuid.uuid4())
    try:
        with transaction.atomic():
            take_turn()
            yield done
            done.close()
    except IntegrityError as fault:
        raise RecordError(
            Fault(
                "REC-002",
                f"the database refused the change ({str(fault).splitlines()[0]}).",
                "Somebody may have changed the same record meanwhile: load it again and repeat.",
            )
        ) from fault


def references(records: Sequence[Record], leaving: Iterable[uuid.UUID]) -> Iterator[tuple[Model, str, Model]]:
    """Rows that refer to the records, other than the records themselves and those that leave with them.

    Yields
    ------
    tuple of Model, str, Model
        The record referred to, the column, and the row that refers to it.
    """
    if not records:
        return
    by_key = {record.pk: record for record in records}
    keys, gone = list(by_key), {*by_key, *leaving}
    for relation in type(records[0])._meta.related_objects:
        model, name = relation.related_model, relation.field.attname
        for start in range(0, len(keys), CHUNK):
            part = keys[start : start + CHUNK]
            for row in model._default_manager.filter(**{f"{relation.field.name}__in": part}):
                if row.pk not in gone:
                    yield by_key[getattr(row, name)], name, row


def refuse_if_referred(records: Sequence[Record], leaving: Iterable[uuid.UUID] = ()) -> None:
    """Refuse to delete records that others refer to.

    Raises
    ------
    RecordError
        REC-003 for every reference, up to twenty.
    """
    faults = []
    for record, name, row in references(records, leaving):
        word = row._meta.verbose_name
        faults.append(
            Fault(
                "REC-003",
                f"{record} is still named by a later {word} ({row}).",
                f"Undo or change that {word} first.",
                field=name.removesuffix("_id"),
                animal=str(getattr(record, "tag", "")),
            )
        )
        if len(faults) == 20:
            break
    if faults:
        raise RecordError(faults)
