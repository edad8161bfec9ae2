"""A file is taken in, its columns are proposed, the keeper changes and answers; nothing lands here."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.db import transaction

from holdback.errors import Fault, HoldbackError, IntakeError
from holdback.intake import Field, SheetKind, again, find_table, read_sheets
from holdback.intake import Mapping as ColumnMapping
from holdback.web.imports import reading, storage
from holdback.web.imports.models import ImportBatch, Source, State


def stage(file: Path | storage.Readable, *, who: str, file_name: str = "", sheet_name: str = "") -> ImportBatch:
    """A file stored in the data folder, with its columns proposed.

    Parameters
    ----------
    file : Path or binary file
        A sheet, a workbook, a pedigree file, a zipped collection folder, or (as a path) a collection folder.
    who : str
        Who brings it in.
    file_name : str
        Name to show; needed for a file without a path.
    sheet_name : str
        Which sheet of a workbook; the likeliest if left out.

    Raises
    ------
    IntakeError
        ITK-001 to ITK-007 if the file cannot be read.
    CollectionError
        With all faults of a collection folder or a pedigree file.
    """
    shown = Path(file_name or (file.name if isinstance(file, Path) else "")).name
    batch = ImportBatch(file_name=shown[:255], who=who)
    try:
        _take(batch, file)
        _read(batch, sheet_name)
    except HoldbackError as error:
        storage.forget(batch)
        raise _about(error, shown) from error
    except OSError:
        storage.forget(batch)
        raise
    batch.save()
    return batch


def _about(error: HoldbackError, file_name: str) -> HoldbackError:
    """The same error about the file as the keeper calls it, not as it is stored."""
    faults = [replace(one, file=file_name) if Path(one.file).stem == storage.STEM else one for one in error.faults]
    return type(error)(faults)


def _take(batch: ImportBatch, file: Path | storage.Readable) -> None:
    """Store the file."""
    if isinstance(file, Path) and file.is_dir():
        batch.source = Source.COLLECTION
        storage.copy_folder(file, storage.stored(batch))
        return
    if isinstance(file, Path):
        with file.open("rb") as stream:
            path = storage.keep(batch, stream)
    else:
        path = storage.keep(batch, file)
    if path.suffix == ".zip":
        batch.source = Source.COLLECTION
        storage.unpack(path, storage.stored(batch))
        path.unlink()


def _read(batch: ImportBatch, sheet_name: str) -> None:
    """Find out what the file is, and propose its columns."""
    if batch.source == Source.COLLECTION:
        found = reading.collection_in(storage.stored(batch))
        assert found is not None, "a folder is a collection or an error"
        batch.n_rows, batch.state = len(found.records.animals), State.MAPPED
        return
    path = storage.stored(batch)
    sheets = read_sheets(path)
    if not sheet_name and (found := reading.collection_in(path, sheets)):
        batch.source = Source.COLLECTION
        found.to_folder(storage.stored(batch))
        batch.n_rows, batch.state = len(found.records.animals), State.MAPPED
        return
    chosen = reading.named_sheet(sheets, sheet_name) if sheet_name else reading.best_sheet(sheets)
    batch.sheet_name, batch.sheet_names = chosen.name, [sheet.name for sheet in sheets]
    table = find_table(chosen)
    batch.mapping = reading.proposed(table).as_json()
    batch.n_rows, batch.n_columns = table.n_rows, len(table.columns)


def choose_sheet(batch: ImportBatch, *, name: str) -> ImportBatch:
    """The batch with another sheet of its workbook; mapping and answers begin anew."""
    _refuse_closed(batch)
    batch.mapping, batch.answers, batch.summary, batch.state = {}, {}, {}, State.UPLOADED
    _read(batch, name)
    batch.save()
    return batch


def choose_kind(batch: ImportBatch, *, kind: str) -> ImportBatch:
    """The batch with its rows taken for something else; mapping and answers begin anew.

    Raises
    ------
    IntakeError
        ITK-008 if the batch is closed, ITK-010 if there is no such kind of rows.
    """
    _refuse_closed(batch)
    if kind not in set(SheetKind):
        hint = f"Take one of: {', '.join(SheetKind)}."
        raise IntakeError(Fault("ITK-010", f"{kind!r} is nothing that rows can be.", hint, value=kind))
    table = reading.table_of(storage.stored(batch), batch.sheet_name)
    batch.mapping = reading.proposed(table, SheetKind(kind)).as_json()
    batch.answers, batch.summary, batch.state = {}, {}, State.UPLOADED
    batch.save()
    return batch


def mapping_of(batch: ImportBatch) -> ColumnMapping:
    """Columns and writing as they stand."""
    return ColumnMapping.from_json(batch.mapping)


def set_columns(
    batch: ImportBatch, *, fields: Mapping[int, str], units: Mapping[int, str] | None = None
) -> ImportBatch:
    """The batch with columns going where the keeper says.

    Parameters
    ----------
    batch : ImportBatch
        An open one.
    fields : mapping of int to str
        Column index to field; columns left out stay.
    units : mapping of int to str, optional
        Column index to unit.

    Raises
    ------
    IntakeError
        ITK-008 if the batch is closed, ITK-010 to ITK-013 if the columns cannot be used.
    """
    _refuse_closed(batch)
    mapping = mapping_of(batch)
    for index, field in fields.items():
        if field not in set(Field):
            hint = f"Take one of: {', '.join(Field)}."
            raise IntakeError(Fault("ITK-010", f"{field!r} is nothing a column can go to.", hint, value=field))
        mapping = mapping.with_field(index, Field(field))
    table = reading.table_of(storage.stored(batch), batch.sheet_name)
    mapping = again(table, mapping, this_year=reading.this_year())
    for index, unit in (units or {}).items():
        mapping = mapping.with_told(f"unit {index}", unit)
    mapping.checked()
    batch.mapping, batch.state = mapping.as_json(), State.MAPPED
    batch.save(update_fields=["mapping", "state"])
    return batch


def set_writing(batch: ImportBatch, *, told: Mapping[str, str]) -> ImportBatch:
    """The batch with what the keeper says about how cells are written (key of the evidence to value).

    Raises
    ------
    IntakeError
        ITK-008 if the batch is closed, ITK-010 with every value that is none of the choices.
    """
    _refuse_closed(batch)
    mapping = mapping_of(batch)
    faults: list[Fault] = []
    for key, value in told.items():
        try:
            mapping = mapping.with_told(key, value)
        except IntakeError as error:
            faults += [replace(fault, field=key) for fault in error.faults]
    if faults:
        raise IntakeError(faults)
    batch.mapping, batch.state = mapping.as_json(), State.MAPPED
    batch.save(update_fields=["mapping", "state"])
    return batch


def answer(batch: ImportBatch, *, question: str, value: str) -> ImportBatch:
    """The batch with a question answered; an empty value opens the question again.

    Raises
    ------
    IntakeError
        ITK-008 if the batch is closed, ITK-010 if an answer about the writing cannot be used.
    """
    _refuse_closed(batch)
    if question.startswith("writing:"):
        return set_writing(batch, told={question.removeprefix("writing:"): value.removeprefix("write:")})
    with transaction.atomic():
        fresh = ImportBatch.objects.select_for_update().get(pk=batch.pk)
        answers: dict[str, Any] = dict(fresh.answers)
        if value:
            answers[question] = value
        else:
            answers.pop(question, None)
        fresh.answers, fresh.state = answers, State.MAPPED
        fresh.save(update_fields=["answers", "state"])
    batch.answers, batch.state = answers, State.MAPPED
    return batch


def preview(batch: ImportBatch, *, progress: reading.Progress | None = None) -> ImportBatch:
    """The batch read row by row against the records; counts and questions are kept with it."""
    _refuse_closed(batch)
    if batch.source == Source.COLLECTION:
        batch.summary = _collection_summary(batch)
    else:
        table = reading.table_of(storage.stored(batch), batch.sheet_name)
        found = reading.preview_of(table, mapping_of(batch), answers=batch.answers, progress=progress)
        storage.keep_rows(batch, reading.rows_of(found))
        batch.summary = reading.summary_of(found)
        if progress:
            progress(len(table.rows), len(table.rows))
    batch.state = State.PREVIEWED
    batch.save(update_fields=["summary", "state"])
    return batch


def _collection_summary(batch: ImportBatch) -> dict[str, Any]:
    """Counts of a collection folder against the records."""
    collection = reading.collection_in(storage.stored(batch))
    assert collection is not None, "a folder is a collection or an error"
    known = reading.known_records()
    animals = collection.records.animals
    created = sum(1 for animal in animals if animal.id not in known.animals)
    unchanged = sum(1 for animal in animals if known.animals.get(animal.id) == animal)
    return {
        "n_rows": len(animals), "n_landing": len(animals), "n_waiting": 0, "n_left_out": 0, "n_held": 0,
        "created": created, "changed": len(animals) - created - unchanged, "unchanged": unchanged,
        "measurements": len(collection.records.measurements), "questions": [], "mark": collection.digest,
    }  # fmt: skip


def cancel(batch: ImportBatch) -> ImportBatch:
    """The batch closed without landing; its stored file is deleted."""
    _refuse_closed(batch)
    batch.state = State.CANCELLED
    batch.save(update_fields=["state"])
    shutil.rmtree(storage.folder_of(batch), ignore_errors=True)
    return batch


def _refuse_closed(batch: ImportBatch) -> None:
    """Refuse to change a batch that has landed or was given up."""
    if not batch.is_open:
        what = f"{batch.file_name} is {batch.get_state_display()} already."
        raise IntakeError(Fault("ITK-008", what, "Bring the file in again.", file=batch.file_name))
