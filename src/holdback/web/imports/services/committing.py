"""What was previewed lands, all of it or nothing, under one batch of the log; and it is taken back the same way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone

from holdback.collection.housing import path_names, path_text
from holdback.collection.model import Records
from holdback.errors import Fault, IntakeError
from holdback.intake import Landing
from holdback.web.imports import reading, storage
from holdback.web.imports.models import ImportBatch, Source, State
from holdback.web.imports.services.staging import mapping_of
from holdback.web.records import clock
from holdback.web.records.marks import marks
from holdback.web.records.models import Animal, Stay
from holdback.web.records.overlay import SPECIES
from holdback.web.records.queries import DEEPEST_PLACE
from holdback.web.records.services import Deed, deed
from holdback.web.records.services import undo as undo_batch
from holdback.web.records.services.merge_places import LONGEST_NAME, PlaceTree
from holdback.web.records.services.merge_rows import plan_of

WRITE_STEPS = 3
"""Parts of a commit as shown: rows read, rows prepared, all written."""


def commit(
    batch: ImportBatch, *, who: str, expected: str = "", progress: reading.Progress | None = None
) -> ImportBatch:
    """The batch after everything ready in it has landed.

    Parameters
    ----------
    batch : ImportBatch
        An open one.
    who : str
        Who lands it.
    expected : str
        Mark of the preview that the keeper saw; if other rows would land by now, nothing does.
    progress : callable, optional
        Told of rows done and in all while rows are read and prepared; may raise to stop, then nothing lands.

    Raises
    ------
    IntakeError
        ITK-008 if the batch is closed, ITK-009 if nothing is ready or something else than was seen would land.
    RecordError
        With the faults of the records; then nothing lands.

    Notes
    -----
    Everything that lands, the places and the state of the batch itself are written in one transaction: whoever stops
    the program at any moment finds all of it or nothing. A batch that has landed already is returned as it is, so
    that a job begun anew after a crash does no harm.
    """
    batch.refresh_from_db()
    if batch.state == State.COMMITTED:
        return batch
    if not batch.is_open:
        raise _closed(batch)
    records, landings, result = _ready(batch, expected, progress)
    _land(batch, records, landings, result=result, who=who, progress=progress)
    return batch


def _ready(
    batch: ImportBatch, expected: str, progress: reading.Progress | None
) -> tuple[Records, Sequence[Landing], dict[str, Any]]:
    """Records that land, the landings behind them, and the counts."""
    path = storage.stored(batch)
    if batch.source == Source.COLLECTION:
        collection = reading.collection_in(path)
        assert collection is not None, "a folder is a collection or an error"
        return collection.records, (), {}
    known = reading.known_records()
    table = reading.table_of(path, batch.sheet_name)
    preview = reading.preview_of(
        table, mapping_of(batch), answers=batch.answers, known=known, progress=_part(progress, 0)
    )
    if expected and reading.mark_of(preview) != expected:
        what = "The records or the answers changed since this was shown."
        raise IntakeError(Fault("ITK-009", what, "Look at it once more.", file=batch.file_name))
    if not preview.n_landing:
        what = "No row is ready to land."
        raise IntakeError(Fault("ITK-009", what, "Answer the questions first.", file=batch.file_name))
    storage.keep_rows(batch, reading.rows_of(preview))
    return reading.landing_records(preview, known), preview.landings, reading.summary_of(preview)


def _land(
    batch: ImportBatch,
    records: Records,
    landings: Sequence[Landing],
    *,
    result: dict[str, Any],
    who: str,
    progress: reading.Progress | None,
) -> None:
    """Write everything in one transaction; the plan is made before it begins."""
    prepared = marks()
    plan = plan_of(records, species=SPECIES, progress=_part(progress, 1))
    with transaction.atomic():
        locked = ImportBatch.objects.select_for_update().get(pk=batch.pk)
        if not locked.is_open:
            raise _closed(locked)
        with deed("import", who=who, batch=batch.log_batch) as done:
            if marks() != prepared:
                plan = plan_of(records, species=SPECIES)
            plan.refuse()
            plan.write(done)
            _house(done, landings)
        if not result:
            result = {
                "created": plan.added["animals"], "changed": plan.changed["animals"],
                "unchanged": plan.same["animals"], "measurements": plan.added["measurements"],
                "n_rows": batch.n_rows, "n_landing": batch.n_rows, "n_waiting": 0, "n_left_out": 0, "n_held": 0,
            }  # fmt: skip
        result = {**result, "written": sum(plan.added.values()) + sum(plan.changed.values())}
        batch.state, batch.result, batch.committed_at = State.COMMITTED, result, timezone.now()
        batch.save(update_fields=["state", "result", "committed_at"])
    if progress:
        progress(1, 1)


def _part(progress: reading.Progress | None, part: int) -> reading.Progress | None:
    """Progress of one part of the commit as progress of the whole."""
    if progress is None:
        return None
    tell = progress

    def report(done: int, total: int) -> None:
        tell(part * total + min(done, total), WRITE_STEPS * total)

    return report


def _house(done: Deed, landings: Sequence[Landing]) -> None:
    """Move animals to the places that the sheet names; places not yet there are added."""
    wanted = {landing.animal.id: landing.place for landing in landings if landing.place}
    if not wanted:
        return
    tree = PlaceTree(done.make)
    places = {text: tree.place(_as_path(text)) for text in dict.fromkeys(wanted.values())}
    animals = {
        animal.tag: animal
        for part in _parts(list(wanted))
        for animal in Animal.objects.filter(tag__in=part, removed_at__isnull=True).order_by("living")
    }
    present = {
        stay.animal_id: stay
        for part in _parts([animal.pk for animal in animals.values()])
        for stay in Stay.objects.filter(animal__in=part, until__isnull=True)
    }
    day = clock.today()
    stays = []
    for tag, text in wanted.items():
        animal, place = animals[tag], places[text]
        assert place is not None, "a path that was cut to size can be one"
        before = present.get(animal.pk)
        if before is not None and before.place_id == place.pk:
            continue
        if before is not None:
            done.change(before, until=max(day, before.since))
        stays.append(Stay(animal=animal, place=place, since=day))
    done.make(*stays)


def _as_path(text: str) -> str:
    """Path of a place, cut to what a path can hold."""
    return path_text([name[:LONGEST_NAME] for name in path_names(text)[:DEEPEST_PLACE]])


def _parts(keys: list[Any]) -> list[list[Any]]:
    """Keys in groups that fit into one statement."""
    return [keys[start : start + 5000] for start in range(0, len(keys), 5000)]


def undo_import(batch: ImportBatch, *, who: str) -> ImportBatch:
    """The batch with everything that landed in it taken back.

    Raises
    ------
    IntakeError
        ITK-008 if it has not landed.
    RecordError
        REC-020 if something was changed since; then nothing is taken back.
    """
    if batch.state != State.COMMITTED:
        raise _closed(batch)
    with transaction.atomic():
        if batch.result.get("written", 1):
            undo_batch(batch.log_batch, who=who)
        batch.state = State.UNDONE
        batch.save(update_fields=["state"])
    return batch


def _closed(batch: ImportBatch) -> IntakeError:
    what = f"{batch.file_name} is {batch.get_state_display()}."
    return IntakeError(Fault("ITK-008", what, "Bring the file in again.", file=batch.file_name))
